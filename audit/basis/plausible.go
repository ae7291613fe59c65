package basis

import "math"

// Outside these shares of the standard levels of its Um a lightning or switching level is taken for a mistake, and below this share of
// Um/√3 the creepage voltage of a three-phase line is, since no less stands along its strings whatever the neutral, below this share of its voltage that of direct current, and above this share of the voltage of any line:
// the neutral isolated, an earth fault puts Um along strings. Choices of this program, wide enough for reduced and for old levels.
// More than the standard levels by MostAboveLevelKV is believed too: lines on wood and over-insulated distribution lines are built for some 300 kV
// whatever their Um, and lines on wood of 69 kV for 550 kV (common practice). A level that is too high makes no string meet.
const (
	LeastLevelShare          = 0.5
	MostLevelShare           = 1.5
	MostAboveLevelKV         = 300.0
	LeastAlongShare          = 0.99
	LeastCreepageShare       = 0.5
	MostCreepageVoltageShare = 1.5
)

// PlausibleLightningLevels returns the lightning levels that are believed at a highest voltage Um, in kV: from half the lowest
// to 1.5 times the highest standard level of Um, or 300 kV above it where that is more. A Um between two of the tables has the lowest of the one below and
// the highest of the one above, where there are such; 0 and +Inf where there are none, and for an unknown Um.
//
// Source: IEC 60071-1 levels (value from memory, H); the shares are a choice of this program.
func PlausibleLightningLevels(umKV float64) (lowKV, highKV float64) {
	lowKV, highKV = 0, math.Inf(1)
	for _, um := range LevelledUm() {
		levels, _ := LightningLevels(um)
		if um <= umKV*(1+Tolerance) {
			lowKV = LeastLevelShare * levels[0]
		}
		if um >= umKV*(1-Tolerance) {
			highest := levels[len(levels)-1]
			return lowKV, max(MostLevelShare*highest, highest+MostAboveLevelKV)
		}
	}
	return lowKV, highKV
}

// PlausibleSwitchingLevels returns the switching levels, phase to earth, that are believed at a highest voltage Um of range II, in kV peak: from half the
// lowest to 1.5 times the highest standard level of Um, as PlausibleLightningLevels does, and never below the crest of Um phase to earth, which stands in
// service. 0 and +Inf for an unknown Um.
//
//	low ≥ √2·Um/√3
//
// Source: IEC 60071-1 levels, see LevelPairSource; the shares are a choice of this program.
func PlausibleSwitchingLevels(umKV float64) (lowKV, highKV float64) {
	if math.IsNaN(umKV) {
		return 0, math.Inf(1)
	}
	lowKV, highKV = math.Sqrt2*PhaseToEarth(umKV), math.Inf(1)
	for _, r := range pairsByUm {
		if r.umKV <= umKV*(1+Tolerance) {
			lowKV = math.Max(math.Sqrt2*PhaseToEarth(umKV), LeastLevelShare*r.pairs[0].SwitchingKV)
		}
		if r.umKV >= umKV*(1-Tolerance) {
			return lowKV, MostLevelShare * r.pairs[len(r.pairs)-1].SwitchingKV
		}
	}
	return lowKV, highKV
}

// LevelledUm lists the highest voltages that have standard lightning levels in kV, lowest first, as a slice of the caller's own.
//
// Source: IEC 60071-1, see LightningLevels.
func LevelledUm() (umKV []float64) {
	for _, r := range levelsByUm {
		umKV = append(umKV, r.umKV)
	}
	for _, r := range rangeTwo {
		umKV = append(umKV, r.umKV)
	}
	return umKV
}

// Beyond these shares a number of units in a string is taken for that of several strings, and outside these a length for another
// quantity. Choices of this program: class e is the worst that most lines ever meet, so twice what it asks for is no string of this
// line, and three times the median of the other rows is what a count over three phases gives. A string is never shorter than its
// units; twice and a metre leave room for long links, yokes and horns beside few units. Within UnitsLengthShare of its units a length is
// taken for theirs: spacings have tolerances, and lengths are rounded.
const (
	MostUnitsShare   = 2.0
	MostMedianShare  = 3.0
	MostLengthShare  = 2.0
	MostFittingsMM   = 1000.0
	UnitsLengthShare = 0.02
)

// AreTooManyUnits tells whether a number of units in a string is more than twice what class e asks for and at least three times
// the median of the other rows of the line. What is not known makes nothing implausible.
//
//	n > 2·nE and n ≥ 3·median
//
// Source: a choice of this program.
func AreTooManyUnits(units, unitsOfClassE int, median float64) bool {
	return unitsOfClassE > 0 && median > 0 && float64(units) > MostUnitsShare*float64(unitsOfClassE) && float64(units) >= MostMedianShare*median
}

// NearlyAllTenths is how many rows in ten of a line have to be alike before what they have in common is believed of it against the others (a choice of this program).
const NearlyAllTenths = 9

// AreNearlyAll tells whether the rows that are alike are nearly all of those that tell.
//
//	10·n ≥ 9·(n + others)
//
// Source: a choice of this program.
func AreNearlyAll(alike, others int) bool { return 10*alike >= NearlyAllTenths*(alike+others) }

// Where nearly every string of a line is beyond this share of what class e asks for, or of the line's longest string, its units are likely
// counted over more than one. Where those of n strings are beyond these shares of n times the single ones, theirs are: of the longest
// single one, and of the usual one where class e asks for less as well. Choices of this program: tension strings of the published line
// specifications have a unit more than the suspension strings, and altitude adds some.
const (
	FarBeyondShare   = 1.25
	TimesShare       = 0.85
	NearlyTimesShare = 0.70
)

// IsFarBeyond tells whether a share of the most that a string is believed to be is too large. An unknown one is not.
//
// Source: a choice of this program.
func IsFarBeyond(share float64) bool { return share > FarBeyondShare }

// IsTimes and IsNearlyTimes tell whether a length is some n times another. Unknown ones are not.
//
// Source: a choice of this program.
func IsTimes(length, other float64, n int) bool { return length >= TimesShare*float64(n)*other }

// IsNearlyTimes is IsTimes on the lesser share.
func IsNearlyTimes(length, other float64, n int) bool {
	return length >= NearlyTimesShare*float64(n)*other
}

// IsOfOneUnit tells whether a creepage that is said to be of a string is that of one of its units, in mm: within half a millimetre,
// as catalogues round it.
//
// Source: a choice of this program.
func IsOfOneUnit(stringMM, unitMM float64, units int) bool {
	const rounding = 0.5
	return units > 1 && math.Abs(stringMM-unitMM) <= rounding
}

// IsShorterThanUnits and IsLongerThanUnits tell whether a length of a string is less, or more, than that of its units, by more than both
// may differ by, in mm. False where one of them is not known.
//
// Source: see UnitsLengthShare.
func IsShorterThanUnits(lengthMM, unitsMM float64) bool {
	return Contradicts(lengthMM, (1-UnitsLengthShare)*unitsMM)
}

// IsLongerThanUnits is the other side of IsShorterThanUnits.
//
// Source: see UnitsLengthShare.
func IsLongerThanUnits(lengthMM, unitsMM float64) bool {
	return Contradicts((1+UnitsLengthShare)*unitsMM, lengthMM)
}

// IsLengthOf tells whether a length may be that of a string of units with its fittings, in mm. True where one of them is not known.
//
//	0.98·u ≤ l ≤ 2·u + 1000, u of the units
//
// Source: a choice of this program.
func IsLengthOf(lengthMM, unitsMM float64) bool {
	return !IsShorterThanUnits(lengthMM, unitsMM) && !Contradicts(MostLengthShare*unitsMM+MostFittingsMM, lengthMM)
}

// Bounds of the tension of a conductor, by what a level span of it sags (choices of this program): spans are strung to sag 2 to 5 % of their length
// (common practice), those that cross a wide valley twice that.
const (
	mostSagShare      = 0.10 // of the span, whatever the conductor is rated
	mostSlackSagShare = 0.03 // where the tension is below leastTensionShare as well
	leastTensionShare = 0.05 // of the rated strength
	leastTautM        = 60.0 // shorter spans may be slack
)

// IsTooSlack reports whether no line is strung with a tension in kN: a level span in m of a conductor of such a weight in N/m would sag too
// much by its own weight alone, the more so with so little of its rated strength in kN. What is not known makes nothing too slack. The sag is in m.
//
//	C = T/w, f = C·(cosh(L/(2·C)) − 1); f > 0.10·L, or f > 0.03·L, L ≥ 60 m and T < 0.05·RTS
//
// Source: see mostSagShare.
func IsTooSlack(tensionKN, strengthKN, weightNPerM, spanM float64) (sagM float64, is bool) {
	constantM := 1000 * tensionKN / weightNPerM
	sagM = constantM * (math.Cosh(spanM/(2*constantM)) - 1)
	return sagM, sagM > mostSagShare*spanM || spanM >= leastTautM && sagM > mostSlackSagShare*spanM && tensionKN < leastTensionShare*strengthKN
}

// ShoreM is how high every other ground level of a line is, in m, before one of exactly 0 is taken for a mark of no value (a choice of this program).
const ShoreM = 100.0

// Bounds of the rise of the ground from one tower to the next (choices of this program).
const (
	mostRiseShare  = 1.5 // of the span: 56°
	leastDoubtedM  = 100 // rises of less are believed whatever the span
	mostLevelsAway = 500 // see AreLevelsApart
)

// MayBeTooSteep reports whether a rise in m is doubted on any span at all, and IsTooSteep whether it is on one of a length in m. What is not
// known is not.
//
//	|Δh| > 100 and |Δh| > 1.5·L
//
// Source: see mostRiseShare.
func MayBeTooSteep(riseM float64) bool { return math.Abs(riseM) > leastDoubtedM }

// IsTooSteep is the other half of MayBeTooSteep.
//
// Source: see mostRiseShare.
func IsTooSteep(riseM, spanM float64) bool {
	return MayBeTooSteep(riseM) && math.Abs(riseM) > mostRiseShare*spanM
}

// AreLevelsApart reports whether a stated ground level and the height of the same point, in m, cannot both be right: the highest towers stand under
// 400 m, and a height above the ellipsoid differs by up to 110 m from one above the sea (common practice). A height of exactly 0 is none.
//
// Source: a choice of this program.
func AreLevelsApart(groundM, heightM float64) bool {
	return heightM != 0 && math.Abs(heightM-groundM) > mostLevelsAway
}
