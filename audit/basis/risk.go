package basis

import "math"

// normal returns the share of a standard normal quantity that is below z, in the far tails too.
func normal(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// StressOnStrength returns the probability that a normally distributed stress exceeds a normally distributed strength.
//
//	R = Φ((μ − U50)/√(σ² + Z²))
//
// mean μ and deviation σ are of the stress, u50 and z of the strength, all in one unit, as kV peak. Where neither scatters it is 0, ½ or 1.
//
// Source: statistics of stress and strength, as IEC 60071-2 has it (value from memory, H).
func StressOnStrength(mean, deviation, u50, z float64) float64 {
	apart := mean - u50
	if apart == 0 {
		return 0.5
	}
	return normal(apart / math.Hypot(deviation, z))
}

// The shape of the strength curve of IEC 60071-2 (value from memory, H): it is truncated 4 conventional deviations below U50, and its
// exponent is 5.
const (
	CurveTruncation = 4.0
	CurveExponent   = 5.0
)

// StrengthCurve returns the probability that insulation flashes over at a voltage.
//
//	P(U) = 1 − 0.5^((1 + x/4)^5)   x = (U − U50)/Z
//
// u, u50 and z are kV peak. It is 0 for x of −4 and less, and ½ at U50.
//
// Source: IEC 60071-2, modified Weibull distribution (value from memory, H).
func StrengthCurve(u, u50, z float64) float64 {
	from := 1 + (u-u50)/z/CurveTruncation
	if !(from > 0) { // NaN of U50 on U50 without scatter too
		return 0
	}
	return -math.Expm1(-math.Ln2 * fifth(from))
}

func fifth(x float64) float64 { square := x * x; return square * square * x }

// InParallel returns the strength of M like insulations side by side, of which the weakest decides.
//
//	U50,M = U50 − 4·Z·(1 − M^(−1/5))
//	Z_M   = Z·M^(−1/5)
//
// u50 and z are kV peak; m is 1 or more.
//
// Source: IEC 60071-2 (value from memory, H); it follows from StrengthCurve, since 1 − (1 − P)^M is such a curve again.
func InParallel(u50, z, m float64) (u50M, zM float64) {
	share := math.Pow(m, -1/CurveExponent)
	return u50 - CurveTruncation*z*(1-share), z * share
}

// CurveRisk returns the probability that a normally distributed stress flashes over insulation whose strength is StrengthCurve.
//
//	R = ∫ f(U)·P(U) dU
//
// f is the normal density of the stress with mean and deviation; all are kV peak. Insulation without scatter flashes over above U50.
// The integral is taken by Gauss and Legendre in pieces no wider than the lesser deviation, and narrower where the density falls steeply, to a
// relative error below 1e-9 for probabilities above 1e-100.
//
// Source: IEC 60071-2 (value from memory, H).
func CurveRisk(mean, deviation, u50, z float64) float64 {
	if z == 0 {
		return StressOnStrength(mean, deviation, u50, 0)
	}
	// Below low no stress flashes over; above high all does, to the last digit. Stresses that are far from their mean, and from low, count for nothing.
	const sure, far = 5.0, 10.0
	low, high := u50-CurveTruncation*z, u50+sure*z
	beyond := normal((mean - high) / deviation)
	low = math.Max(low, mean-far*deviation)
	high = math.Min(high, math.Max(mean, low)+far*deviation)
	if !(low < high) {
		return beyond
	}
	steepest := math.Max(math.Abs(low-mean), math.Abs(high-mean)) / deviation // by so many e-folds the density falls in one deviation
	pieces := math.Ceil((high - low) / math.Min(deviation, z) * math.Max(1, steepest/4))
	half, sum := (high-low)/pieces/2, 0.0
	for i := range int(pieces) {
		middle := low + (2*float64(i)+1)*half
		for _, node := range gauss {
			for _, u := range [...]float64{middle - node.at*half, middle + node.at*half} {
				t := (u - mean) / deviation
				sum += node.weight * math.Exp(-t*t/2) * StrengthCurve(u, u50, z)
			}
		}
	}
	return math.Min(sum*half/deviation/math.Sqrt(2*math.Pi)+beyond, 1)
}

// gauss are the positive nodes of ten on −1…1, with their weights (standard tables of Gauss and Legendre; a test holds them against powers).
var gauss = [...]struct{ at, weight float64 }{
	{0.1488743389816312, 0.2955242247147529}, {0.4333953941292472, 0.2692667193099963}, {0.6794095682990244, 0.2190863625159820},
	{0.8650633666889845, 0.1494513491505806}, {0.9739065285171717, 0.0666713443086881},
}

// SeverityWithstand returns the pollution severity at which a string flashes over with a probability of one half.
//
//	W50 = (A/U)^(1/a)
//
// strength A, in kV, and exponent a are those of the artificial test of the string, U50 = A·S^(−a) at severity S; u is the voltage along
// it in kV r.m.s. The result is in the measure of S.
//
// Source: statistics of pollution flashover (value from memory, H).
func SeverityWithstand(strength, u, a float64) float64 { return math.Pow(strength/u, 1/a) }

// SeverityDeviation returns the standard deviation of the logarithm of the severity that a string withstands.
//
//	σ_w = σ_U/a
//
// sigma is the standard deviation of the flashover voltage as a share of it, and a the exponent of SeverityWithstand.
//
// Source: statistics of pollution flashover (value from memory, H).
func SeverityDeviation(sigma, a float64) float64 { return sigma / a }

// PollutionRisk returns the probability of a flashover in one event of wetting.
//
//	R = Φ(ln(S50/W50)/√(σ_s² + σ_w²))
//
// The severity of the site and that withstood are lognormal, of medians s50 and w50 in one measure, and of standard deviations of the
// logarithm siteSigma and withstandSigma. A string that withstands none (w50 of 0) flashes over.
//
// Source: statistics of pollution flashover (value from memory, H).
func PollutionRisk(s50, siteSigma, w50, withstandSigma float64) float64 {
	return normal(math.Log(s50/w50) / math.Hypot(siteSigma, withstandSigma))
}

// LogOfNone returns the logarithm of the probability that none of n like things fails that do so independently with probability r.
//
//	n·ln(1 − r)
//
// Such logarithms of unlike things add; AnyOf turns the sum back.
//
// Source: arithmetic.
func LogOfNone(r float64, n int) float64 { return float64(n) * math.Log1p(-r) }

// AnyOf returns the probability that any fails, by the logarithm of the probability that none does.
//
//	1 − Π(1 − R)
//
// Source: arithmetic.
func AnyOf(logOfNone float64) float64 { return -math.Expm1(logOfNone) }
