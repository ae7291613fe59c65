package audit

import (
	"math"

	"dryarc/audit/basis"
)

// lengthSense is what the Length that a row states is the length of.
type lengthSense uint8

const (
	lengthBlank   lengthSense = iota // none is stated: the units' stands in
	lengthOfUnits                    // of the units alone: within 2 % of theirs, or theirs is not known, see lacksInsulatingLength
	lengthWhole                      // with fittings: it is beyond that of the units
	lengthUnsure                     // which of both nobody can tell, since what the units' length rests on cannot be read
	lengthDoubted                    // none: it cannot be read, or is less than its units have
)

// lengthSense tells what the Length of the row is the length of. This is the one place that decides it.
func (a *Assembly) lengthSense() lengthSense {
	stated, units := a.Direct.LengthMM, a.UnitsMM()
	switch {
	case a.Faulty.Has(CellLength), basis.IsShorterThanUnits(stated, units):
		return lengthDoubted
	case math.IsNaN(stated):
		return lengthBlank
	case math.IsNaN(units) && (a.Faulty.Has(CellUnit) || a.Faulty.Has(CellUnitsPerString) || a.UnitFaulty.Has(CellLength)):
		return lengthUnsure
	case basis.IsLongerThanUnits(stated, units):
		return lengthWhole
	}
	return lengthOfUnits
}

// UnitsMM is the length of the units of a string, units times spacing, whatever its row states; NaN if unknown.
func (a *Assembly) UnitsMM() float64 {
	if a.Makeup == nil {
		return math.NaN()
	}
	length := 0.0
	for _, part := range a.Makeup.Parts {
		n := a.count(part)
		if n < 0 {
			return math.NaN()
		}
		length += float64(n) * a.units[part.Unit].SpacingMM
	}
	return length
}

// UnitsLeftMM is the length of so many units of a string as are left of it: of unlike ones the longest are taken to be gone; NaN if unknown.
func (a *Assembly) UnitsLeftMM(units int) float64 {
	whole, gone := a.UnitsMM(), a.UnitsPerString-units
	if math.IsNaN(whole) || gone <= 0 || len(a.Makeup.Parts) == 1 {
		return a.shareOf(units) * whole
	}
	return a.leastLeft(gone, func(u *basis.Unit) float64 { return u.SpacingMM })
}

// LengthMM is the length of a string as far as it is known, the longer of the row's and the units'; NaN if unknown. It has the fittings in
// it where the row's has.
func (a *Assembly) LengthMM() float64 {
	switch a.lengthSense() {
	case lengthDoubted:
		return math.NaN()
	case lengthBlank:
		return a.UnitsMM()
	}
	if units := a.UnitsMM(); units > a.Direct.LengthMM {
		return units
	}
	return a.Direct.LengthMM
}

// FittingsMM is how much of the Length that the row states is of fittings: 0 where it is of the units alone, or none is stated; NaN if unknown.
func (a *Assembly) FittingsMM() float64 {
	switch sense, units := a.lengthSense(), a.UnitsMM(); {
	case sense == lengthBlank, sense == lengthOfUnits && !math.IsNaN(units):
		return 0
	case sense == lengthWhole:
		return a.Direct.LengthMM - units
	}
	return math.NaN()
}

// LengthWith is what the Length of the row becomes with some units added, or taken away; NaN where it states none. One of the units alone stays
// one: with fewer of them what it differs by would count for more, and be taken for fittings.
func (a *Assembly) LengthWith(moreMM float64) float64 {
	stated, units := a.Direct.LengthMM, a.UnitsMM()
	if a.FittingsMM() > 0 || !(units > 0) {
		return stated + moreMM
	}
	return stated * (units + moreMM) / units
}

// InsulatingMM is the length of a string that insulates, which fittings have no part in; NaN if unknown. What a row of a line with fittings
// states of units whose length is not known may have them in it.
func (a *Assembly) InsulatingMM(of *Line) float64 {
	switch units := a.UnitsMM(); {
	case a.lacksInsulatingLength(of) != NoReason:
		return math.NaN()
	case !math.IsNaN(units):
		return units
	}
	return a.Direct.LengthMM
}

func (a *Assembly) lacksLength() Reason {
	switch {
	case !math.IsNaN(a.LengthMM()):
		return NoReason
	case a.lengthSense() == lengthDoubted || a.Faulty.Has(CellUnitsPerString) || a.UnitFaulty.Has(CellLength):
		return FaultyField
	}
	return a.lacksUnitsLength()
}

// lacksUnitsLength is why the length of the units is unknown where no cell is faulty.
func (a *Assembly) lacksUnitsLength() Reason {
	switch {
	case a.Makeup == nil:
		return a.lacksString()
	case a.UnitsPerString < 0:
		return UnitsNotStated
	}
	return SpacingUnknown
}

func (a *Assembly) lacksInsulatingLength(of *Line) Reason {
	switch reason := a.lacksLength(); {
	case a.lengthSense() == lengthUnsure:
		return FaultyField
	case reason != NoReason, !math.IsNaN(a.UnitsMM()):
		return reason
	case of.Row.Faulty.Has(CellLength):
		return of.Row.lacks(CellLength)
	case isStated(of.Row.FittingsMM):
		return a.lacksUnitsLength()
	}
	return NoReason
}
