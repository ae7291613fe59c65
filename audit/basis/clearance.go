package basis

import "math"

// What a clearance allows where it asks for no figure: any swing, or none, which a string at rest does not keep either.
const (
	AnySwingDeg = 180
	NoSwingDeg  = -90
)

// Wall is the body of a structure or a wall beside a string, as seen along the line.
type Wall struct {
	AwayM  float64 // level, from the attachment of the string to the wall, at AboveM above the attachment
	AboveM float64
	Lean   float64 // by how many metres it comes nearer for each metre down; 0 of an upright one, below 0 of one that leans away
}

// DistanceM is how far a point is from the wall in metres: so far aside of the attachment, towards the wall, and so far below it.
//
//	((H − x) − (V + z)·tan β)·cos β
//
// H and V are AwayM and AboveM, tan β is Lean, x how far aside and z how far below.
//
// Source: plane geometry (computed).
func (w Wall) DistanceM(asideM, belowM float64) float64 {
	return ((w.AwayM - asideM) - (w.AboveM+belowM)*w.Lean) * math.Cos(math.Atan(w.Lean))
}

// SwingToWallDeg returns the largest swing in degrees at which the lower end of a string keeps a clearance from the body of its
// structure or a wall.
//
//	φ = asin((H·cos β − V·sin β − C)/L) − β
//
// H and V are AwayM and AboveM of the wall and tan β is its Lean, L is the length of the string and C the clearance, in metres.
// Where the bracket is above 1 the wall is out of reach, and any swing is allowed; below −1 no string fits. A result below 0 says that the
// string keeps the clearance not even at rest. NaN where one of them is not known, or L is no length.
//
// Source: plane geometry, a published derivation.
func SwingToWallDeg(lengthM float64, wall Wall, clearanceM float64) float64 {
	lean := math.Atan(wall.Lean)
	sine := (wall.AwayM*math.Cos(lean) - wall.AboveM*math.Sin(lean) - clearanceM) / lengthM
	switch {
	case math.IsNaN(sine) || !(lengthM > 0):
		return math.NaN()
	case sine > 1:
		return AnySwingDeg
	case sine < -1:
		return NoSwingDeg
	}
	return (math.Asin(sine) - lean) / degree
}

// SwingToArmDeg returns the largest swing in degrees at which the lower end of a string keeps a clearance from the crossarm or bracket
// above it.
//
//	φ = acos((C − V)/L)
//
// The arm is level, and its underside V above the attachment of the string of the length L; C is the clearance, in metres. Where the bracket
// is above 1 no string of that length fits; below −1 the arm is out of reach, and any swing is allowed. NaN where one of them is not known,
// or L is no length.
//
// Source: plane geometry, a published derivation, for an arm that is level (β 0).
func SwingToArmDeg(lengthM, aboveM, clearanceM float64) float64 {
	cosine := (clearanceM - aboveM) / lengthM
	switch {
	case math.IsNaN(cosine) || !(lengthM > 0):
		return math.NaN()
	case cosine > 1:
		return NoSwingDeg
	case cosine < -1:
		return AnySwingDeg
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
