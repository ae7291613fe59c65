package basis

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestLowPointSlope holds the slope to differences of the low point itself, and on flat ground to C/L of the parabola (computed).
func TestLowPointSlope(t *testing.T) {
	for _, c := range [][3]float64{{300, 0, 3000}, {300, 40, 3000}, {120, -15, 900}, {800, 200, 1500}} {
		const step = 1e-3
		want := -(LowPoint(c[0], c[1]+step, c[2]) - LowPoint(c[0], c[1]-step, c[2])) / (2 * step)
		require.InDelta(t, want, LowPointSlope(c[0], c[1], c[2]), 1e-6)
	}
	require.InDelta(t, 10, LowPointSlope(300, 0, 3000), 0.01)
}

// TestWeightSpanSigma: slopes of 10 and 5. One metre here alone moves the weight span by 15, and by √(10² + 15² + 5²) = √350 where all three
// are uncertain (computed).
func TestWeightSpanSigma(t *testing.T) {
	require.InDelta(t, 15, WeightSpanSigma(0, 1, 0, 10, 5), 1e-12)
	require.InDelta(t, 20, WeightSpanSigma(2, 0, 0, 10, 5), 1e-12)
	require.InDelta(t, 18.708286933869708, WeightSpanSigma(1, 1, 1, 10, 5), 1e-12)
}
