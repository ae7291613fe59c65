package headroom

import (
	"math"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// 200 assemblies: one meets nowhere, 2 up to 10, 37 up to 20, 60 up to 30, the rest up to the end. Shares are of 200 (computed).
func TestSharesOfACurve(t *testing.T) {
	var g gathered
	for structure, of := range []struct {
		value float64
		count int
		how   found
	}{{math.Inf(-1), 1, notBelow}, {30, 60, closedIn}, {10, 2, byFigures}, {20, 37, byFigures}, {math.Inf(1), 100, notReached}} {
		for range of.count {
			g.add(&audit.Location{Structure: structure}, limit{value: of.value, how: of.how})
		}
	}
	c := g.finish()
	require.Equal(t, []Step{{10, 2}, {20, 37}, {30, 60}}, c.Steps)
	require.Equal(t, []Failing{{0, math.Inf(-1), 1}, {2, 10, 2}, {3, 20, 37}, {1, 30, 60}}, c.First)
	for value, share := range map[float64]float64{5: 199.0 / 200, 10: 199.0 / 200, 10.01: 197.0 / 200, 20.1: 160.0 / 200, 31: 0.5} {
		require.InDelta(t, share, c.Share(value), 1e-12, value)
	}
	require.Equal(t, math.Inf(-1), c.Until(0))
	require.Equal(t, 10.0, c.Until(OnePercent))
	require.Equal(t, 20.0, c.Until(TenPercent))
	require.Equal(t, 30.0, c.Until(Half))
	require.Equal(t, math.Inf(1), c.Until(0.9))
	require.True(t, math.IsNaN((&Curve{}).Until(Half)))
}
