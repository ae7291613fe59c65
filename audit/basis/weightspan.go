package basis

import "math"

// LowPoint returns the horizontal distance from the first attachment of a span to the lowest point of its catenary, in
// m. It is below 0 or above the span where the lowest point lies outside it.
//
//	x = L/2 − C·asinh( h / (2C·sinh(L / 2C)) )
//
// L is the horizontal span, h the height of the far attachment above the first, and C the catenary constant, all in m. A span
// of 0 has no lowest point and gives NaN or an infinity.
//
// Source: catenary (computed).
func LowPoint(spanM, riseM, constantM float64) float64 {
	return spanM/2 - constantM*math.Asinh(riseM/(2*constantM*math.Sinh(spanM/(2*constantM))))
}

// WeightSpan returns the horizontal distance between the low points behind and ahead of a structure, on exact
// catenaries, in m. Zero or less is uplift.
//
//	(L1 − x1) + x2
//
// x1 and x2 are the low points of the spans behind and ahead, each from its first attachment; backM and aheadM are
// horizontal spans, heights those of the attachments at the structure behind, here and ahead, and constantM the
// catenary constant, all in m.
//
// Source: catenary (computed).
func WeightSpan(backM, aheadM, heightBackM, heightM, heightAheadM, constantM float64) float64 {
	return backM - LowPoint(backM, heightM-heightBackM, constantM) + LowPoint(aheadM, heightAheadM-heightM, constantM)
}

// ParabolaWeightSpan returns the weight span in the approximation of a parabola, in m. Zero or less is uplift.
//
//	(L1 + L2)/2 + C·( (h2 − h1)/L1 + (h2 − h3)/L2 )
//
// The arguments are those of WeightSpan, which is preferred.
//
// Source: parabola (computed).
func ParabolaWeightSpan(backM, aheadM, heightBackM, heightM, heightAheadM, constantM float64) float64 {
	return WindSpan(backM, aheadM) + constantM*((heightM-heightBackM)/backM+(heightM-heightAheadM)/aheadM)
}
