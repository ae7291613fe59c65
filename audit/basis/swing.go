package basis

import "math"

// SwingCase is what swings a suspension string. Lengths, weights and tension are those of one subconductor; the string
// figures are those of all strings of the assembly together.
type SwingCase struct {
	TensionKN     float64 // in this load case
	DeviationDeg  float64 // of either sign
	WindSpanM     float64
	WeightSpanM   float64
	WindPa        float64 // pressure on the projected area
	DiameterMM    float64 // of the conductor, ice included
	WeightNPerM   float64 // of the conductor, ice included
	StringWeightN float64
	StringWindN   float64 // wind force on the string, 0 where it is neglected
	Subconductors int
}

// WindN returns the wind force on the conductors in N.
//
//	HS·p·d·m
//
// HS is the wind span, p the pressure, d the diameter and m the number of subconductors.
//
// Source: RUS Bulletin 1724E-200 chapter 7 (value from memory, H).
func (s SwingCase) WindN() float64 {
	return s.WindSpanM * WindLoad(s.WindPa, s.DiameterMM) * float64(s.Subconductors)
}

// TurnN returns the pull of the turn in N, see TurnPull.
//
//	2·T·sin(|δ| / 2)·m
//
// Source: statics (computed).
func (s SwingCase) TurnN() float64 {
	return TurnPull(s.TensionKN*1000, s.DeviationDeg) * float64(s.Subconductors)
}

// VerticalN returns the weight of the conductors that hangs on the string in N; below 0 it is uplift.
//
//	VS·w·m
//
// VS is the weight span and w the weight per metre.
//
// Source: statics (computed).
func (s SwingCase) VerticalN() float64 {
	return s.WeightSpanM * s.WeightNPerM * float64(s.Subconductors)
}

// Angles returns the swing in degrees with the wind blowing towards the inside of the turn and against it. Positive is
// a swing to the inside. A conductor that lifts its string gives more than 90°.
//
//	tan φ = (2·T·sin(δ/2)·m ± HS·p·d·m ± Ws/2) / (VS·w·m + Wi/2)
//
// Ws is the wind on the string and Wi its weight: half of each acts at its lower end. The other symbols are those of
// TurnN, WindN and VerticalN. Every term but Ws and Wi is taken times the number m of subconductors.
//
// Source: RUS Bulletin 1724E-200 chapter 7 (value from memory, H); the form without Ws is published.
func (s SwingCase) Angles() (withWindDeg, againstWindDeg float64) {
	turn, wind, down := s.TurnN(), s.WindN()+s.StringWindN/2, s.VerticalN()+s.StringWeightN/2
	return math.Atan2(turn+wind, down) / degree, math.Atan2(turn-wind, down) / degree
}

// AngleDeg returns the larger swing of the two wind directions in degrees, without sign.
//
// Source: see Angles.
func (s SwingCase) AngleDeg() float64 {
	with, against := s.Angles()
	return math.Max(math.Abs(with), math.Abs(against))
}

// ResultantN returns the larger load of the two wind directions on the suspension assembly at the conductor in N: the
// string's own weight and wind are left out.
//
//	√( (2·T·sin(δ/2)·m + HS·p·d·m)² + (VS·w·m)² )
//
// Source: statics (computed).
func (s SwingCase) ResultantN() float64 { return Resultant(s.TurnN()+s.WindN(), s.VerticalN()) }
