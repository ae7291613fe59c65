package geo

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/tidwall/geodesic"
)

// Leg is the geodesic from one position to another.
type Leg struct {
	LengthM    float64
	AzimuthOut float64 // forward azimuth where the leg starts, degrees
	AzimuthIn  float64 // forward azimuth where it arrives, degrees
}

// Inverse returns the geodesic from a to b on WGS 84. A leg of no length has no direction: both azimuths are NaN.
// A latitude beyond ±90° or a coordinate that is not finite gives NaN throughout.
//
// Source: C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87 (2013), as tidwall/geodesic has it.
func Inverse(a, b orb.Point) Leg {
	var leg Leg
	geodesic.WGS84.Inverse(a[1], a[0], b[1], b[0], &leg.LengthM, &leg.AzimuthOut, &leg.AzimuthIn)
	if leg.LengthM == 0 {
		leg.AzimuthOut, leg.AzimuthIn = math.NaN(), math.NaN()
	}
	return leg
}

// Deviation returns by how many degrees a line turns where it arrives on azimuthIn and leaves on azimuthOut,
// wrapped to (−180, 180]; positive turns right. An azimuth that is not finite gives NaN.
func Deviation(azimuthIn, azimuthOut float64) float64 {
	turn := math.Remainder(azimuthOut-azimuthIn, 360)
	if turn == -180 {
		return 180
	}
	return turn
}

// DeviationSigma returns the standard deviation of a deviation, in degrees, caused by the survey alone.
//
//	σ = e·sqrt(1/a² + 1/b² + (1/a + 1/b)²) rad
//
// accuracyM is e, the horizontal standard error of one structure per axis, the same and independent for all three
// structures; backM and aheadM are the spans a and b. Holds for small deviations. A negative accuracy or a span
// that is not positive gives NaN.
//
// Source: propagation of independent errors, computed.
func DeviationSigma(accuracyM, backM, aheadM float64) float64 {
	if !(accuracyM >= 0 && backM > 0 && aheadM > 0) {
		return math.NaN()
	}
	back, ahead := 1/backM, 1/aheadM
	return degrees(accuracyM * math.Sqrt(back*back+ahead*ahead+(back+ahead)*(back+ahead)))
}

// Within tells whether the geodesic from a to b is at most tolM metres long. Positions that are plainly too far apart
// are turned away without computing the geodesic.
func Within(a, b orb.Point, tolM float64) bool {
	if a == b {
		return tolM >= 0 && finite(a)
	}
	const roundingM = 1e-7 // more than the geodesic itself may be wrong
	plainlyM := tolM + roundingM
	if math.Abs(a[1]-b[1])*shortestDegreeM > plainlyM {
		return false
	}
	highest := math.Max(math.Abs(a[1]), math.Abs(b[1]))
	if chordM(math.Remainder(a[0]-b[0], 360), highest) > plainlyM*(1+1e-9) {
		return false
	}
	return Inverse(a, b).LengthM <= tolM
}
