package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func shares(t require.TestingT, n int, k float64) []float64 {
	s, err := VoltageShares(n, k)
	require.NoError(t, err)
	return s
}

func TestVoltageShares(t *testing.T) {
	// n = 5, k = 1/6, 66 kV (published textbook answer 57.3 to 57.5 %; unit voltages computed).
	s := shares(t, 5, 1.0/6)
	for i, want := range []float64{4.255, 4.965, 6.501, 9.122, 13.262} {
		require.InDelta(t, want, s[i]*66/math.Sqrt(3), 5e-4)
	}
	require.InDelta(t, 0.5746, StringEfficiency(s), 5e-5)

	// n = 4, k = 1/5 (computed).
	s = shares(t, 4, 0.2)
	for i, want := range []float64{0.1601, 0.1921, 0.2625, 0.3854} {
		require.InDelta(t, want, s[i], 6e-5)
	}
	require.InDelta(t, 0.6487, StringEfficiency(s), 6e-5)

	// n = 3, k = 0.1 (published): V1 10, V2 11, V3 13.1, efficiency 86.77 %. The exact value is 34.1/39.3 = 86.768 %.
	s = shares(t, 3, 0.1)
	require.InDelta(t, 1.1, s[1]/s[0], 1e-12)
	require.InDelta(t, 1.31, s[2]/s[0], 1e-12)
	require.InDelta(t, 0.8677, StringEfficiency(s), 5e-5)
}

// n = 5, k = 1/7, unit at the conductor 22 kV: the exact ladder carries 66.34 kV (computed). The textbook approximation
// with √k in place of 2·asinh(√k/2) prints 66.08, which is not what the formula gives.
func TestExactLadderNotTheTextbookApproximation(t *testing.T) {
	s := shares(t, 5, 1.0/7)
	require.InDelta(t, 66.34, 22/s[4], 0.005)
	require.Greater(t, math.Abs(22/s[4]-66.08), 0.2)
}

func TestSharesSolveTheLadder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "units")
		k := rapid.Float64Range(0, 2).Draw(t, "k")
		s := shares(t, n, k)
		// Recurrence of the circuit: the current of a unit is that of the one below plus that of the joint to earth.
		unit, joint := 1.0, 1.0
		want := []float64{unit}
		for range n - 1 {
			unit += k * joint
			joint += unit
			want = append(want, unit)
		}
		sum := 0.0
		for i := range s {
			require.InDelta(t, want[i]/joint, s[i], 1e-12)
			sum += s[i]
		}
		require.InDelta(t, 1, sum, 1e-12)
	})
}

func TestSharesAtTheEnds(t *testing.T) {
	require.Equal(t, []float64{0.25, 0.25, 0.25, 0.25}, shares(t, 4, 0))
	require.Equal(t, []float64{1}, shares(t, 1, 0.3))
	require.InDelta(t, 1, shares(t, 60, 1e6)[59], 1e-5) // no overflow
	require.True(t, math.IsNaN(StringEfficiency(nil)))
	for _, c := range []struct {
		n int
		k float64
	}{{0, 0.1}, {-3, 0.1}, {5, -0.1}, {5, math.NaN()}, {5, math.Inf(1)}} {
		_, err := VoltageShares(c.n, c.k)
		var out *OutOfRange
		require.ErrorAs(t, err, &out)
	}
}
