package basis

import "math"

// What a clearance allows where it asks for no figure: any swing, or none, which a string at rest does not keep either.
const (
	AnySwingDeg = 180
	NoSwingDeg  = -90
)

// SwingToWallDeg returns the largest swing in degrees at which the lower end of a string keeps a clearance from the body of its
// structure or a wall.
//
//	φ = asin((H − C)/L)
//
// The wall is upright and H metres away from the attachment of the string, L is the length of the string and C the clearance, in metres.
// Where the bracket is above 1 the wall is out of reach, and any swing is allowed; below −1 no string fits. A result below 0 says that the
// string keeps the clearance not even at rest. NaN where one of them is not known, or L is no length.
//
// Source: plane geometry, a published derivation.
func SwingToWallDeg(lengthM, awayM, clearanceM float64) float64 {
	sine := (awayM - clearanceM) / lengthM
	switch {
	case math.IsNaN(sine) || !(lengthM > 0):
		return math.NaN()
	case sine > 1:
		return AnySwingDeg
	case sine < -1:
		return NoSwingDeg
	}
	return math.Asin(sine) / degree
}

// SwingToArmDeg returns the largest swing in degrees at which the lower end of a string keeps a clearance from the crossarm above it.
//
//	φ = acos(C/L)
//
// The arm is level, and the string of the length L hangs from its underside; C is the clearance, in metres. Where the bracket is above 1 no
// string of that length fits. NaN where one of them is not known, or L is no length.
//
// Source: plane geometry, a published derivation.
func SwingToArmDeg(lengthM, clearanceM float64) float64 {
	cosine := clearanceM / lengthM
	switch {
	case math.IsNaN(cosine) || !(lengthM > 0):
		return math.NaN()
	case cosine > 1:
		return NoSwingDeg
	}
	return math.Acos(cosine) / degree
}

// VSetDropM is by how much the conductor of a V set hangs lower on legs that are longer, in metres, where their points of attachment stay. L
// is the length of the legs, d what they get longer by and β the angle between them in degrees. NaN where one is not known.
//
//	sqrt((L + d)² − (L·sin(β/2))²) − L·cos(β/2)
//
// Source: plane geometry (computed).
func VSetDropM(legM, longerM, angleDeg float64) float64 {
	sine, cosine := math.Sincos(angleDeg / 2 * math.Pi / 180)
	return math.Sqrt((legM+longerM)*(legM+longerM)-legM*legM*sine*sine) - legM*cosine
}
