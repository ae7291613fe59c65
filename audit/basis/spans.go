package basis

import "math"

// CatenaryConstant returns C, the radius of curvature of a conductor at its lowest point, in m.
//
//	C = T / w
//
// T is the horizontal tension in kN and w the weight in N/m.
//
// Source: catenary (computed).
func CatenaryConstant(horizontalKN, weightNPerM float64) float64 {
	return horizontalKN * 1000 / weightNPerM
}

// RulingSpan returns the span whose tension changes like that of a whole section, in m.
//
//	S = √(ΣL³ / ΣL)
//
// L are the spans of the section in m. No spans give NaN.
//
// Source: common practice.
func RulingSpan(spansM []float64) float64 {
	var cubes, sum float64
	for _, l := range spansM {
		cubes += l * l * l
		sum += l
	}
	return math.Sqrt(cubes / sum)
}

// WindSpan returns the length of conductor whose wind a structure carries, in m.
//
//	(L1 + L2) / 2
//
// L1 and L2 are the spans behind and ahead in m.
//
// Source: common practice.
func WindSpan(backM, aheadM float64) float64 { return (backM + aheadM) / 2 }

// ChordSlope returns the slope of the line between two attachments in degrees, positive upwards.
//
//	β = atan(h / L)
//
// L is the horizontal span and h the rise over it, both in m.
//
// Source: geometry (computed).
func ChordSlope(spanM, riseM float64) float64 { return math.Atan2(riseM, spanM) / degree }
