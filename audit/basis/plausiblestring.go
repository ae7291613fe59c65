package basis

import "math"

// Bounds beyond which a figure of a string or a unit is taken for a mistake. None of them corrects a figure.
const (
	// MostCreepagePerLength is the most creepage a unit has per length: discs for heavy pollution reach about 3.5, composites
	// about 4.5 (common practice).
	MostCreepagePerLength = 5.0
	// MostCreepageShare and LeastCreepageOfUnits bound the creepage that a row states against that of its units: what a string
	// has that is made of them. Discs for heavy pollution, which go by the same strength class, have some 1.5 times the creepage of
	// standard ones (IEC 60305, value from memory); twice is that of two strings (a choice of this program).
	MostCreepageShare    = 1.6
	LeastCreepageOfUnits = 0.5
	// MostRatingShare and LeastRatingShare bound the rating that a row states against that of its weakest unit: strength classes lie
	// further apart, twice is that of two strings, and what has aged may have less (a choice of this program).
	MostRatingShare  = 1.2
	LeastRatingShare = 0.5
	// MostDiscWithstandShare bounds a tested lightning voltage against the table of discs, which is surer than a gap (a choice of this
	// program).
	MostDiscWithstandShare = 1.15
	// MostWithstandShare bounds a tested voltage against what is reckoned for the same string: tested strings scatter, and
	// gradings and polarities differ, by less than that (a choice of this program). Gaps shorter than the formula goes are not told.
	MostWithstandShare = 1.3
	// AroundRimMM is by how much the arc of a string of discs may be longer than the string: it goes round the rim of a disc, a
	// diameter at most (common practice: the largest discs have some 420 mm).
	AroundRimMM = 420.0
	// MostDiscSpacingMM is the most that a disc adds to a string: the largest of IEC 60305 have 240 mm (value from memory), those above 530 kN
	// up to some 300 mm (common practice); the bound is a choice of this program.
	MostDiscSpacingMM = 320.0
	// DiscSpacing2PerKN and DiscDiameter2PerKN are the least square of its spacing, and of its diameter, that a disc has for each kN of its rating, in mm²: the strongest of IEC 60305 and of
	// ANSI C29.2 for their spacing have 108 and 109 (530 kN at 240 mm, 222 kN at 156 mm), for their diameter 272 (530 kN at 380 mm), those of 840 kN some 90 and 180 (values from memory;
	// common practice above 530 kN). The bounds are choices of this program: 355 kN at 146 mm.
	DiscSpacing2PerKN  = 60.0
	DiscDiameter2PerKN = 120.0
	// LeastDiscDiameterShare and MostDiscDiameterShare bound the diameter of a disc by its spacing: discs of IEC 60305 have 1.6 to 2.3 times it, small clevis ones 1.1, flat ones of 450 mm some 3.1 (values from
	// memory; common practice). The bounds are choices of this program.
	LeastDiscDiameterShare = 0.7
	MostDiscDiameterShare  = 4.5
	// LeastAverageDiameterShare is the least share of its diameter that the average diameter of an insulator is believed to be: (D1 + D2 + 2·core)/4 of sheds that
	// alternate (IEC 815, value from memory) is never less.
	LeastAverageDiameterShare = 0.25
	// MostAverageDiameterShare is the most: a diameter may be stated in round figures, or of the smaller shed.
	//
	// Source: a choice of this program.
	MostAverageDiameterShare = 1.25
	// MostPunctureShare and LeastPunctureShare bound puncture voltage over the dry flashover, the lightning flashover or the lightning withstand of the same unit: discs and pins have 1.3 to 1.6 of the first, the
	// smallest discs of toughened glass some 2.5, and 0.6 to 1.8 of the others, which are crests (common practice). The bounds are choices of this program; a ratio within them that is
	// too low falls short, see PunctureLimit.
	MostPunctureShare  = 4.0
	LeastPunctureShare = 0.3
	// MostDiscFlashoverPerMM and MostRodFlashoverPerMM are the most power frequency flashover that a unit has per length, in kV r.m.s. per mm:
	// standard discs have 0.55 dry (table of discs), round a rim that is longer than they are; rods in air about 0.5 (common practice). The
	// bounds are a choice of this program.
	MostDiscFlashoverPerMM = 1.0
	MostRodFlashoverPerMM  = 0.7
	// LeastRatedShare is the least share of the flashover of one disc of the table that a disc of its size is rated to withstand: 100 kV of lightning
	// impulse and 40 kV wet for 125 and 50 (IEC 60383 types, value from memory, M), and less is believed to be of another unit. A choice of this program.
	LeastRatedShare = 0.7
	// MostFittingShare is how many times the ratings of its strings together a fitting of an assembly may be rated to be believed (a choice of
	// this program): fittings are as strong as strings or a few times that; 100 kN are 22 480 lbf and 10 200 kgf.
	MostFittingShare = 5.0
	// StrongestUnitKN and WeakestUnitKN are the ends of the strength classes of cap-and-pin units, U530B and U40B of IEC 60305 (value from memory). Where the rating of the
	// strings is not known no fitting of one string or of one subconductor is believed to be stronger, and no yoke than as many strings of it (a choice of this program): any
	// other unit of force makes a hundred times as much of a figure.
	StrongestUnitKN = 530.0
	WeakestUnitKN   = 40.0
	// LeastClearancePerKV is the least clearance of a conductor from its structure that is believed, in mm per kV of the highest voltage
	// (a choice of this program): in every load case the line may be at full voltage, for which published clearances at power frequency are
	// about 1.7 to 2 mm/kV (value from memory).
	LeastClearancePerKV = 1.0
)

// MostWallDistance returns the farthest level distance in mm from where a string hangs to the wall beside it that is believed on a line of
// a voltage in kV; NaN for NaN. MostBracketLevel is that of how far the crossarm is above where it hangs, MostFittings of the length of its
// fittings. What is beyond them is likely another measure, or has a nought too many, and would make strings meet.
//
// Source: choices of this program: the outer phase of a wide tower hangs some 8 m from its body at 123 kV and some 14 m at 420 kV,
// fittings 0.2 to 2 m (common practice).
func MostWallDistance(kV float64) float64 { return 10_000 + 20*kV }

// MostBracketLevel is described at MostWallDistance.
func MostBracketLevel(kV float64) float64 { return 2000 + 10*kV }

// MostFittings is described at MostWallDistance.
func MostFittings(kV float64) float64 { return MostFittingsMM + 2*kV }

// MostInSeries is the largest number of insulators of a kind that are in series in a string: composites two, porcelain long rods four
// (three serve 380 kV), and of pins and shackles one, on which nothing stands; 0 where the kind knows no such bound: posts are stacked.
//
// Source: common practice.
func MostInSeries(kind Kind) int {
	switch kind {
	case Composite:
		return 2
	case LongRod:
		return 4
	case Pin, Shackle:
		return 1
	}
	return 0
}

// Contradicts reports whether a figure is below another that it cannot be below. Equality within Tolerance is not, and an unknown
// figure contradicts nothing.
func Contradicts(figure, least float64) bool { return figure < least*(1-Tolerance) }

// PlausibleSpacing reports whether a unit may have a spacing in mm. Discs are told: nothing else has a spacing that its kind bounds. An
// unknown one may be anything.
//
// Source: see MostDiscSpacingMM.
func PlausibleSpacing(kind Kind, spacingMM float64) bool {
	return kind != CapAndPin || !Contradicts(MostDiscSpacingMM, spacingMM)
}

// MostRatingBySpacingKN is the highest rating in kN that is believed of a disc of a spacing in mm, or of what hangs and nobody states the kind of; NaN where the kind or the spacing
// bounds none. MostRatingByDiameterKN is that of a disc of a diameter in mm.
//
//	P²/60, D²/120
//
// Source: see DiscSpacing2PerKN.
func MostRatingBySpacingKN(kind Kind, spacingMM float64) float64 {
	if kind != CapAndPin && kind != KindUnknown {
		return math.NaN()
	}
	return spacingMM * spacingMM / DiscSpacing2PerKN
}

// MostRatingByDiameterKN is described at MostRatingBySpacingKN.
func MostRatingByDiameterKN(kind Kind, diameterMM float64) float64 {
	if kind != CapAndPin {
		return math.NaN()
	}
	return diameterMM * diameterMM / DiscDiameter2PerKN
}

// PlausibleDiameter reports whether a unit may have a diameter beside its spacing, both in mm. Discs are told. An unknown figure may be anything.
//
// Source: see LeastDiscDiameterShare.
func PlausibleDiameter(kind Kind, diameterMM, spacingMM float64) bool {
	return kind != CapAndPin || !Contradicts(diameterMM, LeastDiscDiameterShare*spacingMM) && !Contradicts(MostDiscDiameterShare*spacingMM, diameterMM)
}

// PlausibleAverageDiameter reports whether an insulator may have an average diameter beside its diameter, both in mm. An unknown figure may be anything.
//
// Source: geometry (computed); see LeastAverageDiameterShare.
func PlausibleAverageDiameter(averageMM, diameterMM float64) bool {
	return !Contradicts(MostAverageDiameterShare*diameterMM, averageMM) && !Contradicts(averageMM, LeastAverageDiameterShare*diameterMM)
}

// PlausiblePuncture reports whether a unit that can puncture may do so at a voltage in kV r.m.s. beside another that it flashes over at or withstands, in kV. An unknown one may be anything.
//
//	0.3 ≤ puncture/voltage ≤ 4
//
// Source: see MostPunctureShare.
func PlausiblePuncture(kind Kind, punctureKV, kV float64) bool {
	return !kind.CanPuncture() && kind != KindUnknown || !Contradicts(MostPunctureShare*kV, punctureKV) && !Contradicts(punctureKV, LeastPunctureShare*kV)
}

// PlausibleUnitCreepage reports whether a unit may have a creepage on its spacing, both in mm. Insulators that hang are told, and those of a kind that nobody states: what
// stands states no spacing of its own. An unknown figure may be anything.
//
// Source: see MostCreepagePerLength.
func PlausibleUnitCreepage(kind Kind, creepageMM, spacingMM float64) bool {
	switch kind {
	case CapAndPin, LongRod, Composite, KindUnknown:
		return !Contradicts(MostCreepagePerLength*spacingMM, creepageMM)
	}
	return true
}

// MostFlashoverKV is the most power frequency flashover in kV r.m.s. that is believed of a unit of a spacing in mm; NaN where its kind
// or its spacing bounds none.
//
// Source: see MostRodFlashoverPerMM.
func MostFlashoverKV(kind Kind, spacingMM float64) float64 {
	switch kind {
	case CapAndPin:
		return MostDiscFlashoverPerMM * spacingMM
	case LongRod, Composite:
		return MostRodFlashoverPerMM * spacingMM
	}
	return math.NaN()
}

// MostImpulseKV is the most impulse voltage in kV peak that is believed of a unit of a spacing in mm, by the formula of a gap and its gap factor: a 50 % flashover, or where sigma is
// that of the impulse what is withstood. No more than the crest of MostFlashoverKV, and across a rod than MostWithstandShare of a gap of its length, of a metre where it is shorter; NaN
// where its kind or its spacing bounds none.
//
// Source: choices of this program, see MostRodFlashoverPerMM and MostWithstandShare; formulas as GapLightning and GapSwitching.
func MostImpulseKV(kind Kind, spacingMM float64, formula func(distanceM, gapFactor float64) (u50KV float64, err error), gapFactor, sigma float64) float64 {
	most := math.Sqrt2 * MostFlashoverKV(kind, spacingMM)
	if kind != LongRod && kind != Composite || math.IsNaN(spacingMM) {
		return most
	}
	u50, err := formula(max(spacingMM/1000, NearestGap(0)), gapFactor)
	if err != nil {
		return most
	}
	return min(most, MostWithstandShare*WithstandFromU50(u50, sigma))
}

// PlausibleArcing reports whether a string or insulator of a length may have a dry arcing distance, both in mm. One of a long rod or a
// composite lies between its fittings; that of discs goes round a rim. An unknown figure may be anything, and what stands is
// not told.
//
// Source: geometry (computed); see AroundRimMM.
func PlausibleArcing(kind Kind, arcingMM, lengthMM float64) bool {
	switch kind {
	case LongRod, Composite:
		return !Contradicts(lengthMM, arcingMM)
	case CapAndPin:
		return !Contradicts(lengthMM+AroundRimMM, arcingMM)
	}
	return true
}
