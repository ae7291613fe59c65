package basis

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// 700 ± 70 kV on 900 ± 54 kV gives 0.011841 (computed on the formula from memory).
func TestStressOnStrength(t *testing.T) {
	require.InDelta(t, 0.011841, StressOnStrength(700, 70, 900, 54), 5e-7)
	require.Equal(t, 0.5, StressOnStrength(700, 0, 700, 0))
	require.Equal(t, 0.0, StressOnStrength(699, 0, 700, 0))
	require.Equal(t, 1.0, StressOnStrength(701, 0, 700, 0))
	require.InEpsilon(t, 7.619853024160527e-24, StressOnStrength(-10, 1, 0, 0), 1e-12, "the normal tail at 10 deviations, as tables print it: 7.61985e-24")
}

// x −2 → 0.021428, −1 → 0.151671, +1 → 0.879405; M 10 → −1.47617 Z, 100 → −2.40757 Z and 0.39811 Z, 200 → −2.61371 Z and 0.34657 Z
// (computed on formulas from memory).
func TestStrengthCurve(t *testing.T) {
	for x, p := range map[float64]float64{-2: 0.021428, -1: 0.151671, 0: 0.5, 1: 0.879405} {
		require.InDelta(t, p, StrengthCurve(1000+30*x, 1000, 30), 5e-7, x)
	}
	require.Zero(t, StrengthCurve(880, 1000, 30), "truncated at −4")
	require.Zero(t, StrengthCurve(0, 1000, 30))
	require.InEpsilon(t, math.Ln2*1e-15, StrengthCurve(1000-30*4*(1-1e-3), 1000, 30), 1e-9, "nothing cancels near the truncation")

	for m, want := range map[float64][2]float64{1: {0, 1}, 10: {-1.47617, math.Pow(10, -0.2)}, 100: {-2.40757, 0.39811}, 200: {-2.61371, 0.34657}} {
		u50, z := InParallel(0, 1, m)
		require.InDelta(t, want[0], u50, 5e-6, m)
		require.InDelta(t, want[1], z, 5e-6, m)
	}
	for _, u := range []float64{890, 930, 1000, 1040} { // the curve of the weakest of M is that of all of them
		u50, z := InParallel(1000, 30, 57)
		require.InEpsilon(t, 1-math.Pow(1-StrengthCurve(u, 1000, 30), 57), StrengthCurve(u, u50, z), 1e-9, u)
	}
}

// simpson integrates by a rule of its own, in many equal steps.
func simpson(from, to float64, steps int, f func(float64) float64) float64 {
	h, sum := (to-from)/float64(steps), f(from)+f(to)
	for i := 1; i < steps; i++ {
		sum += float64(2+2*(i%2)) * f(from+float64(i)*h)
	}
	return sum * h / 3
}

func density(u, mean, deviation float64) float64 {
	t := (u - mean) / deviation
	return math.Exp(-t*t/2) / deviation / math.Sqrt(2*math.Pi)
}

// The risks agree with an independent quadrature of their integrals, in the tails too.
func TestRiskAgreesWithNumericalIntegration(t *testing.T) {
	for _, c := range []struct{ mean, deviation, u50, z, m float64 }{
		{700, 70, 900, 54, 1}, {700, 70, 900, 54, 100}, {1200, 70, 900, 54, 10}, {900, 3, 900, 54, 1}, {900, 150, 900, 9, 1}, {500, 40, 1000, 30, 1}, {400, 30, 900, 20, 1},
		{1500, 20, 900, 54, 1}, {100, 500, 900, 27, 200}, {350, 35, 1385.8, 83.15, 1}, {350, 35, 1385.8, 83.15, 100}, {700, 70, 2260, 67.8, 1}, // far tails
	} {
		u50, z := InParallel(c.u50, c.z, c.m)
		from := math.Max(u50-4*z, c.mean-39*c.deviation)
		want := simpson(from, math.Max(c.mean, from)+39*c.deviation, 400_000, func(u float64) float64 { return density(u, c.mean, c.deviation) * StrengthCurve(u, u50, z) })
		require.InEpsilon(t, want, CurveRisk(c.mean, c.deviation, u50, z), 1e-8, c)

		low := math.Min(c.mean-39*c.deviation, c.u50-39*c.z)
		high := math.Max(c.mean+39*c.deviation, c.u50+39*c.z)
		want = simpson(low, high, 400_000, func(u float64) float64 { return density(u, c.mean, c.deviation) * normal((u-c.u50)/c.z) })
		require.InEpsilon(t, want, StressOnStrength(c.mean, c.deviation, c.u50, c.z), 1e-8, c)
	}
	require.Equal(t, StressOnStrength(700, 70, 0, 0), CurveRisk(700, 70, 0, 0), "insulation without scatter")
	require.Less(t, CurveRisk(500, 40, 1000, 30), 1e-20)
	require.Positive(t, CurveRisk(500, 40, 1000, 30))
	require.Equal(t, 1.0, CurveRisk(5000, 40, 1000, 30))

	for _, c := range []struct{ s50, site, w50, withstand float64 }{{0.05, 0.6, 0.20, 0.08 / 0.22}, {0.01, 0.3, 0.4, 0.2}, {0.5, 0.6, 0.2, 0.4}} {
		s, w := math.Log(c.s50), math.Log(c.w50)
		want := simpson(math.Min(s, w)-15, math.Max(s, w)+15, 400_000, func(x float64) float64 { return density(x, s, c.site) * normal((x-w)/c.withstand) })
		require.InEpsilon(t, want, PollutionRisk(c.s50, c.site, c.w50, c.withstand), 1e-8, c)
	}
}

// S50 0.05, W50 0.20, σ_s 0.6, σ_U 0.08, a 0.22 → 0.024082, and 100 strings if independent 0.912632 (computed on formulas from memory).
func TestPollutionRisk(t *testing.T) {
	r := PollutionRisk(0.05, 0.6, 0.20, SeverityDeviation(0.08, 0.22))
	require.InDelta(t, 0.024082, r, 5e-7)
	require.InDelta(t, 0.912632, AnyOf(LogOfNone(r, 100)), 5e-7)
	require.Equal(t, 1.0, PollutionRisk(0.05, 0.6, 0, 0.3), "no unit is left")

	require.InEpsilon(t, 0.20, SeverityWithstand(77*math.Pow(0.20, 0.22), 77, 0.22), 1e-12, "U50 = A·S^(−a) at W50 is U")
	require.Zero(t, SeverityWithstand(0, 77, 0.22))

	require.InEpsilon(t, 1e-9, AnyOf(LogOfNone(1e-12, 1000)), 1e-9, "nothing cancels")
	require.Equal(t, 1.0, AnyOf(LogOfNone(1, 1)))
	require.Zero(t, AnyOf(0))
}

// A seeded simulation agrees within three standard errors.
func TestRiskAgreesWithASimulation(t *testing.T) {
	const draws = 400_000
	random := rand.New(rand.NewPCG(20, 21))
	within := func(hits int, want float64) {
		t.Helper()
		require.InDelta(t, want, float64(hits)/draws, 3*math.Sqrt(want*(1-want)/draws))
	}
	// strength draws one by the inverse of its curve: (1 + x/4)^5 = −log2(1 − P).
	strength := func(u50, z float64) float64 {
		return u50 + 4*z*(math.Pow(-math.Log2(1-random.Float64()), 0.2)-1)
	}
	var normals, curves, weakest, polluted, anyPolluted int
	const m, strings = 10, 4
	for range draws {
		stress := 700 + 70*random.NormFloat64()
		if stress > 900+54*random.NormFloat64() {
			normals++
		}
		least := strength(900, 54)
		if stress > least {
			curves++
		}
		for range m - 1 {
			least = math.Min(least, strength(900, 54))
		}
		if stress > least {
			weakest++
		}
		hit := false
		for i := range strings {
			site, withstand := math.Log(0.05)+0.6*random.NormFloat64(), math.Log(0.20)+0.08/0.22*random.NormFloat64()
			if site > withstand {
				hit = true
				if i == 0 {
					polluted++
				}
			}
		}
		if hit {
			anyPolluted++
		}
	}
	within(normals, StressOnStrength(700, 70, 900, 54))
	within(curves, CurveRisk(700, 70, 900, 54))
	u50, z := InParallel(900, 54, m)
	within(weakest, CurveRisk(700, 70, u50, z))
	r := PollutionRisk(0.05, 0.6, 0.20, SeverityDeviation(0.08, 0.22))
	within(polluted, r)
	within(anyPolluted, AnyOf(LogOfNone(r, strings)))
}

// Ten nodes integrate powers up to the nineteenth exactly.
func TestGaussNodes(t *testing.T) {
	for power := 0; power <= 18; power += 2 {
		sum := 0.0
		for _, node := range gauss {
			sum += 2 * node.weight * math.Pow(node.at, float64(power))
		}
		require.InDelta(t, 2/float64(power+1), sum, 1e-14, power)
	}
}
