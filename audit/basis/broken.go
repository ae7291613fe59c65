package basis

import "math"

// PullLeft returns the horizontal tension in kN that a subconductor of the intact span keeps when the span on the other side breaks.
//
//	T_b = min(f·T, S)
//
// T is its tension before the break in kN, f the share that is left once the string has swung and the structure has given, and S the pull
// in kN at which its clamp or tie slips; a slip load that is not known (NaN) limits nothing.
//
// Source: statics (computed); the share and the slip load are the project's.
func PullLeft(tensionKN, share, slipKN float64) float64 {
	left := share * tensionKN
	if slipKN < left {
		return slipKN
	}
	return left
}

// LeastSlipShare is the share of the tension below which a slip load is not believed: what holds less than the slope of a span and the
// difference of two spans pull holds no conductor in place, and a figure in tonnes taken for kN is a tenth of it (a choice of this program).
const LeastSlipShare = 0.1

// PullOfOneSpan returns the parts of the pull of one span alone along the line and across it, in the unit of the pull. Along is square to
// the line that halves the turn, in which V sets hang and line posts stand.
//
//	along = T·cos(|δ| / 2),  across = T·sin(|δ| / 2)
//
// δ is the deviation in degrees, of either sign. Both spans together leave TurnPull across and nothing along.
//
// Source: statics (computed).
func PullOfOneSpan(tension, deviationDeg float64) (along, across float64) {
	half := math.Abs(deviationDeg) * degree / 2
	return tension * math.Cos(half), tension * math.Sin(half)
}

// VPlaneLoad returns what of a load acts in the plane of the legs of a V set, square to the line through their attachments, in its unit. A pull
// along the line turns the plane about that line until both lie in it, so that nothing is left across the plane.
//
//	√(along² + vertical²)
//
// It takes the place of the vertical load in VLegs and VLegLoad.
//
// Source: statics (computed).
func VPlaneLoad(along, vertical float64) float64 { return math.Hypot(along, vertical) }
