package read

import (
	"fmt"
	"math"
	"strconv"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// doubtUnit finds figures of a unit that no unit of its kind has, or that cannot both be right; none of them is used.
func (r *register) doubtUnit(u *unit, at audit.Source) {
	spacing := u.SpacingMM
	if !basis.PlausibleSpacing(u.Kind, u.SpacingMM) {
		r.fault(at, audit.Implausible, "Spacing", inDigits(u.SpacingMM), fmt.Sprintf("is implausible for one %s unit, expected %g mm or less; nothing is judged by it", u.Kind, basis.MostDiscSpacingMM))
		u.SpacingMM, u.faulty = math.NaN(), u.faulty.With(audit.CellLength)
	}
	if !basis.PlausibleUnitCreepage(u.Kind, u.CreepageMM, spacing) {
		r.fault(at, audit.Implausible, "Creepage", inDigits(u.CreepageMM), fmt.Sprintf("is implausible for one %s unit of spacing %g mm, expected %g mm or less; neither is used",
			kindInWords(u.Kind), spacing, basis.MostCreepagePerLength*spacing))
		u.CreepageMM, u.faulty = math.NaN(), u.faulty.With(audit.CellCreepage)
		u.SpacingMM, u.faulty = math.NaN(), u.faulty.With(audit.CellLength)
	}
	if !basis.PlausibleArcing(u.Kind, u.ArcingMM, spacing) {
		r.fault(at, audit.Implausible, "Arcing", inDigits(u.ArcingMM), fmt.Sprintf("is implausible for a %s of spacing %g mm, which is shorter; neither is used", u.Kind, spacing))
		u.ArcingMM, u.faulty = math.NaN(), u.faulty.With(audit.CellArcing)
		u.SpacingMM, u.faulty = math.NaN(), u.faulty.With(audit.CellLength)
	}
	r.doubtSize(u, spacing, at)
	r.doubtVoltages(u, spacing, at)
	if math.IsNaN(u.SpacingMM) && !math.IsNaN(spacing) {
		r.doubtedSpacing[nameKey(u.Name)] = spacing
	}
}

// doubtSize finds a rating, a diameter and an average diameter of a unit that its size does not bear.
func (r *register) doubtSize(u *unit, spacingMM float64, at audit.Source) {
	as := u.Unit
	if most := basis.MostRatingBySpacingKN(u.Kind, spacingMM); basis.Contradicts(most, as.RatingKN) {
		r.fault(at, audit.Implausible, "Rating", inDigits(as.RatingKN), fmt.Sprintf("is implausible for one %s unit of spacing %g mm, expected %.0f kN or less; neither is used", kindInWords(u.Kind), spacingMM, most))
		u.RatingKN, u.faulty = math.NaN(), u.faulty.With(audit.CellRating)
		u.SpacingMM, u.faulty = math.NaN(), u.faulty.With(audit.CellLength)
	}
	if most := basis.MostRatingByDiameterKN(u.Kind, as.DiameterMM); basis.Contradicts(most, as.RatingKN) {
		r.fault(at, audit.Implausible, "Rating", inDigits(as.RatingKN), fmt.Sprintf("is implausible for one %s unit of diameter %g mm, expected %.0f kN or less; neither is used", u.Kind, as.DiameterMM, most))
		u.RatingKN, u.faulty = math.NaN(), u.faulty.With(audit.CellRating)
		u.DiameterMM, u.faulty = math.NaN(), u.faulty.With(audit.CellDiameter)
	}
	if basis.PlausibleSpacing(u.Kind, spacingMM) && !basis.PlausibleDiameter(u.Kind, as.DiameterMM, spacingMM) {
		r.fault(at, audit.Implausible, "Diameter", inDigits(as.DiameterMM), fmt.Sprintf("is implausible for one %s unit of spacing %g mm, expected %.0f to %.0f mm; neither is used",
			u.Kind, spacingMM, basis.LeastDiscDiameterShare*spacingMM, basis.MostDiscDiameterShare*spacingMM))
		u.DiameterMM, u.faulty = math.NaN(), u.faulty.With(audit.CellDiameter)
		u.SpacingMM, u.faulty = math.NaN(), u.faulty.With(audit.CellLength)
	}
	if !basis.PlausibleAverageDiameter(as.AverageDiameterMM, as.DiameterMM) {
		r.fault(at, audit.Implausible, "Average diameter", inDigits(as.AverageDiameterMM), fmt.Sprintf("is implausible for a unit of diameter %g mm, expected %g to %g mm; neither is used",
			as.DiameterMM, basis.LeastAverageDiameterShare*as.DiameterMM, basis.MostAverageDiameterShare*as.DiameterMM))
		u.AverageDiameterMM, u.faulty = math.NaN(), u.faulty.With(audit.CellAverageDiameter)
		u.DiameterMM, u.faulty = math.NaN(), u.faulty.With(audit.CellDiameter)
	}
}

// doubtVoltages finds voltages of a unit that its length does not bear, or that contradict each other.
func (r *register) doubtVoltages(u *unit, spacingMM float64, at audit.Source) {
	as := u.Unit
	flashover, gapFactor := basis.MostFlashoverKV(u.Kind, spacingMM), r.project.Criteria.GapFactor.Value
	for _, of := range [...]struct {
		column   string
		kV, most float64
		own      *float64
		cell     audit.Cell
	}{
		{"Dry", as.DryKV, flashover, &u.DryKV, audit.CellTested},
		{"Wet", as.WetKV, flashover, &u.WetKV, audit.CellTested},
		{"Wet withstand", as.WetWithstandKV, flashover, &u.WetWithstandKV, audit.CellTested},
		{"Lightning", as.LightningKV, basis.MostImpulseKV(u.Kind, spacingMM, basis.GapLightning, gapFactor, 0), &u.LightningKV, audit.CellTested},
		{"Lightning withstand", as.LightningWithstandKV, basis.MostImpulseKV(u.Kind, spacingMM, basis.GapLightning, gapFactor, basis.LightningSigma), &u.LightningWithstandKV, audit.CellTested},
		{"Wet switching withstand", as.WetSwitchingKV, basis.MostImpulseKV(u.Kind, spacingMM, basis.GapSwitching, gapFactor, basis.SwitchingSigma), &u.WetSwitchingKV, audit.CellLimits},
	} {
		if !basis.Contradicts(of.most, of.kV) {
			continue
		}
		r.fault(at, audit.Implausible, of.column, inDigits(of.kV), fmt.Sprintf("is implausible for one %s unit of spacing %g mm, expected %.0f kV or less; neither is used", u.Kind, spacingMM, of.most))
		*of.own, u.faulty = math.NaN(), u.faulty.With(of.cell)
		u.SpacingMM, u.faulty = math.NaN(), u.faulty.With(audit.CellLength)
	}
	for _, of := range [...]struct {
		column, most string
		kV, mostKV   float64
		own, ownMost *float64
	}{
		{"Lightning withstand", "lightning flashover", as.LightningWithstandKV, as.LightningKV, &u.LightningWithstandKV, &u.LightningKV},
		{"Wet switching withstand", "lightning flashover", as.WetSwitchingKV, as.LightningKV, &u.WetSwitchingKV, &u.LightningKV},
		{"Wet switching withstand", "lightning withstand", as.WetSwitchingKV, as.LightningWithstandKV, &u.WetSwitchingKV, &u.LightningWithstandKV},
		{"Wet", "dry flashover", as.WetKV, as.DryKV, &u.WetKV, &u.DryKV},
		{"Wet withstand", "wet flashover", as.WetWithstandKV, as.WetKV, &u.WetWithstandKV, &u.WetKV},
		{"Wet withstand", "dry flashover", as.WetWithstandKV, as.DryKV, &u.WetWithstandKV, &u.DryKV},
	} {
		if !basis.Contradicts(of.mostKV, of.kV) {
			continue
		}
		r.fault(at, audit.Implausible, of.column, inDigits(of.kV), fmt.Sprintf("is implausible for a unit whose %s is %g kV, expected that or less; neither is used", of.most, of.mostKV))
		*of.own, *of.ownMost, u.faulty = math.NaN(), math.NaN(), u.faulty.With(audit.CellTested)
		if of.own == &u.WetSwitchingKV {
			u.faulty = u.faulty.With(audit.CellLimits)
		}
	}
	for _, of := range [...]struct {
		name string
		kV   float64
		own  *float64
	}{
		{"dry flashover", as.DryKV, &u.DryKV},
		{"lightning flashover", as.LightningKV, &u.LightningKV},
		{"lightning withstand", as.LightningWithstandKV, &u.LightningWithstandKV},
	} {
		if basis.PlausiblePuncture(u.Kind, as.PunctureKV, of.kV) {
			continue
		}
		r.fault(at, audit.Implausible, "Puncture", inDigits(as.PunctureKV), fmt.Sprintf("is implausible for a unit whose %s is %g kV, expected %.0f to %.0f kV; neither is used",
			of.name, of.kV, basis.LeastPunctureShare*of.kV, basis.MostPunctureShare*of.kV))
		u.PunctureKV, *of.own, u.faulty = math.NaN(), math.NaN(), u.faulty.With(audit.CellTested)
	}
}

// spacingMM is the spacing of a unit as stated, also where it is doubted: what contradicts it as well is not believed either.
func (r *register) spacingMM(u *basis.Unit) float64 {
	if len(r.doubtedSpacing) > 0 { // seldom, and a key of each row takes time
		if doubted, is := r.doubtedSpacing[nameKey(u.Name)]; is {
			return doubted
		}
	}
	return u.SpacingMM
}

// doubtString finds figures of a row that contradict each other or what its units are. What is doubted becomes unknown and is
// never put right.
func (r *register) doubtString(a *assembly) {
	if a.Makeup == 0 {
		return
	}
	s := r.summedUpAs(a)
	if tooMany, of := s.tooManyAs(a.Duty); tooMany > 0 {
		column, value, cell := "Units per string", strconv.Itoa(tooMany), audit.CellUnitsPerString
		if s.mixed || r.project.Makeups[a.Makeup].Parts[0].Count > 0 {
			column, value, cell, a.Makeup = "Unit", a.unit, audit.CellUnit, 0
		}
		expected := fmt.Sprintf("expected %d or fewer in series of a kind that is %s", basis.MostInSeries(of), of)
		if basis.MostInSeries(of) == 1 {
			expected = fmt.Sprintf("expected one alone where it is a %s, on which nothing stands; those side by side are strings, and one for each phase of the row is 1", of)
		}
		trouble := trouble{kind: audit.Implausible, expected: "is implausible, " + expected}
		if basis.MostInSeries(of) == 1 { // as a column that counts those of all phases is on each row
			trouble.gathered = fmt.Sprint(a.Line, " ", value, " ", expected)
		}
		r.trouble(audit.Fault{At: a.Source, Column: column, Value: value}, &trouble)
		a.UnitsPerString, a.Faulty = -1, a.Faulty.With(cell).With(audit.CellUnitsPerString)
		if a.Makeup == 0 || basis.MostInSeries(of) > 1 {
			return
		}
		one := *a
		one.UnitsPerString = 1
		alone := r.sumUp(&one) // which bounds what the row itself states
		s = &alone
	}
	d := &a.direct
	if least, most := basis.LeastCreepageOfUnits*s.creepageMM, basis.MostCreepageShare*s.creepageMM; basis.Contradicts(d.CreepageMM, least) || basis.Contradicts(most, d.CreepageMM) {
		r.unknown(a, audit.CellCreepage, audit.Implausible, "Creepage", inDigits(d.CreepageMM),
			fmt.Sprintf("is implausible for a string whose units have %g mm, expected %g to %g mm; nothing is judged by it", s.creepageMM, least, most))
		d.CreepageMM = math.NaN()
	}
	r.doubtRating(a, s)
	r.doubtArcing(a, s)
}

// doubtRating compares the rating of a row of what hangs with that of its weakest unit.
func (r *register) doubtRating(a *assembly, s *summedUp) {
	if !s.mayBeDiscs() && s.kind != basis.LongRod && s.kind != basis.Composite {
		return
	}
	d := &a.direct
	if least, most := basis.LeastRatingShare*s.ratingKN, basis.MostRatingShare*s.ratingKN; basis.Contradicts(d.RatingKN, least) || basis.Contradicts(most, d.RatingKN) {
		r.unknown(a, audit.CellRating, audit.Implausible, "Rating", inDigits(d.RatingKN),
			fmt.Sprintf("is implausible for a string whose weakest unit has %g kN, expected %g to %g kN; nothing is judged by it", s.ratingKN, least, most))
		d.RatingKN = math.NaN()
	}
	if basis.Contradicts(s.mostRatingKN, d.RatingKN) { // by their size, where they state no rating or one that is not believed
		r.unknown(a, audit.CellRating, audit.Implausible, "Rating", inDigits(d.RatingKN),
			fmt.Sprintf("is implausible for a string whose shortest unit bears %.0f kN at most, expected that or less; nothing is judged by it", s.mostRatingKN))
		d.RatingKN = math.NaN()
	}
}

// doubtArcing compares the dry arcing distance of a row with the length of its string.
func (r *register) doubtArcing(a *assembly, s *summedUp) {
	d := &a.direct
	length := s.lengthMM
	if !math.IsNaN(d.LengthMM) || a.Faulty.Has(audit.CellLength) {
		length = d.LengthMM
	}
	kind := s.kind
	if s.mayBeDiscs() {
		kind = basis.CapAndPin // of which the most is believed
	}
	if basis.PlausibleArcing(kind, d.ArcingMM, length) {
		return
	}
	r.unknown(a, audit.CellArcing, audit.Implausible, "Arcing", inDigits(d.ArcingMM), fmt.Sprintf("is implausible for a string of %g mm; nothing is judged by it", length))
	d.ArcingMM = math.NaN()
	if !math.IsNaN(d.LengthMM) { // nobody can tell which of the two is wrong
		d.LengthMM, a.Faulty = math.NaN(), a.Faulty.With(audit.CellLength)
	}
}

// summedUp is what the units of a row come to; NaN where one of them does not state it.
type summedUp struct {
	makeup         uint32
	unitsPerString int16

	units                int
	kind                 basis.Kind // of all of them, else unknown
	mixed                bool
	creepageMM, lengthMM float64
	ratingKN             float64 // of the weakest
	mostRatingKN         float64 // that the smallest bears
	tooMany              int     // in series, 0 where there are not
	tooManyOf            basis.Kind
}

// summedUpAs is what the units of a row come to, which mostly are those of the row before.
func (r *register) summedUpAs(a *assembly) *summedUp {
	if r.summed.makeup != a.Makeup || r.summed.unitsPerString != a.UnitsPerString {
		r.summed = r.sumUp(a)
		r.summed.makeup, r.summed.unitsPerString = a.Makeup, a.UnitsPerString
	}
	return &r.summed
}

// tooManyAs is how many units a string has of a kind of which it cannot have so many; of units of which nobody states the kind a pin or a shackle has one too. 0 where it has not.
func (s *summedUp) tooManyAs(duty audit.Duty) (units int, of basis.Kind) {
	if s.tooMany > 0 || s.kind != basis.KindUnknown || s.units < 2 {
		return s.tooMany, s.tooManyOf
	}
	switch duty {
	case audit.Pin:
		return s.units, basis.Pin
	case audit.Shackle:
		return s.units, basis.Shackle
	}
	return 0, s.kind
}

func (r *register) sumUp(a *assembly) (s summedUp) {
	parts := r.project.Makeups[a.Makeup].Parts
	s.mixed, s.ratingKN, s.mostRatingKN = len(parts) > 1, math.Inf(1), math.Inf(1)
	for i, part := range parts {
		u, count := &r.project.Units[part.Unit], part.Count
		if count == 0 {
			count = int(a.UnitsPerString)
		}
		if count < 0 {
			s.creepageMM, s.lengthMM = math.NaN(), math.NaN()
			count = 0
		}
		s.ratingKN = min(s.ratingKN, u.RatingKN) // NaN where one is
		if most := basis.MostRatingBySpacingKN(u.Kind, r.spacingMM(u)); most < s.mostRatingKN {
			s.mostRatingKN = most
		}
		s.units += count
		s.creepageMM += float64(count) * u.CreepageMM
		s.lengthMM += float64(count) * r.spacingMM(u)
		switch {
		case i == 0:
			s.kind = u.Kind
		case s.kind != u.Kind:
			s.kind = basis.KindUnknown
		}
		if most := basis.MostInSeries(u.Kind); most > 0 && count > most {
			s.tooMany, s.tooManyOf = count, u.Kind
		}
		if s.mixed && basis.MostInSeries(u.Kind) == 1 && s.tooMany == 0 { // whatever the others are
			s.tooMany, s.tooManyOf = count, u.Kind
		}
	}
	return s
}

// mayBeDiscs tells whether the units of a string are discs, or several alike of a kind that nobody states, which may be.
func (s *summedUp) mayBeDiscs() bool {
	return s.kind == basis.CapAndPin || !s.mixed && s.kind.MayCountUnits(s.units)
}

// kindInWords is a kind of unit as faults say it.
func kindInWords(kind basis.Kind) string {
	if kind == basis.KindUnknown {
		return "hanging"
	}
	return kind.String()
}

func inDigits(figure float64) string { return strconv.FormatFloat(figure, 'g', -1, 64) }
