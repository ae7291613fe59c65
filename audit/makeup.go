package audit

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit/basis"
)

// SetMakeup says what the strings are made of and finds the creepage that follows. UnitsPerString must be set before.
func (a *Assembly) SetMakeup(makeup *Makeup, units []basis.Unit) {
	a.Makeup, a.units = makeup, units
	a.Unit = &units[makeup.Parts[0].Unit]
	a.CreepageMM = 0
	for _, part := range makeup.Parts {
		a.CreepageMM += float64(a.count(part)) * units[part.Unit].CreepageMM
	}
	if len(makeup.Parts) == 1 && a.UnitsPerString < 0 {
		a.CreepageMM = math.NaN()
	}
}

// setUnits changes the number of units of a trial.
func (a *Assembly) setUnits(n int) {
	a.UnitsPerString = n
	a.SetMakeup(a.Makeup, a.units)
}

func (a *Assembly) count(part Part) int {
	if part.Count > 0 {
		return part.Count
	}
	return a.UnitsPerString
}

// sumOfUnits adds a figure over all units of all strings; NaN if unknown.
func (a *Assembly) sumOfUnits(figure func(u *basis.Unit) float64) float64 {
	if a.Makeup == nil || a.Strings < 1 {
		return math.NaN()
	}
	sum := 0.0
	for _, part := range a.Makeup.Parts {
		n := a.count(part)
		if n < 0 {
			return math.NaN()
		}
		sum += float64(n) * figure(&a.units[part.Unit])
	}
	return sum * float64(a.Strings)
}

// SoundCreepageMM is the creepage of the worst string without its defective units. Where the string is mixed, the
// units with the longest creepage are taken to be the defective ones; where the row states the creepage of the whole
// string, each unit has an equal share; a long rod or a composite with any defect has failed.
func (a *Assembly) SoundCreepageMM() float64 {
	switch {
	case a.Defective <= 0:
		return a.CreepageMM
	case a.HasFailed():
		return 0
	case a.CreepageStated || a.Makeup == nil || len(a.Makeup.Parts) == 1:
		return basis.SoundCreepage(a.CreepageMM, a.UnitsPerString, a.Defective)
	}
	return a.worstWithout(a.Defective, a.CreepageMM, func(u *basis.Unit) float64 { return u.CreepageMM })
}

// worstWithout is what is left of a figure of a whole string without some of its units: those that have most of it, since which they are no input says.
func (a *Assembly) worstWithout(gone int, whole float64, figure func(u *basis.Unit) float64) float64 {
	taken := make([]bool, len(a.Makeup.Parts))
	for gone > 0 {
		most := -1
		for i, part := range a.Makeup.Parts {
			if !taken[i] && (most < 0 || figure(&a.units[part.Unit]) > figure(&a.units[a.Makeup.Parts[most].Unit])) {
				most = i
			}
		}
		if most < 0 {
			return 0
		}
		taken[most] = true
		n := min(gone, a.count(a.Makeup.Parts[most]))
		whole -= float64(n) * figure(&a.units[a.Makeup.Parts[most].Unit])
		gone -= n
	}
	return whole
}

// HasFailed tells whether a defect has failed the whole string, as any does that has a long rod, a composite or a post in
// it. A unit of unknown kind tells nothing.
func (a *Assembly) HasFailed() bool {
	return a.Defective > 0 && a.Makeup != nil && slices.ContainsFunc(a.Makeup.Parts, func(part Part) bool {
		kind := a.units[part.Unit].Kind
		return kind != basis.KindUnknown && !kind.HasUnitCount()
	})
}

// RatingKN is the rating of one string: the row's, else that of its weakest unit; NaN if unknown.
func (a *Assembly) RatingKN() float64 {
	if !math.IsNaN(a.Direct.RatingKN) || a.Makeup == nil || a.Faulty.Has(CellRating) {
		return a.Direct.RatingKN
	}
	weakest := math.Inf(1)
	for _, part := range a.Makeup.Parts {
		rating := a.units[part.Unit].RatingKN
		if math.IsNaN(rating) {
			return rating
		}
		weakest = math.Min(weakest, rating)
	}
	return weakest
}

// CantileverKN is the rating across the axis of the weakest insulator of a string; NaN if one is unknown.
func (a *Assembly) CantileverKN() float64 {
	return a.weakestKN(func(u *basis.Unit) float64 { return u.CantileverKN })
}

// CompressionKN is the compression rating of the weakest insulator of a string; NaN if one is unknown.
func (a *Assembly) CompressionKN() float64 {
	return a.weakestKN(func(u *basis.Unit) float64 { return u.CompressionKN })
}

// weakestKN is the least of a strength among the units of a string; infinite where it is not known what it is made of.
func (a *Assembly) weakestKN(strength func(u *basis.Unit) float64) float64 {
	weakest := math.Inf(1)
	if a.Makeup == nil {
		return weakest
	}
	for _, part := range a.Makeup.Parts {
		kN := strength(&a.units[part.Unit])
		if math.IsNaN(kN) {
			return kN
		}
		weakest = math.Min(weakest, kN)
	}
	return weakest
}

// Units lists the kinds of unit in a string, in the order of its makeup; empty where that is not known.
func (a *Assembly) Units() (units []*basis.Unit) {
	if a.Makeup == nil {
		return nil
	}
	for _, part := range a.Makeup.Parts {
		units = append(units, &a.units[part.Unit])
	}
	return units
}

// HasKind tells whether a unit of a kind is in the string.
func (a *Assembly) HasKind(kind basis.Kind) bool {
	return a.Makeup != nil && slices.ContainsFunc(a.Makeup.Parts, func(part Part) bool { return a.units[part.Unit].Kind == kind })
}

// WeightN is the weight of all strings of an assembly in N; NaN if unknown.
func (a *Assembly) WeightN() float64 {
	return basis.Gravity * a.sumOfUnits(func(u *basis.Unit) float64 { return u.WeightKg })
}

// StringWeightN is what is known of the weight of one string of an assembly in N: that of the units that state it, see Unweighed.
func (a *Assembly) StringWeightN() float64 {
	if a.Makeup == nil {
		return 0
	}
	sum := 0.0
	for _, part := range a.Makeup.Parts {
		sum += float64(max(a.count(part), 0)) * zeroIfNone(a.units[part.Unit].WeightKg)
	}
	return basis.Gravity * sum
}

// Unweighed are the units of a string that state no weight.
func (a *Assembly) Unweighed() []*basis.Unit {
	return slices.DeleteFunc(a.Units(), func(u *basis.Unit) bool { return !math.IsNaN(u.WeightKg) })
}

// windAreaM2 is the area of all strings of an assembly that the wind meets, or more; NaN if unknown.
func (a *Assembly) windAreaM2() float64 { return a.sumOfUnits((*basis.Unit).WindAreaAtMostM2) }

// Unmeasured are the units of a string that state no wind area.
func (a *Assembly) Unmeasured() []*basis.Unit {
	return slices.DeleteFunc(a.Units(), func(u *basis.Unit) bool { return !math.IsNaN(u.WindAreaM2) })
}

// lacksCount tells whether the number of units in a string is not known.
func (a *Assembly) lacksCount() bool {
	return slices.ContainsFunc(a.Makeup.Parts, func(part Part) bool { return a.count(part) < 0 })
}

// isOneInsulator tells whether a string is one insulator that is no cap-and-pin unit, so that what its unit withstands is what
// the string does.
func (a *Assembly) isOneInsulator() bool {
	return a.Makeup != nil && len(a.Makeup.Parts) == 1 && a.count(a.Makeup.Parts[0]) == 1 && !a.CountsUnits()
}

// inSeries tells whether a string holds a long rod, a composite, a post or the like beside another unit: what one of them
// withstands says nothing of the string.
func (a *Assembly) inSeries() bool {
	if a.Makeup == nil || a.isOneInsulator() {
		return false
	}
	return slices.ContainsFunc(a.Makeup.Parts, func(part Part) bool {
		kind := a.units[part.Unit].Kind
		return kind != basis.KindUnknown && !kind.HasUnitCount()
	})
}

// CountsUnits tells whether every unit of a string is one of those that share its length.
func (a *Assembly) CountsUnits() bool {
	return a.Makeup != nil && !slices.ContainsFunc(a.Makeup.Parts, func(part Part) bool { return !a.units[part.Unit].Kind.HasUnitCount() })
}

// MayBeCapAndPin tells whether every unit of a string is one of those that share its length, or of a kind that nobody states, one unit alone too.
func (a *Assembly) MayBeCapAndPin() bool {
	return a.Makeup != nil && !slices.ContainsFunc(a.Makeup.Parts, func(part Part) bool {
		kind := a.units[part.Unit].Kind
		return !kind.HasUnitCount() && kind != basis.KindUnknown
	})
}

// AverageDiameterMM is the largest average diameter of the units in the string, NaN where none is stated.
func (a *Assembly) AverageDiameterMM() float64 {
	if a.Makeup == nil {
		return math.NaN()
	}
	largest := math.NaN()
	for _, part := range a.Makeup.Parts {
		if d := a.units[part.Unit].AverageDiameterMM; d > largest || math.IsNaN(largest) {
			largest = d
		}
	}
	return largest
}

// Couplings lists the couplings of the runs of units in the string, empty where one is unknown; none where its units are.
func (a *Assembly) Couplings() (couplings []string) {
	if a.Makeup == nil {
		return nil
	}
	for _, part := range a.Makeup.Parts {
		couplings = append(couplings, a.units[part.Unit].Coupling)
	}
	return couplings
}

// Hanging says in a few words what hangs there: "13 × U120B", "2 strings of 13 × U120B", "unit not known".
func (a *Assembly) Hanging() string {
	var text string
	switch {
	case a.Makeup == nil && a.UnitsPerString >= 0:
		text = fmt.Sprintf("%d × unit not known", a.UnitsPerString)
	case a.Makeup == nil:
		text = "unit not known"
	case len(a.Makeup.Parts) > 1:
		var parts []string
		for _, part := range a.Makeup.Parts {
			parts = append(parts, fmt.Sprintf("%d × %s", part.Count, a.units[part.Unit].Name))
		}
		text = strings.Join(parts, " + ")
	case a.UnitsPerString < 0:
		text = "? × " + a.Unit.Name
	default:
		text = strconv.Itoa(a.UnitsPerString) + " × " + a.Unit.Name
	}
	if a.Strings > 1 {
		text = fmt.Sprintf("%d strings of %s", a.Strings, text)
	}
	return text
}
