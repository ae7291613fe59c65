package basis

import "math"

// LowPoint returns the horizontal distance from the first attachment of a span to the lowest point of its catenary, in
// m. It is below 0 or above the span where the lowest point lies outside it.
//
//	x = L/2 − C·asinh( h / (2C·sinh(L / 2C)) )
//
// L is the horizontal span, h the height of the far attachment above the first, and C the catenary constant, all in m. A span
// that is not above 0 has no lowest point and gives NaN.
//
// Source: catenary (computed).
func LowPoint(spanM, riseM, constantM float64) float64 {
	if !(spanM > 0) {
		return math.NaN()
	}
	return spanM/2 - constantM*math.Asinh(riseM/(2*constantM*math.Sinh(spanM/(2*constantM))))
}

// FromLowPoint returns the horizontal distance from the lowest point of the catenary to the far attachment, in m: what
// of the span hangs there.
//
//	L − x
//
// The arguments are those of LowPoint, which gives x.
//
// Source: catenary (computed).
func FromLowPoint(spanM, riseM, constantM float64) float64 {
	return spanM - LowPoint(spanM, riseM, constantM)
}

// ArcFromLowPoint returns the length of a catenary from its lowest point to one that is so far from it horizontally, in m, below 0 where that is.
//
//	C·sinh(x / C)
//
// x is the horizontal distance and C the catenary constant, in m. The weight of it is what the pull at that point has downwards.
//
// Source: catenary (computed).
func ArcFromLowPoint(horizontalM, constantM float64) float64 {
	return constantM * math.Sinh(horizontalM/constantM)
}

// WeightSpan returns the horizontal distance between the low points behind and ahead of a structure, on exact
// catenaries, in m; see Lifts.
//
//	(L1 − x1) + x2
//
// x1 and x2 are the low points of the spans behind and ahead, each from its first attachment; backM and aheadM are
// horizontal spans, heights those of the attachments at the structure behind, here and ahead, and constantM the
// catenary constant, all in m.
//
// Source: catenary (computed).
func WeightSpan(backM, aheadM, heightBackM, heightM, heightAheadM, constantM float64) float64 {
	return FromLowPoint(backM, heightM-heightBackM, constantM) + LowPoint(aheadM, heightAheadM-heightM, constantM)
}

// LowPointSlope returns by how much the low point of a span moves towards its lower end for each metre that its far attachment rises.
//
//	g = −dx/dh = C / √( (2C·sinh(L / 2C))² + h² )
//
// The arguments are those of LowPoint, in m; a span that is not above 0 gives NaN.
//
// Source: derivative of LowPoint (computed).
func LowPointSlope(spanM, riseM, constantM float64) float64 {
	if !(spanM > 0) {
		return math.NaN()
	}
	return constantM / math.Hypot(2*constantM*math.Sinh(spanM/(2*constantM)), riseM)
}

// WeightSpanSigma returns the standard error of a weight span, in m, to first order and at a given catenary constant.
//
//	σ = √( (e1·g1)² + (e·(g1 + g2))² + (e2·g2)² )
//
// e1, e and e2 are the standard errors of the heights behind, here and ahead, in m, independent of one another; g1 and g2 the
// LowPointSlope of the spans behind and ahead.
//
// Source: propagation of independent errors (computed).
func WeightSpanSigma(errorBackM, errorM, errorAheadM, slopeBack, slopeAhead float64) float64 {
	return math.Hypot(math.Hypot(errorBackM*slopeBack, errorM*(slopeBack+slopeAhead)), errorAheadM*slopeAhead)
}

// Lifts reports whether a structure of this weight span is lifted by its conductor. A weight span of 0 lifts, an
// unknown one does not.
//
//	W ≤ 0
//
// Source: statics (computed).
func Lifts(weightSpanM float64) bool { return weightSpanM <= 0 }
