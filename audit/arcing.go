package audit

import (
	"math"

	"dryarc/audit/basis"
)

// ArcingDistance is what the project says of the dry arcing distance of strings of discs for which none is stated.
type ArcingDistance uint8

// What it may say: nothing, or that it is the length of the string less its hardware, which is that of its units.
const (
	ArcingNotStated ArcingDistance = iota
	ArcingOverUnits
)

func (d ArcingDistance) String() string { return [...]string{"", "string length less hardware"}[d] }

// ArcingDistanceWords are the spellings of the criterion.
func ArcingDistanceWords() []Spelling[ArcingDistance] {
	return []Spelling[ArcingDistance]{{ArcingOverUnits.String(), ArcingOverUnits}}
}

// ArcingMM is the dry arcing distance: the row's, else that of an insulator which is a whole string.
func (a *Assembly) ArcingMM() float64 {
	if math.IsNaN(a.Direct.ArcingMM) && !a.Faulty.Has(CellArcing) && a.isOneInsulator() {
		return a.Unit.ArcingMM
	}
	return a.Direct.ArcingMM
}

// faultyArcing tells whether an arcing distance is stated that nobody can read.
func (a *Assembly) faultyArcing() bool {
	return a.Faulty.Has(CellArcing) || a.UnitFaulty.Has(CellArcing) && a.Unit != nil && !a.Unit.Kind.HasUnitCount()
}

// acrossGap is what a string withstands across its dry arcing distance, of which its sound units have a share, as stated, else where the criteria
// say so over its sound units. A long rod, a composite or a post has fittings in its length.
func (a *Assembly) acrossGap(shape Shape, units int, c *Criteria) Withstand {
	stated := a.ArcingMM()
	if !math.IsNaN(stated) || shape == Wet || c.ArcingDistance != ArcingOverUnits || a.faultyArcing() || !a.MayBeCapAndPin() {
		return a.gapWithstand(shape, a.shareOf(units)*stated, c)
	}
	switch unitsMM := a.UnitsLeftMM(units); {
	case !a.CountsUnits():
		return unknownWithstand(UnitKindNotStated)
	case a.UnitFaulty.Has(CellLength), a.lengthSense() == lengthDoubted:
		return unknownWithstand(FaultyField)
	case math.IsNaN(unitsMM):
		return unknownWithstand(SpacingUnknown)
	default:
		across := a.gapWithstand(shape, unitsMM, c)
		across.From = GapOverUnits
		return across
	}
}

// gapWithstand is the withstand of a dry gap; of one outside the range of the formula that of the nearest which it knows.
func (a *Assembly) gapWithstand(shape Shape, arcingMM float64, c *Criteria) Withstand {
	formula, sigma := basis.GapLightning, basis.LightningSigma
	switch {
	case math.IsNaN(arcingMM) && shape != Wet && a.faultyArcing():
		return unknownWithstand(FaultyField)
	case math.IsNaN(arcingMM), shape == Wet:
		return unknownWithstand(WithstandUnknown)
	case shape == Switching:
		formula, sigma = basis.GapSwitching, basis.SwitchingSigma
	}
	w := Withstand{From: GapFormula, GapM: arcingMM / 1000}
	nearestM := basis.NearestGap(w.GapM)
	u50, err := formula(nearestM, c.GapFactor.Value)
	if err != nil {
		return unknownWithstand(OutsideGapFormula)
	}
	w.KV = basis.WithstandFromU50(u50, sigma)
	switch {
	case w.GapM < nearestM:
		w.NoMore = OutsideGapFormula
	case w.GapM > nearestM:
		w.NoLess = OutsideGapFormula
	}
	return w
}
