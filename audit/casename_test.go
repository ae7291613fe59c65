package audit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestNamesOfLoadCases(t *testing.T) {
	for _, c := range []struct {
		one, other string
		same       bool
	}{
		{"high wind", "High-Wind", true},
		{"high wind", "high\u00a0wind", true},
		{"Viento máximo", "viento maximo", true},
		{"ice 10 mm", "ice10mm", true},
		{"high wind", "high winds", false},
		{"ice 1.5", "ice 15", false},
		{"ice 1-5", "ice 15", false},
		{"--", "...", false},
		{"--", "--", true},
	} {
		require.Equal(t, c.same, IsSameLoadCase(c.one, c.other), "%q and %q", c.one, c.other)
		require.Equal(t, c.same, IsSameLoadCase(c.other, c.one), "%q and %q", c.other, c.one)
	}
	nan := math.NaN()
	own := Room{ClearanceMM: nan, ClearancesMM: []CaseFigure{{Case: "High-wind", Value: 600}}}
	room := own.over(Room{ClearanceMM: nan, ClearancesMM: []CaseFigure{{Case: "high wind", Value: 300}}})
	require.Equal(t, own.ClearancesMM, room.ClearancesMM, "the structure's figure of the case, and no other of it")
	require.Equal(t, 600.0, room.clearanceIn(&LoadCase{Name: "high wind"}))
}
