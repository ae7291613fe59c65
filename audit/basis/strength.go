package basis

import "math"

// TensionLoad returns the load on each string of a tension assembly in kN.
//
//	F = T·m / s
//
// T is the maximum tension of one subconductor in kN, m the number of subconductors and s the number of parallel
// strings that carry: all of them, or one fewer after a break. Without a string the load is infinite.
//
// Source: arithmetic (computed).
func TensionLoad(tensionKN float64, subconductors, strings int) float64 {
	return tensionKN * float64(subconductors) / float64(strings)
}

// TurnPull returns the transverse pull of a turn, in the unit of the tension.
//
//	F = 2·T·sin(|δ| / 2)
//
// T is the tension and δ the deviation in degrees, of either sign. A tension assembly carries the full T, not F.
//
// Source: statics (computed).
func TurnPull(tension, deviationDeg float64) float64 {
	return 2 * tension * math.Sin(math.Abs(deviationDeg)*degree/2)
}

// Resultant returns the load on a suspension string from its transverse and vertical parts, in their unit.
//
//	F = √(transverse² + vertical²)
//
// Source: statics (computed).
func Resultant(transverse, vertical float64) float64 { return math.Hypot(transverse, vertical) }

// TopUnitLoad returns the load on the top unit of a suspension string in N, which carries the string as well.
//
//	F = √( transverse² + (vertical + W)² )
//
// transverse and vertical are what the conductors put on the string and W is its own weight. A conductor that lifts the string
// loads its lower end, if by more, without it.
//
// Source: statics (computed).
func TopUnitLoad(transverseN, verticalN, stringWeightN float64) float64 {
	return Resultant(transverseN, math.Max(math.Abs(verticalN), math.Abs(verticalN+stringWeightN)))
}

// SharingFactor returns by how much the worst of parallel strings carries more than an equal share: the factor that is
// given for unequal sharing, and 1 where fewer than two strings carry.
//
// Source: statics (computed); the factor is the user's.
func SharingFactor(strings int, unequal float64) float64 {
	if strings < 2 {
		return 1
	}
	return unequal
}

// VLegLoad returns the load on the more loaded leg of a V set in N: the resultant is resolved along the legs. A leg that
// the wind would push goes slack, and the other then carries the resultant alone.
//
//	F = R·sin(α + θ) / sin 2α   for θ < α, R for α ≤ θ < 180° − α, else R·sin(α + 180° − θ) / sin 2α
//
// 2α is the angle between the legs in degrees, R the resultant of the transverse and the vertical load and θ its angle to
// the vertical. The transverse load counts to either hand; a vertical load below 0 is uplift.
//
// Source: statics (computed).
func VLegLoad(transverseN, verticalN, vAngleDeg float64) float64 {
	if VLeanDeg(transverseN, verticalN) >= vAngleDeg/2 && !VLifts(transverseN, verticalN, vAngleDeg) {
		return Resultant(transverseN, verticalN)
	}
	first, _ := VLegs(transverseN, verticalN, vAngleDeg)
	return first
}

// RequiredRating returns the rating an insulator needs, in the unit of the load.
//
//	rating = load · factor
//
// Source: the document the factor is taken from.
func RequiredRating(load, factor float64) float64 { return load * factor }

// degree is one degree in radians.
const degree = math.Pi / 180

// Gravity is the standard acceleration of free fall in m/s².
const Gravity = 9.80665
