package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// leastAt is the place where a convex function of one figure is least between two ends, found from its slope.
func leastAt(low, high float64, slope func(x float64) float64) float64 {
	for range 200 {
		if middle := (low + high) / 2; slope(middle) < 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// restsAt finds where two ropes of a length hold a load, and their pulls, from the potential energy alone: they are springs so stiff that they
// hardly stretch, and pull nothing where they are slack. It knows nothing of angles, nor of which one is taut.
func restsAt(leg, apart, across, down float64) (x, below, left, right float64) {
	stiffness := 1e7 * math.Hypot(across, down) / leg
	pull := func(x, z, at float64) (force, dx, dz float64) {
		length := math.Hypot(x-at, z)
		if length <= leg {
			return 0, 0, 0
		}
		force = stiffness * (length - leg)
		return force, force * (x - at) / length, force * z / length
	}
	at := [2]float64{-apart / 2, apart / 2}
	energySlopes := func(x, z float64) (dx, dz float64) {
		dx, dz = -across, -down
		for _, of := range at {
			_, fx, fz := pull(x, z, of)
			dx, dz = dx+fx, dz+fz
		}
		return dx, dz
	}
	depth := func(x float64) float64 {
		return leastAt(-2*leg, 2*leg, func(z float64) float64 { _, dz := energySlopes(x, z); return dz })
	}
	x = leastAt(-2*leg, 2*leg, func(x float64) float64 { dx, _ := energySlopes(x, depth(x)); return dx })
	below = depth(x)
	left, _, _ = pull(x, below, at[0])
	right, _, _ = pull(x, below, at[1])
	return x, below, left, right
}

// Two inextensible legs that can only pull hold the conductor where its potential energy is least, found by brute force.
func TestVSetHangsWhereItsEnergyIsLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		across := rapid.Float64Range(0.01, 20).Draw(t, "across")
		down := rapid.Float64Range(-20, 20).Draw(t, "down")
		angle := rapid.Float64Range(10, 160).Draw(t, "angle")
		leg := rapid.Float64Range(0.3, 8).Draw(t, "leg")
		load, lean := math.Hypot(across, down), VLeanDeg(across, down)
		x, below, left, right := restsAt(leg, 2*leg*math.Sin(angle/2*degree), across, down)
		aside, under := VHangs(leg, angle, lean)
		require.InDelta(t, x, aside, 2e-3*leg, "aside")
		require.InDelta(t, below, under, 2e-3*leg, "below")
		require.InDelta(t, math.Max(left, right)/load, VLegLoad(across, down, angle)/load, 2e-3*max(1, 1/math.Sin(angle*degree)), "pull")
		if math.Abs(lean-angle/2) > 0.1 && math.Abs(180-lean-angle/2) > 0.1 {
			require.Equal(t, lean > angle/2 && !VLifts(across, down, angle), left == 0 || right == 0, "one is slack")
		}
	})
}

// A V of legs of 2 m at 90° holds its conductor 1.4142 m below; a load at 60° takes it 2·(sin 60° − sin 45°) = 0.3178 m aside and 1 m below (computed).
func TestWhereAVSetHangs(t *testing.T) {
	for name, c := range map[string]struct{ leg, angle, lean, aside, below float64 }{
		"at rest":             {2, 90, 0, 0, math.Sqrt2},
		"while both are taut": {2, 90, 45, 0, math.Sqrt2},
		"one slack":           {2, 90, 60, 0.317837, 1},
		"level":               {2, 90, 90, 2 - math.Sqrt2, 0},
		"lifted":              {2, 90, 120, 0.317837, -1},
		"both above":          {2, 90, 135, 0, -math.Sqrt2},
		"straight up":         {2, 90, 180, 0, -math.Sqrt2},
		"narrow":              {1.5, 10, 30, 1.5 * (0.5 - math.Sin(5*degree)), 1.299038},
	} {
		aside, below := VHangs(c.leg, c.angle, c.lean)
		require.InDelta(t, c.aside, aside, 1e-6, name)
		require.InDelta(t, c.below, below, 1e-6, name)
	}
	aside, below := VHangs(math.NaN(), 90, 60)
	require.True(t, math.IsNaN(aside) && math.IsNaN(below))
}

// Legs of 1 m at a right angle, and of 1.2247 m on the same attachments: 70.53° (computed), where they hang lower by what VSetDropM says.
func TestAngleOfLongerLegs(t *testing.T) {
	require.InDelta(t, 70.5288, VAngleDeg(1, 90, math.Sqrt(1.5)), 1e-4)
	require.InDelta(t, 90, VAngleDeg(1.3, 90, 1.3), 1e-12)
	require.InDelta(t, 180, VAngleDeg(1, 90, math.Sqrt(0.5)), 1e-5)
	require.True(t, math.IsNaN(VAngleDeg(1, 90, 0.7)))
	require.True(t, math.IsNaN(VAngleDeg(math.NaN(), 90, 0.7)))
	_, before := VHangs(1.46, 100, 0)
	_, after := VHangs(1.606, VAngleDeg(1.46, 100, 1.606), 0)
	require.InDelta(t, VSetDropM(1.46, 0.146, 100), after-before, 1e-12)
}
