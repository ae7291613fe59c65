package read

import (
	"fmt"
	"math"
	"strconv"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// doubtUnit finds figures of a unit that cannot both be right; neither is used.
func (r *register) doubtUnit(u *unit, at audit.Source) {
	spacing := u.SpacingMM
	if !basis.PlausibleUnitCreepage(u.Kind, u.CreepageMM, u.SpacingMM) {
		r.fault(at, audit.Implausible, "Creepage", inDigits(u.CreepageMM), fmt.Sprintf("is implausible for one %s unit of spacing %g mm, expected %g mm or less; neither is used",
			kindInWords(u.Kind), u.SpacingMM, basis.MostCreepagePerLength*u.SpacingMM))
		u.CreepageMM, u.faulty = math.NaN(), u.faulty.With(audit.CellCreepage)
		u.SpacingMM, u.faulty = math.NaN(), u.faulty.With(audit.CellLength)
	}
	if !basis.PlausibleArcing(u.Kind, u.ArcingMM, spacing) {
		r.fault(at, audit.Implausible, "Arcing", inDigits(u.ArcingMM), fmt.Sprintf("is implausible for a %s of spacing %g mm, which is shorter; neither is used", u.Kind, spacing))
		u.ArcingMM, u.faulty = math.NaN(), u.faulty.With(audit.CellArcing)
		u.SpacingMM, u.faulty = math.NaN(), u.faulty.With(audit.CellLength)
	}
	if math.IsNaN(u.SpacingMM) && !math.IsNaN(spacing) {
		r.doubtedSpacing[nameKey(u.Name)] = spacing
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
	if s.tooMany > 0 {
		column, value, cell := "Units per string", strconv.Itoa(s.tooMany), audit.CellUnitsPerString
		if s.mixed {
			column, value, cell, a.Makeup = "Unit", a.unit, audit.CellUnit, 0
		}
		r.unknown(a, cell, audit.Implausible, column, value, fmt.Sprintf("is implausible, expected %d or fewer in series of a kind that is %s", basis.MostInSeries(s.tooManyOf), s.tooManyOf))
		a.UnitsPerString, a.Faulty = -1, a.Faulty.With(audit.CellUnitsPerString)
		return
	}
	d := &a.direct
	if least, most := basis.LeastCreepageOfUnits*s.creepageMM, basis.MostCreepageShare*s.creepageMM; basis.Contradicts(d.CreepageMM, least) || basis.Contradicts(most, d.CreepageMM) {
		r.unknown(a, audit.CellCreepage, audit.Implausible, "Creepage", inDigits(d.CreepageMM),
			fmt.Sprintf("is implausible for a string whose units have %g mm, expected %g to %g mm; nothing is judged by it", s.creepageMM, least, most))
		d.CreepageMM = math.NaN()
	}
	r.doubtRating(a, s)
	r.doubtArcing(a, s)
	r.doubtTested(a, s)
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

// doubtTested compares the tested voltages of a row with what is reckoned for its string.
func (r *register) doubtTested(a *assembly, s *summedUp) {
	if d := &a.direct; !math.IsNaN(d.LightningKV) {
		r.doubtVoltage(a, "Lightning withstand", &d.LightningKV, s.lightningKV(a, &r.project.Criteria), s.mostLightningShare())
	}
	if d := &a.direct; !math.IsNaN(d.WetKV) {
		r.doubtVoltage(a, "Wet withstand", &d.WetKV, s.wetKV(&r.project.Criteria), basis.MostWithstandShare)
	}
}

func (r *register) doubtVoltage(a *assembly, column string, testedKV *float64, reckonedKV, share float64) {
	if most := share * reckonedKV; basis.Contradicts(most, *testedKV) {
		r.unknown(a, audit.CellTested, audit.Implausible, column, inDigits(*testedKV),
			fmt.Sprintf("is implausible for its string, for which some %.0f kV are reckoned, expected %.0f kV or less; nothing is judged by it", reckonedKV, most))
		*testedKV = math.NaN()
	}
}

// summedUp is what the units of a row come to; NaN where one of them does not state it.
type summedUp struct {
	makeup         uint32
	unitsPerString int16

	units                int
	unit                 *basis.Unit // of strings of one unit
	kind                 basis.Kind  // of all of them, else unknown
	mixed                bool
	creepageMM, lengthMM float64
	arcingMM             float64 // of an insulator that is the whole string
	ratingKN             float64 // of the weakest
	tooMany              int     // in series, 0 where there are not
	tooManyOf            basis.Kind
	discsKV              float64 // lightning withstand by the table of discs; 0 while nobody asked
}

// summedUpAs is what the units of a row come to, which mostly are those of the row before.
func (r *register) summedUpAs(a *assembly) *summedUp {
	if r.summed.makeup != a.Makeup || r.summed.unitsPerString != a.UnitsPerString {
		r.summed = r.sumUp(a)
		r.summed.makeup, r.summed.unitsPerString = a.Makeup, a.UnitsPerString
	}
	return &r.summed
}

func (r *register) sumUp(a *assembly) (s summedUp) {
	parts := r.project.Makeups[a.Makeup].Parts
	s.mixed, s.arcingMM, s.ratingKN = len(parts) > 1, math.NaN(), math.Inf(1)
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
		s.units += count
		s.creepageMM += float64(count) * u.CreepageMM
		s.lengthMM += float64(count) * r.spacingMM(u)
		switch {
		case i == 0:
			s.unit, s.kind = u, u.Kind
		case s.kind != u.Kind:
			s.kind = basis.KindUnknown
		}
		if most := basis.MostInSeries(u.Kind); most > 0 && count > most {
			s.tooMany, s.tooManyOf = count, u.Kind
		}
	}
	if s.units == 1 {
		s.arcingMM = s.unit.ArcingMM
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

// lightningKV is what is reckoned for the lightning withstand of the string: by the table of discs, else by the gap that its arcing
// distance or its length is.
func (s *summedUp) lightningKV(a *assembly, c *audit.Criteria) float64 {
	if s.mixed {
		return math.NaN()
	}
	if s.mayBeDiscs() && basis.InDiscTable(s.unit.SpacingMM, s.unit.DiameterMM) {
		if s.discsKV == 0 { // the same for every row of such a string
			s.discsKV = math.NaN()
			if kV, ok := basis.LightningWithstand(s.units, s.unit.SpacingMM, s.unit.DiameterMM); ok {
				s.discsKV = kV
			}
		}
		return s.discsKV
	}
	if s.kind != basis.LongRod && s.kind != basis.Composite {
		return math.NaN()
	}
	for _, gapMM := range [...]float64{a.direct.ArcingMM, s.arcingMM, a.direct.LengthMM, s.lengthMM} {
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

// mostLightningShare bounds a tested lightning voltage against lightningKV.
func (s *summedUp) mostLightningShare() float64 {
	if s.mayBeDiscs() {
		return basis.MostDiscWithstandShare
	}
	return basis.MostWithstandShare
}

// wetKV is the wet withstand that the table of discs gives for the string.
func (s *summedUp) wetKV(c *audit.Criteria) float64 {
	if s.mixed || !s.mayBeDiscs() || !basis.InDiscTable(s.unit.SpacingMM, s.unit.DiameterMM) {
		return math.NaN()
	}
	if kV, ok := basis.WetWithstand(s.units, s.unit.SpacingMM, s.unit.DiameterMM, c.WetShare.Value); ok {
		return kV
	}
	return math.NaN()
}

func inDigits(figure float64) string { return strconv.FormatFloat(figure, 'g', -1, 64) }
