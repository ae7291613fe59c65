package basis

import "math"

// VLegs returns the forces of the two legs of a V set in the unit of the load, from the equilibrium of the resultant with both: a pull
// is positive. The second leg is the one that a transverse load relieves; below 0 it would have to push, so it is slack, and the first
// then carries the resultant alone.
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
