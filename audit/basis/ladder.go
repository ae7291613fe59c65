package basis

import "math"

// VoltageShares returns the share of the phase to earth voltage that each unit of a string carries, from the earthed
// end to the conductor. The shares sum to 1.
//
//	Vj = V·sinh(j·a) / sinh(n·a),   a = 2·asinh(√k / 2)
//
// Vj is the potential of joint j counted from the earthed end, n the number of units and k the ratio of a unit's
// capacitance to earth to its own capacitance; k = 0 shares evenly. Long strings with k alone come out too pessimistic,
// so the result is indicative. Fewer than one unit and a negative or unknown k give an *OutOfRange.
//
// Source: arithmetic (computed): the exact solution of the ladder of capacitances; 42 printed values of textbooks agree
// (published).
func VoltageShares(units int, k float64) (shares []float64, err error) {
	if err := within("number of units", float64(units), 1, Finite, ""); err != nil {
		return nil, err
	}
	if err := within("capacitance ratio", k, 0, Finite, ""); err != nil {
		return nil, err
	}
	shares = make([]float64, units)
	a := 2 * math.Asinh(math.Sqrt(k)/2)
	potential := func(j int) float64 { // sinh(j·a)/sinh(n·a), written so that it cannot overflow
		return math.Exp(float64(j-units)*a) * math.Expm1(-2*float64(j)*a) / math.Expm1(-2*float64(units)*a)
	}
	if a == 0 {
		potential = func(j int) float64 { return float64(j) / float64(units) }
	}
	below := 0.0
	for j := range shares {
		above := potential(j + 1)
		shares[j], below = above-below, above
	}
	return shares, nil
}

// StringEfficiency returns how evenly a string shares its voltage, 1 for an even share.
//
//	efficiency = V / (n·Vn)
//
// V is the voltage of the string and Vn that of the unit at the conductor; shares are those of VoltageShares. No shares
// give NaN.
//
// Source: arithmetic (computed).
func StringEfficiency(shares []float64) float64 {
	if len(shares) == 0 {
		return math.NaN()
	}
	return 1 / (float64(len(shares)) * shares[len(shares)-1])
}
