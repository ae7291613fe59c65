package audit

import (
	"fmt"
	"math"
	"strconv"

	"dryarc/audit/basis"
)

// doubtTestedOfRows faults tested voltages of a line that are far above what is reckoned for their strings by the criteria of the line, by their table and by
// the gap that their arcing distance or their length is, those above what the units state together, and switching voltages that are no less than the
// lightning voltage.
// Rows that one row of a sheet makes, for its phases or circuits, have one fault.
func (n *Network) doubtTestedOfRows(line *Line, rows []uint32) {
	p, c := n.Project, n.criteriaOf(line)
	type cell struct {
		at            Source
		column, value string
	}
	said := map[cell]bool{}
	var believed statedStrings
	for _, r := range rows {
		if said := p.Assemblies.saidOf(r); said.Direct == 0 || believed.has(said) {
			continue
		}
		row := p.Assemblies.At(int(r))
		s, ok := p.stringOf(&row)
		if !ok {
			s = stringOfUnits{unit: basis.UnknownUnit(), units: -1}
		}
		figures, doubted := p.directOf(&row), Cells(0)
		fault := func(column string, testedKV *float64, of Cell, expected string) {
			value := strconv.FormatFloat(*testedKV, 'g', -1, 64)
			if at := (cell{row.Source, column, value}); !said[at] {
				said[at] = true
				p.Faults.Add(Fault{Kind: Implausible, At: row.Source, Column: column, Value: value, Expected: expected})
			}
			*testedKV, doubted = math.NaN(), doubted.With(of)
		}
		doubt := func(column string, testedKV *float64, of Cell, reckonedKV, share float64) {
			if most := share * reckonedKV; basis.Contradicts(most, *testedKV) {
				fault(column, testedKV, of, fmt.Sprintf("is implausible for its string, for which some %.0f kV are reckoned, expected %.0f kV or less; nothing is judged by it", reckonedKV, most))
			}
		}
		together := func(column string, testedKV *float64, of Cell, flashover, withstand func(u *basis.Unit) float64) {
			if most := p.togetherKV(&row, flashover, withstand); basis.Contradicts(most, *testedKV) {
				fault(column, testedKV, of, fmt.Sprintf("is implausible for its string, whose units have %.0f kV together by their own figures, expected that or less; nothing is judged by it", most))
			}
		}
		if !math.IsNaN(figures.LightningKV) {
			together("Lightning withstand", &figures.LightningKV, CellTested, lightningFlashoverOf, lightningWithstandOf)
			doubt("Lightning withstand", &figures.LightningKV, CellTested, s.lightningKV(&figures, c), s.mostLightningShare())
			doubt("Lightning withstand", &figures.LightningKV, CellTested, s.acrossKV(Lightning, &figures, c), basis.MostWithstandShare)
		}
		if !math.IsNaN(figures.WetKV) {
			together("Wet withstand", &figures.WetKV, CellTestedWet, wetFlashoverOf, wetWithstandOf)
			doubt("Wet withstand", &figures.WetKV, CellTestedWet, s.wetKV(c), basis.MostWithstandShare)
			doubt("Wet withstand", &figures.WetKV, CellTestedWet, s.acrossKV(Wet, &figures, c), basis.MostWithstandShare)
		}
		switching := [...]struct {
			column string
			kV     *float64
			own    func(u *basis.Unit) float64
		}{{"Switching withstand", &figures.SwitchingKV, lightningWithstandOf}, {"Wet switching withstand", &figures.WetSwitchingKV, wetSwitchingOf}}
		lightningKV := figures.LightningKV
		for _, of := range switching {
			if math.IsNaN(*of.kV) {
				continue
			}
			together(of.column, of.kV, CellLimits, lightningFlashoverOf, of.own)
			if doubt(of.column, of.kV, CellLimits, s.acrossKV(Switching, &figures, c), basis.MostWithstandShare); *of.kV >= lightningKV {
				fault(of.column, of.kV, CellLimits, fmt.Sprintf("is implausible, expected less than the lightning withstand of the string, %g kV; nothing is judged by either", lightningKV))
				figures.LightningKV, doubted = math.NaN(), doubted.With(CellTested)
			}
		}
		if doubted == 0 {
			believed.add(&row.RowSaid)
			continue
		}
		row.Faulty |= doubted
		p.restate(r, &row, figures)
	}
}

// togetherKV is the most that a string of a row withstands by what its units state of themselves: of each its flashover, and what it is rated to withstand, which
// is what an insulator that is the whole string does, and of one of several the least that it does; NaN where a unit states neither.
func (p *Project) togetherKV(row *AssemblyRow, flashover, withstand func(u *basis.Unit) float64) (kV float64) {
	parts := p.Makeups[row.Makeup].Parts
	if row.Makeup == 0 || len(parts) == 0 {
		return math.NaN()
	}
	for _, part := range parts {
		unit, count := p.unitAsStated(part.Unit), part.Count
		if count == 0 {
			count = int(row.UnitsPerString)
		}
		if count < 1 {
			return math.NaN()
		}
		flashes, rated := flashover(&unit), withstand(&unit)
		if len(parts) > 1 || count > 1 {
			rated /= basis.LeastRatedShare
		}
		if math.IsNaN(flashes) || rated < flashes {
			flashes = rated
		}
		kV += float64(count) * flashes
	}
	return kV
}

func lightningFlashoverOf(u *basis.Unit) float64 { return u.LightningKV }
func lightningWithstandOf(u *basis.Unit) float64 { return u.LightningWithstandKV }
func wetSwitchingOf(u *basis.Unit) float64       { return u.WetSwitchingKV }
func wetWithstandOf(u *basis.Unit) float64       { return u.WetWithstandKV }

// wetFlashoverOf is the wet flashover of a unit, else its dry one, than which it is no more.
func wetFlashoverOf(u *basis.Unit) float64 {
	if math.IsNaN(u.WetKV) {
		return u.DryKV
	}
	return u.WetKV
}

// stringOfUnits is a string of units of one type.
type stringOfUnits struct {
	unit  basis.Unit // as it is stated, also where that is not believed
	units int        // −1 where that is not known
}

// stringOf is the string of a row that states figures of its own; ok is false where its units are of several types or not known.
func (p *Project) stringOf(row *AssemblyRow) (s stringOfUnits, ok bool) {
	if row.Direct == 0 || row.Makeup == 0 || len(p.Makeups[row.Makeup].Parts) != 1 {
		return s, false
	}
	part := p.Makeups[row.Makeup].Parts[0]
	s = stringOfUnits{unit: p.unitAsStated(part.Unit), units: part.Count}
	if part.Count == 0 {
		s.units = int(row.UnitsPerString)
	}
	return s, true
}

// DoubtUnit keeps a unit as it is stated whose figures are not believed.
func (p *Project) DoubtUnit(unit int, as basis.Unit) {
	if p.DoubtedUnits == nil {
		p.DoubtedUnits = map[int]basis.Unit{}
	}
	p.DoubtedUnits[unit] = as
}

// unitAsStated is a unit with the figures that it is stated with, also where they are not believed: what contradicts them is not either.
func (p *Project) unitAsStated(unit int) basis.Unit {
	if as, doubted := p.DoubtedUnits[unit]; doubted {
		return as
	}
	return p.Units[unit]
}

// mayBeDiscs tells whether the units are discs, or several alike of a kind that nobody states, which may be.
func (s *stringOfUnits) mayBeDiscs() bool { return s.unit.Kind.MayCountUnits(s.units) }

// lightningKV is what is reckoned for the lightning withstand of the string: by the table of discs, else by the gap that its arcing
// distance or its length is; NaN where nothing tells.
func (s *stringOfUnits) lightningKV(of *DirectValues, c *Criteria) float64 {
	if s.mayBeDiscs() && basis.InDiscTable(s.unit.SpacingMM, s.unit.DiameterMM) {
		if kV, ok := basis.LightningWithstand(s.units, s.unit.SpacingMM, s.unit.DiameterMM); ok {
			return kV
		}
		return math.NaN()
	}
	if s.unit.Kind != basis.LongRod && s.unit.Kind != basis.Composite {
		return math.NaN()
	}
	arcingMM, lengthMM := math.NaN(), math.NaN()
	if s.units == 1 {
		arcingMM = s.unit.ArcingMM
	}
	if s.units >= 0 {
		lengthMM = float64(s.units) * s.unit.SpacingMM
	}
	for _, gapMM := range [...]float64{of.ArcingMM, arcingMM, of.LengthMM, lengthMM} {
		if math.IsNaN(gapMM) {
			continue
		}
		u50, err := basis.GapLightning(gapMM/1000, c.GapFactor.Value)
		if err != nil {
			return math.NaN()
		}
		return basis.WithstandFromU50(u50, basis.LightningSigma)
	}
	return math.NaN()
}

// acrossKV is what the gap withstands that the arcing distance of the string is, else its length, to which of discs the way round a rim is added; across less than a
// metre, of impulses, what a metre does. NaN where nothing tells.
func (s *stringOfUnits) acrossKV(shape Shape, of *DirectValues, c *Criteria) float64 {
	reachMM := of.ArcingMM
	rod := s.unit.Kind == basis.LongRod || s.unit.Kind == basis.Composite
	if math.IsNaN(reachMM) && rod && s.units == 1 {
		reachMM = s.unit.ArcingMM
	}
	if math.IsNaN(reachMM) && s.units > 0 && (rod || s.mayBeDiscs()) {
		if reachMM = float64(s.units) * s.unit.SpacingMM; !rod {
			reachMM += basis.AroundRimMM
		}
	}
	gapM := reachMM / 1000
	if shape == Wet {
		u50, err := basis.GapPowerFrequency(gapM, c.GapFactor.Value)
		if err != nil {
			return math.NaN()
		}
		return u50
	}
	formula, sigma := basis.GapLightning, basis.LightningSigma
	if shape == Switching {
		formula, sigma = basis.GapSwitching, basis.SwitchingSigma
	}
	u50, err := formula(max(gapM, basis.NearestGap(0)), c.GapFactor.Value)
	if err != nil {
		return math.NaN()
	}
	return basis.WithstandFromU50(u50, sigma)
}

// mostLightningShare bounds a tested lightning voltage against lightningKV.
func (s *stringOfUnits) mostLightningShare() float64 {
	if s.mayBeDiscs() {
		return basis.MostDiscWithstandShare
	}
	return basis.MostWithstandShare
}

// wetKV is the wet withstand that the table of discs gives for the string; NaN where it does not.
func (s *stringOfUnits) wetKV(c *Criteria) float64 {
	if !s.mayBeDiscs() || !basis.InDiscTable(s.unit.SpacingMM, s.unit.DiameterMM) {
		return math.NaN()
	}
	if kV, ok := basis.WetWithstand(s.units, s.unit.SpacingMM, s.unit.DiameterMM, c.WetShare.Value); ok {
		return kV
	}
	return math.NaN()
}
