package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The horizontal tension gives back the pull it was found from, at the span that pulls more (computed from the catenary).
func TestHorizontalTension(t *testing.T) {
	const w = 10.0
	for name, spans := range map[string][]Attached{
		"level":        {{300, 0}, {300, 0}},
		"on a hill":    {{300, 60}, {250, 40}},
		"on a slope":   {{300, 80}, {300, -80}},
		"a line's end": {{math.NaN(), math.NaN()}, {400, 30}},
		"unlike spans": {{800, 0}, {100, 0}},
		"a cliff":      {{100, 500}},
	} {
		h, ok := HorizontalTension(28, w, spans...)
		require.True(t, ok, name)
		largest := 0.0
		for _, span := range spans {
			if !math.IsNaN(span.SpanM) {
				c := CatenaryConstant(h, w)
				largest = math.Max(largest, TensionAtSupport(h, FromLowPoint(span.SpanM, span.RiseM, c), c))
			}
		}
		require.InDelta(t, 28, largest, 1e-6, name)
		require.Less(t, h, 28.0, name)
	}
	// On level ground x is half the span: H·cosh(150/(100·H)) at H = 27.9 kN is 27.9·cosh(0.0537634) = 27.94033 kN (computed).
	h, ok := HorizontalTension(27.94033, w, Attached{300, 0}, Attached{300, 0})
	require.True(t, ok)
	require.InDelta(t, 27.9, h, 1e-4)
	h, ok = HorizontalTension(28, w)
	require.True(t, ok)
	require.Equal(t, 28.0, h, "no span")
	_, ok = HorizontalTension(28, w, Attached{300, math.NaN()})
	require.False(t, ok, "height not known")
	_, ok = HorizontalTension(1, w, Attached{300, 0})
	require.False(t, ok, "the span alone weighs 3 kN, and pulls 1.5 kN or more at each end")
	_, ok = HorizontalTension(28, w, Attached{10, 120})
	require.False(t, ok, "of a pull along 12 up in 1, less than a tenth is horizontal")
}

// The least that a level span can pull is that at x = 1.19968·C, where tanh(x/C) = C/x: w·x·sinh(1.19968), so that 300 m of 10 N/m pull no
// less than 2.26332 kN (computed). A pull that is little more is found.
func TestHorizontalTensionNearTheLeastPull(t *testing.T) {
	const w, x, ratio = 10.0, 150.0, 1.199678640257734
	h := w * x / ratio / 1000
	least := h * math.Cosh(ratio)
	require.InDelta(t, 2.26332, least, 1e-5)
	for _, share := range [...]float64{1.0002, 1.001, 1.01, 1.1} {
		taut, ok := HorizontalTension(least*share, w, Attached{300, 0})
		require.True(t, ok, share)
		require.Greater(t, taut, h, share)
	}
	_, ok := HorizontalTension(least*0.999, w, Attached{300, 0})
	require.False(t, ok)
}
