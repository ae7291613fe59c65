package checks

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// Two figures of a sentence are as far apart as the verdict's margin says, to the tenth of a per cent in which margins are shown.
func TestFiguresCarryTheMargin(t *testing.T) {
	for _, c := range []struct {
		a, b        float64
		least       int
		textA, texB string
	}{
		{120.2, 125, 0, "120.2", "125.0"}, // 3.8 % short, of 120 it would be 4.0 %
		{120, 125, 0, "120", "125"},
		{639.4, 650, 0, "639.4", "650.0"},
		{2950, 3624.9, 1, "2950", "3624.9"},
		{124.96, 125, 0, "124.96", "125.00"},
		{1, 0, 0, "1", "0"},
	} {
		a, b := apart(c.a, c.b, c.least)
		require.Equal(t, []string{c.textA, c.texB}, []string{a, b})
	}
	for a := 100.0; a < 125; a += 0.07 {
		has, needs := apart(a, 125, 0)
		x, err := strconv.ParseFloat(has, 64)
		require.NoError(t, err)
		y, err := strconv.ParseFloat(needs, 64)
		require.NoError(t, err)
		require.Less(t, x, y)
		require.Equal(t, math.Round(1000*(a-125)/125), math.Round(1000*(x-y)/y), "%g is written %s", a, has)
	}
}
