package basis

import "math"

// DefaultGapFactor is K of a conductor in a tower window and of any gap of unknown shape: the ratio of the strength of a
// gap to that of a rod against a plane. IEC 60071-2:2018 (value from memory, M); a default the user can override. For a
// conductor against a cross-arm the same source goes up to 1.45.
const DefaultGapFactor = 1.25

// The range of the gap formulas: distance in m as published for lightning, IEC 60071-2:2018; the gap factor is 1 for a
// rod against a plane by its definition, and no gap of a line reaches 2 (common practice).
const (
	minGapM      = 1.0
	maxGapM      = 10.0
	minGapFactor = 1.0
	maxGapFactor = 2.0
)

func gapInRange(distanceM, factor float64) error {
	if err := within("dry arcing distance", distanceM, minGapM, maxGapM, "m"); err != nil {
		return err
	}
	return within("gap factor", factor, minGapFactor, maxGapFactor, "")
}

// NearestGap returns the dry arcing distance in the range of the gap formulas that is nearest to another, in m. A shorter gap holds no more than one that the
// formulas know, and a longer one no less.
//
// Source: see GapLightning.
func NearestGap(distanceM float64) float64 {
	if within("dry arcing distance", distanceM, minGapM, maxGapM, "m") == nil {
		return distanceM
	}
	return min(max(distanceM, minGapM), maxGapM)
}

// GapLightning returns the 50 % lightning impulse flashover of a dry gap, positive polarity, in kV peak.
//
//	U50 = (0.74 + 0.26·K)·530·d
//
// d is the dry arcing distance in m including horns, never a string length with its hardware, and K the gap factor.
// Outside 1…10 m and K 1…2 it returns an *OutOfRange.
//
// Source: IEC 60071-2:2018 (published).
func GapLightning(distanceM, gapFactor float64) (u50KV float64, err error) {
	if err := gapInRange(distanceM, gapFactor); err != nil {
		return math.NaN(), err
	}
	return (0.74 + 0.26*gapFactor) * 530 * distanceM, nil
}

// GapSwitching returns the 50 % switching impulse flashover of a dry gap, positive polarity, in kV peak.
//
//	U50 = K·1080·ln(0.46·d + 1)
//
// d is the dry arcing distance in m including horns and K the gap factor. The range of GapLightning is applied.
//
// Source: IEC 60071-2:2018 (published).
func GapSwitching(distanceM, gapFactor float64) (u50KV float64, err error) {
	if err := gapInRange(distanceM, gapFactor); err != nil {
		return math.NaN(), err
	}
	return gapFactor * 1080 * math.Log(0.46*distanceM+1), nil
}

// GapPowerFrequency returns the 50 % power frequency flashover of a dry gap in kV r.m.s.
//
//	U50 = 750·ln(1 + 0.55·d^1.2)·(1.35·K − 0.35·K²)
//
// d is the dry arcing distance in m including horns, up to 10 m, and K the gap factor, 1…2; otherwise it returns an *OutOfRange.
//
// Source: IEC 60071-2:2018 (published, as √2 of it in kV peak).
func GapPowerFrequency(distanceM, gapFactor float64) (u50KV float64, err error) {
	if err := gapInRange(max(distanceM, minGapM), gapFactor); err != nil {
		return math.NaN(), err
	}
	return 750 * math.Log(1+0.55*math.Pow(distanceM, 1.2)) * (1.35*gapFactor - 0.35*gapFactor*gapFactor), nil
}
