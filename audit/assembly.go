package audit

import (
	"math"

	"dryarc/audit/basis"
)

// Assembly is the resolved view of one row of the register. -1 and NaN mean unknown.
type Assembly struct {
	Row            int // in Project.Assemblies
	Source         Source
	Circuit        Symbol
	Phase          Symbol // as written
	Phases         Phases
	Duty           Duty
	Side           Side
	Arrangement    Arrangement
	Mounting       Mounting // of a pin or post
	Rings          Rings
	Makeup         *Makeup     // nil if unknown
	Unit           *basis.Unit // of the first part of the makeup; nil if unknown
	UnitsPerString int
	Strings        int
	Defective      int
	CreepageMM     float64 // of a string as built
	CreepageStated bool    // by the row itself
	Direct         DirectValues
	Odd            Odd     // differs from the strings around it
	VAngleDeg      float64 // between the legs of a V set; NaN if unknown
	CircuitEnds    bool    // its circuit ends here although the line goes on
	CircuitMayEnd  bool    // it may: the register has no row of it beyond, and another circuit does not go on so far that it ends for certain
	Dated          bool    // Installed is known; no more than where a factor of the criteria goes by it
	// FittingsUnknown tells that what the line states of fittings is not of it, but of another set.
	FittingsUnknown bool
	Installed       Day
	Faulty          Cells
	UnitFaulty      Cells // of the rows of its units
	units           []basis.Unit
	// Observed is what inspections tell of it, where they tell how many units are defective; nil where the register alone does.
	Observed *Observation
}

// Assembly returns the resolved view of a row of Project.Assemblies.
func (n *Network) Assembly(row uint32) Assembly {
	r := n.Project.Assemblies.At(int(row))
	return n.assemblyOf(int(row), &r)
}

// assemblyLike is Assembly by what was resolved of rows that say the same. It is overwritten by the next.
func (n *Network) assemblyLike(alike *alikeStrings[Assembly], row uint32) *Assembly {
	a, known := alike.of(&n.Project.Assemblies, row)
	if !known || len(n.Project.Observed) > 0 {
		*a = n.Assembly(row)
		return a
	}
	own := n.Project.Assemblies.ownOf(row)
	a.Row, a.Source, a.Side = int(row), own.Source, own.Side
	return a
}

// assemblyOf resolves a row, or one on trial in its place.
func (n *Network) assemblyOf(row int, r *AssemblyRow) Assembly {
	return n.assemblyWith(row, r, n.Project.directOf(r))
}

// assemblyWith resolves a row that states some figures of its own.
func (n *Network) assemblyWith(row int, r *AssemblyRow, direct DirectValues) Assembly {
	p := n.Project
	a := Assembly{
		Row: row, Source: r.Source, Circuit: r.Circuit, Phase: r.Phase, Phases: r.Phases,
		Duty: r.Duty, Side: r.Side, Arrangement: r.Arrangement, Mounting: r.Mounting, Rings: r.Rings,
		UnitsPerString: int(r.UnitsPerString), Strings: int(r.Strings), Defective: int(r.Defective), Faulty: r.Faulty,
		CreepageMM: math.NaN(), VAngleDeg: math.NaN(),
	}
	if len(p.Observed) > 0 && row >= 0 {
		if o := p.Observed[uint32(row)]; o != nil && o.Count == r.Defective {
			a.Observed = o
		}
	}
	if r.VAngleDeg > 0 {
		a.VAngleDeg = float64(r.VAngleDeg)
	}
	if r.Makeup > 0 {
		a.SetMakeup(&p.Makeups[r.Makeup], p.Units)
		for _, part := range a.Makeup.Parts {
			a.UnitFaulty |= FaultsOf(p.UnitFaults, part.Unit)
		}
	}
	if a.Direct = direct; !math.IsNaN(direct.CreepageMM) {
		a.CreepageMM, a.CreepageStated = direct.CreepageMM, true
	}
	if a.Faulty.Has(CellCreepage) {
		a.CreepageMM = math.NaN() // the row states one that nobody can read, not the units'
	}
	return a
}

// resolveAtStructure fills what a row leaves to its structure and circuit: the one side of a tension assembly where the
// line or the circuit ends, and the phases of a row that names none.
func resolveAtStructure(a *Assembly, line *Line, s *Structure) {
	i := line.circuitIndex(a.Circuit)
	if i < 0 || a.Faulty.Has(CellCircuits) {
		return
	}
	c := &line.Circuits[i]
	a.CircuitEnds = s.Role != Terminal && c.endsAt(s.Index)
	a.CircuitMayEnd = s.Index == c.First && c.MayFirst < c.First || s.Index == c.Last && c.MayLast > c.Last
	if a.Phases == EveryPhase {
		a.Phases = c.Phases
	}
	if a.Duty.HasSides() && a.Side != Back && a.Side != Ahead && !a.Faulty.Has(CellSide) {
		if sides := sidesOf(s, c); len(sides) == 1 {
			a.Side = sides[0]
		}
	}
}
