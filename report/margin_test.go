package report

import (
	"math"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// A straight line is within its limit by millions of per cent: people are shown no such figure.
func TestMarginsAsPeopleAreShownThem(t *testing.T) {
	for _, c := range []struct {
		margin         float64
		words, percent string
	}{
		{-0.0249, "-2.5 %", "−2.5"},
		{10, "+1000.0 %", "1000.0"},
		{10.001, "more than 1000 %", ""},
		{4252090.349, "more than 1000 %", ""},
		{-10.001, "less than −1000 %", ""},
		{math.NaN(), "", ""},
	} {
		require.Equal(t, c.words, marginInWords(c.margin), "%g", c.margin)
		require.Equal(t, c.percent, marginPercent(c.margin), "%g", c.margin)
	}
	straight := audit.AtMost(4.7e-7, 2, "deg")
	require.True(t, strings.HasSuffix(comparison(straight), ", margin more than 1000 %"), comparison(straight))
	require.Greater(t, straight.Margin, 1e6, "programs have the figure")
	margin, _ := verdictFormulas(&straight, 7)
	require.True(t, math.IsNaN(margin.(computed).value.(float64)))
	require.Contains(t, margin.(computed).formula, "ABS(G7/H7-1)>10")
}
