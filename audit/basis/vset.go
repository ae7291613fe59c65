package basis

import "math"

// VLegs returns the forces of the two legs of a V set in the unit of the load, from the equilibrium of the resultant with both: a pull
// is positive. The second leg is the one that a transverse load relieves; below 0 it would have to push, so it is slack, and the first
// then carries the resultant alone. A load that lifts both legs above their attachments loads them as one that hangs as far from the vertical.
//
//	F_1 = R·sin(α + θ) / sin 2α,  F_2 = R·sin(α − θ) / sin 2α
//
// 2α is the angle between the legs in degrees, between 0 and 180, R the resultant of the transverse and the vertical load and θ its
// angle to the vertical.
//
// Source: statics (computed).
func VLegs(transverse, vertical, vAngleDeg float64) (first, second float64) {
	resultant := Resultant(transverse, vertical)
	half, lean := vAngleDeg/2*degree, VLeanDeg(transverse, vertical)*degree
	if VLifts(transverse, vertical, vAngleDeg) {
		lean = math.Pi - lean
	}
	return resultant * math.Sin(half+lean) / math.Sin(2*half), resultant * math.Sin(half-lean) / math.Sin(2*half)
}

// VLeanDeg returns the angle of the resultant of a transverse and a vertical load to the vertical, in degrees from 0 to 180. A leg of a
// V set goes slack where it exceeds half the angle between the legs.
//
//	θ = atan(|transverse| / vertical)
//
// Source: statics (computed).
func VLeanDeg(transverse, vertical float64) float64 {
	return math.Atan2(math.Abs(transverse), vertical) / degree
}

// VLifts tells whether a load lifts both legs of a V set above their attachments, so that both are taut: its angle to the vertical is 180° − α or
// more.
//
// Source: statics (computed).
func VLifts(transverse, vertical, vAngleDeg float64) bool {
	return VLeanDeg(transverse, vertical) >= 180-vAngleDeg/2
}

// VString is what comes on one string of the more loaded leg of a V set.
type VString struct {
	// Its share of the load of the conductors in N: across the line, along it, and down, below 0 for uplift.
	AcrossN, AlongN, DownN float64
	YokeN                  float64 // what of the strings hangs on its lower end beside that: half of each of both legs
	OwnN                   float64 // its own weight
	AngleDeg               float64 // between the legs
}

// Worse is the string with its weight, or without it where an uplift loads it more so.
func (v VString) Worse() VString {
	bare := v
	if bare.YokeN, bare.OwnN = 0, 0; bare.TopN() >= v.TopN() {
		return bare
	}
	return v
}

// VerticalN is the load on the lower end downwards.
func (v VString) VerticalN() float64 { return v.DownN + v.YokeN }

// PlaneN is the load on the lower end in the plane of the legs, as VPlaneLoad has it.
func (v VString) PlaneN() float64 { return VPlaneLoad(v.AlongN, v.VerticalN()) }

// LeanDeg is the angle of the load on the lower end in that plane to its middle, in degrees from 0 to 90.
func (v VString) LeanDeg() float64 { return VLeanDeg(v.AcrossN, v.PlaneN()) }

// LegN is the pull on the lower end of the leg, as VLegLoad has it.
func (v VString) LegN() float64 { return VLegLoad(v.AcrossN, v.PlaneN(), v.AngleDeg) }

// TopN is the load on the top unit in N. A taut leg is a straight bar that halves its weight between its ends.
//
//	F = √(N² + N·cos β·w·V/p + (w/2)²)
//
// N is LegN, w the own weight, V and p are VerticalN and PlaneN, and β is the angle of the leg in the plane to its middle: half of that between the
// legs, or where the other leg is slack that of the load.
//
// Source: statics (computed).
func (v VString) TopN() float64 {
	leg, plane := v.LegN(), v.PlaneN()
	if plane == 0 {
		return Resultant(leg, v.OwnN/2)
	}
	down := leg * math.Cos(max(v.AngleDeg/2, v.LeanDeg())*degree) * v.VerticalN() / plane
	return math.Sqrt(leg*leg + down*v.OwnN + v.OwnN*v.OwnN/4)
}

// VHangs returns where a V set holds the conductor: how far aside of the middle between its attachments, to the side to which the load leans,
// and how far below them, in the measure of the legs.
//
//	θ ≤ α: 0 and L·cos α;  α < θ < 180° − α: L·(sin θ − sin α) and L·cos θ;  above: 0 and −L·cos α
//
// L is the length of each leg, 2α the angle between them in degrees, θ the angle of the load at their lower end to the vertical in degrees, from 0 to
// 180. While both legs are taut the conductor stands where they put it. Beyond, one leg goes slack, and the conductor swings about the
// attachment of the other until that leg is in line with the load. A load that lifts both makes them taut above their attachments.
//
// Source: statics (computed).
func VHangs(leg, vAngleDeg, leanDeg float64) (aside, below float64) {
	half, lean := vAngleDeg/2, leanDeg*degree
	switch {
	case leanDeg <= half:
		return 0, leg * math.Cos(half*degree)
	case leanDeg >= 180-half:
		return 0, -leg * math.Cos(half*degree)
	}
	return leg * (math.Sin(lean) - math.Sin(half*degree)), leg * math.Cos(lean)
}

// The angles between the legs of a V set that are believed, in degrees. Sets are built at some 60° to 120° (common practice); at 180° a leg
// would bear without bound.
const (
	LeastVAngleDeg = 10
	MostVAngleDeg  = 160
)

// VAngleDeg returns the angle between the legs of a V set in degrees where legs of another length hang on the same attachments. NaN where they
// are too short to meet, or a figure is not known.
//
//	2·asin(L·sin(α)/L′)
//
// L is the length of legs with the angle 2α between them, L′ the other length.
//
// Source: plane geometry (computed).
func VAngleDeg(leg, vAngleDeg, otherLeg float64) float64 {
	return 2 * math.Asin(leg*math.Sin(vAngleDeg/2*degree)/otherLeg) / degree
}
