package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Two legs from the load up to either hand: forces across and down balance, and where the second would have to push, no pull in it
// balances them at all.
func TestLegsBalanceTheLoad(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		across := rapid.Float64Range(-20, 20).Draw(t, "across")
		down := rapid.Float64Range(-20, 20).Draw(t, "down") + 0 // -0 is no pull upwards
		angle := rapid.Float64Range(10, 160).Draw(t, "angle")
		first, second := VLegs(across, down, angle)
		half := angle / 2 * math.Pi / 180
		hangs := 1.0 // −1 above their attachments
		if VLifts(across, down, angle) {
			hangs = -1
		}
		imbalance := func(one, other float64) float64 {
			return math.Hypot(math.Abs(across)-(one-other)*math.Sin(half), down-hangs*(one+other)*math.Cos(half))
		}
		require.InDelta(t, 0, imbalance(first, second), 1e-9)
		least := math.Inf(1)
		for one := range 180 { // every pull that the two strings can hold, by steps of 1
			for other := range 180 {
				least = math.Min(least, imbalance(float64(one), float64(other)))
			}
		}
		if first >= 0 && second >= 0 {
			require.LessOrEqual(t, least, 1.0, "no farther off than the steps")
		} else { // the load lies outside the legs, by this at least
			beyond := math.Min(VLeanDeg(across, down)-angle/2, 90) * math.Pi / 180
			require.GreaterOrEqual(t, least, math.Hypot(across, down)*math.Sin(beyond)-1e-9)
		}
		require.Equal(t, second < 0, VLeanDeg(across, down) > angle/2 && hangs > 0)
		load := VLegLoad(across, down, angle)
		if second >= 0 {
			require.InDelta(t, first, load, 1e-9)
		} else {
			require.InDelta(t, math.Hypot(across, down), load, 1e-9)
		}
	})
}
