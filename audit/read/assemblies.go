package read

import (
	"context"
	"fmt"
	"math"
	"strconv"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// assembly is a row of an Assemblies sheet with what is not kept as it stands there.
type assembly struct {
	audit.AssemblyRow
	direct    audit.DirectValues
	vAngleDeg float64
	unit      string
	circuits  string // the cell Circuit where it names several; empty elsewhere

	dutySaid       said    // by the cell Duty besides the duty
	angleSaid      float64 // by the cell Arrangement; 0 for none
	stringsSaid    int16   // by the word for the arrangement; 0 for none
	stringsByUnits int16   // by the cell Units per string; 0 for none
}

func (r *register) readAssemblies(ctx context.Context, w *workbook) error {
	blank := assembly{
		AssemblyRow: audit.AssemblyRow{
			RowOwn:  audit.RowOwn{Defective: -1, Installed: audit.NoDay, Inspected: audit.NoDay},
			RowSaid: audit.RowSaid{Phases: audit.EveryPhase, UnitsPerString: -1},
		},
		direct: audit.UnknownDirectValues(), vAngleDeg: math.NaN(),
	}
	return readSheets(ctx, r, w, sheet[assembly]{
		name:    assembliesSheet,
		columns: assemblyColumns(r),
		blank:   func() assembly { return blank },
		faulty:  func(a *assembly) *audit.Cells { return &a.Faulty },
		keep:    r.keepAssembly,
		alike:   &alike[assembly]{names: copyNames, complete: isComplete, again: r.keepAgain},
	})
}

// keepAssembly keeps a row of a sheet, or the last of the rows that it makes with those before.
func (r *register) keepAssembly(a *assembly, at audit.Source) {
	r.doubtBeside(a, at)
	if r.passes < 2 {
		r.completeAssembly(a, at)
		return
	}
	if r.pass == 0 {
		r.byPhase = r.byPhase[:0]
	}
	if r.byPhase = append(r.byPhase, *a); r.pass < r.passes-1 {
		return
	}
	r.doubtShared(r.byPhase, at)
	for i := range r.byPhase {
		r.pass = i
		r.completeAssembly(&r.byPhase[i], at)
	}
}

// completeAssembly completes a row. Only a row that names no line or no structure is left out.
func (r *register) completeAssembly(a *assembly, at audit.Source) {
	if r.pass == 0 {
		r.project.RowsRead++
	} else {
		r.project.RowsMade++
	}
	a.Source = at
	var circuits []audit.Symbol
	if a.circuits != "" {
		circuits = r.circuitsOf(a)
	}
	if a.Line == 0 || a.Number == 0 {
		r.loseAssembly(a)
		return
	}
	r.fillBlanks(a)
	if a.Duty == audit.DutyUnknown && !a.Faulty.Has(audit.CellDuty) {
		r.unknown(a, audit.CellDuty, audit.MissingValue, "Duty", "", "is blank")
	}
	if a.dutySaid != (said{}) || a.angleSaid != 0 || a.stringsSaid != 0 || a.stringsByUnits != 0 {
		r.reconcile(a)
	}
	a.VAngleDeg = float32(a.vAngleDeg)
	r.findStrings(a)
	r.findMakeup(a)
	r.findUnitsPerString(a)
	r.doubtString(a)
	r.checkDefective(a)
	if anyStated(&a.direct) {
		a.Direct = r.figures(&a.direct)
	}
	r.project.Assemblies.Append(a.AssemblyRow)
	if len(circuits) > 1 {
		r.expand(a, circuits[1:])
	}
}

// figures keeps what rows state of their own once for all that state the same, and returns what their Direct then is.
func (r *register) figures(stated *audit.DirectValues) uint32 {
	key := stated.Bits()
	if at, kept := r.figuresAt[key]; kept {
		return at
	}
	r.project.Direct = append(r.project.Direct, *stated)
	at := uint32(len(r.project.Direct))
	if r.figuresAt == nil || len(r.figuresAt) == mostFigures {
		r.figuresAt = map[audit.FigureBits]uint32{}
	}
	r.figuresAt[key] = at
	return at
}

// mostFigures is among how many the same figures are looked for, so that a register in which no row repeats another costs no more
// (a choice of this program).
const mostFigures = 1 << 15

// copyNames copies what the columns of a row say that only name it.
func copyNames(to, from *assembly) {
	to.Number, to.Numeric, to.Phase, to.Phases, to.Remarks = from.Number, from.Numeric, from.Phase, from.Phases, from.Remarks
	to.Installed, to.Inspected, to.Faulty = from.Installed, from.Inspected, from.Faulty
}

// isComplete tells whether nothing was wrong with a row that was kept, and whether it is one assembly.
func isComplete(a *assembly) bool {
	return a.Faulty == 0 && a.Line != 0 && a.Number != 0 && a.circuits == ""
}

// keepAgain keeps a row that is complete but for what names it, unless that is blank or faulty.
func (r *register) keepAgain(a *assembly, at audit.Source) bool {
	if a.Faulty != 0 || a.Number == 0 {
		return false
	}
	r.project.RowsRead++
	a.Source = at
	r.project.Assemblies.Append(a.AssemblyRow)
	return true
}

// fillBlanks fills in the circuit and the defective units of a row that states none, and notes that it does not. Of a circuit that cannot
// be read nothing is known.
func (r *register) fillBlanks(a *assembly) {
	if a.Circuit == 0 && !a.Faulty.Has(audit.CellCircuits) {
		a.Circuit = r.project.Symbols.Number("1")
		a.Blank |= audit.BlankCircuit
	}
	if a.Defective < 0 {
		a.Defective = 0
		if !a.Faulty.Has(audit.CellDefective) {
			a.Blank |= audit.BlankDefective
		}
	}
}

// loseAssembly leaves out a row that names no line or no structure, and keeps what it names: it may belong to whatever that fits.
func (r *register) loseAssembly(a *assembly) {
	if r.pass > 0 {
		r.project.RowsMade--
		return // line and structure are those of every phase
	}
	if a.Line == 0 {
		r.nameless(a.Source, "Line", a.Faulty.Has(audit.CellCircuits))
	}
	if a.Number == 0 {
		r.nameless(a.Source, "Structure", a.Faulty.Has(audit.CellCircuits))
	}
	r.leftOut(a.Source)
	r.project.Lost = append(r.project.Lost, audit.LostRow{Line: a.Line, Number: a.Number})
}

// unknown records a fault that makes a field of the row unknown.
func (r *register) unknown(a *assembly, field audit.Cell, kind audit.FaultKind, column, value, expected string) {
	r.fault(a.Source, kind, column, value, expected)
	a.Faulty = a.Faulty.With(field)
}

func anyStated(d *audit.DirectValues) bool {
	for _, value := range d.OfString() {
		if !math.IsNaN(value) {
			return true
		}
	}
	return d.AnyOfPlace()
}

// findMakeup finds what the string is made of. A row that states its creepage needs no unit, nor does one without
// phase conductor.
func (r *register) findMakeup(a *assembly) {
	if a.unit == "" {
		insulates := a.Duty != audit.EarthWire && a.Duty != audit.Guy
		if insulates && math.IsNaN(a.direct.CreepageMM) && !a.Faulty.Has(audit.CellCreepage) && !a.Faulty.Has(audit.CellUnit) {
			r.unknown(a, audit.CellUnit, audit.MissingValue, "Unit", "", "is blank, and the row states no creepage")
		}
		return
	}
	m := r.makeup(a.unit)
	if m.trouble != nil {
		r.trouble(audit.Fault{At: a.Source, Column: "Unit", Value: a.unit}, m.trouble)
		a.Faulty = a.Faulty.With(audit.CellUnit)
		return
	}
	a.Makeup = m.place
	switch {
	case m.sum == 0 || a.Faulty.Has(audit.CellUnitsPerString):
	case a.UnitsPerString >= 0 && int(a.UnitsPerString) != m.sum:
		r.unknown(a, audit.CellUnitsPerString, audit.OutOfRange, "Units per string", strconv.Itoa(int(a.UnitsPerString)),
			fmt.Sprintf("is out of range, expected %d as in the unit %q", m.sum, a.unit))
		a.UnitsPerString, a.Makeup, a.Faulty = -1, 0, a.Faulty.With(audit.CellUnit)
	default:
		a.UnitsPerString = int16(m.sum)
	}
}

// findStrings fills a blank number of strings with one, but for strings in parallel, which are two or more, and for a V set, which has
// at least one in each leg. A number that the arrangement cannot have leaves both unknown.
func (r *register) findStrings(a *assembly) {
	if a.Strings == 0 && !a.Faulty.Has(audit.CellStrings) {
		a.Blank |= audit.BlankStrings
	}
	if !math.IsNaN(a.vAngleDeg) && a.Arrangement != audit.VSet && !a.Faulty.Has(audit.CellArrangement) {
		r.unknown(a, audit.CellArrangement, audit.Implausible, "V angle", strconv.FormatFloat(a.vAngleDeg, 'g', -1, 64), "is implausible of strings whose arrangement is not V; nothing is judged by the arrangement")
		a.Arrangement, a.VAngleDeg = audit.ArrangementUnknown, float32(math.NaN())
	}
	switch {
	case a.Faulty.Has(audit.CellStrings):
		a.Strings = -1
	case a.Strings == 0 && a.Arrangement == audit.Parallel:
		r.unknown(a, audit.CellStrings, audit.MissingValue, "Strings", "", "is blank, and the strings are said to be parallel")
		a.Strings = -1
	case a.Strings == 0 && a.Arrangement == audit.VSet:
		a.Strings = 2
	case a.Strings == 0:
		a.Strings = 1
	case a.Arrangement == audit.Single && a.Strings != 1:
		r.contradictStrings(a, "one, since they are said to be single")
	case a.Arrangement == audit.Parallel && a.Strings < 2:
		r.contradictStrings(a, "two or more, since they are said to be parallel")
	case a.Arrangement == audit.VSet && a.Strings%2 != 0:
		r.contradictStrings(a, "an even number, since a V set has two like legs")
	}
}

// contradictStrings makes strings and arrangement of a row unknown that contradict each other.
func (r *register) contradictStrings(a *assembly, expected string) {
	r.unknown(a, audit.CellStrings, audit.Implausible, "Strings", strconv.Itoa(int(a.Strings)), "is implausible, expected "+expected+"; nothing is judged by either")
	a.Strings, a.Faulty = -1, a.Faulty.With(audit.CellArrangement)
}

// findUnitsPerString fills a blank number of units where there can be but one, and faults it where it is needed.
func (r *register) findUnitsPerString(a *assembly) {
	if a.UnitsPerString >= 0 || a.Makeup == 0 || a.Faulty.Has(audit.CellUnitsPerString) {
		return
	}
	switch r.project.Units[r.project.Makeups[a.Makeup].Parts[0].Unit].Kind {
	case basis.Composite, basis.Pin, basis.Post, basis.Shackle:
		a.UnitsPerString = 1
	default:
		if math.IsNaN(a.direct.CreepageMM) {
			r.unknown(a, audit.CellUnitsPerString, audit.MissingValue, "Units per string", "", "is blank")
		}
	}
}

// checkDefective compares the defective units with the units of a string.
func (r *register) checkDefective(a *assembly) {
	if a.UnitsPerString >= 0 && a.Defective > a.UnitsPerString {
		r.unknown(a, audit.CellDefective, audit.OutOfRange, "Defective units", strconv.Itoa(int(a.Defective)),
			fmt.Sprintf("is out of range, expected 0 to %d, the units per string", a.UnitsPerString))
	}
	if a.Faulty.Has(audit.CellDefective) {
		a.Defective = -1
	}
}
