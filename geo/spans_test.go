package geo

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// someSpan is a span of a line.
type someSpan struct {
	from, to orb.Point
	line     int32
}

func crossingsOf(spans []someSpan) [][2]int {
	return Crossings(len(spans), 5, func(i int) (from, to orb.Point, line int32, ok bool) {
		return spans[i].from, spans[i].to, spans[i].line, true
	})
}

func TestCrossings(t *testing.T) {
	across := someSpan{orb.Point{10, 50}, orb.Point{10.004, 50}, 1}
	for name, c := range map[string]struct {
		other someSpan
		want  bool
	}{
		"across":              {someSpan{orb.Point{10.002, 49.999}, orb.Point{10.002, 50.001}, 2}, true},
		"of the same line":    {someSpan{orb.Point{10.002, 49.999}, orb.Point{10.002, 50.001}, 1}, false},
		"ends on it":          {someSpan{orb.Point{10.002, 50}, orb.Point{10.002, 50.001}, 2}, false},
		"from its structure":  {someSpan{orb.Point{10, 50}, orb.Point{10.002, 50.001}, 2}, false},
		"beside it":           {someSpan{orb.Point{10.005, 49.999}, orb.Point{10.005, 50.001}, 2}, false},
		"on the same towers":  {someSpan{orb.Point{10, 50}, orb.Point{10.004, 50}, 2}, false},
		"nearly on them":      {someSpan{orb.Point{10, 50.00002}, orb.Point{10.004, 49.99998}, 2}, false},
		"at 8 degrees":        {someSpan{orb.Point{10, 50.0002}, orb.Point{10.004, 49.9998}, 2}, true}, // 44 m in 286 m
		"longer than any":     {someSpan{orb.Point{10.002, 49.9}, orb.Point{10.002, 50.1}, 2}, false},
		"to where nothing is": {someSpan{orb.Point{10.002, 49.9}, orb.Point{math.NaN(), 50.1}, 2}, false},
	} {
		want := [][2]int(nil)
		if c.want {
			want = [][2]int{{0, 1}}
		}
		require.Equal(t, want, crossingsOf([]someSpan{across, c.other}), name)
		require.Equal(t, want, crossingsOf([]someSpan{{across.to, across.from, 1}, c.other}), name)
	}
	for _, turned := range []orb.Point{{-179.999, 0}, {180.001, 0}} {
		require.Equal(t, [][2]int{{0, 1}}, crossingsOf([]someSpan{{orb.Point{179.999, 0}, turned, 1}, {orb.Point{-179.9995, -0.001}, orb.Point{-179.9995, 0.001}, 2}}), "the antimeridian")
	}
}

// What the grid finds is what is found by holding each span against each.
func TestCrossingsAreThoseOfEachTwo(t *testing.T) {
	found := 0
	rapid.Check(t, func(t *rapid.T) {
		lon := rapid.SampledFrom([]float64{0, 10.0039, 179.99, -180}).Draw(t, "lon")
		at := func() orb.Point {
			// Multiples of a cell's edge among them.
			x, y := rapid.IntRange(-8, 8).Draw(t, "x"), rapid.IntRange(-8, 8).Draw(t, "y")
			return orb.Point{lon + float64(x)/1024, float64(y) / 1024}
		}
		spans := make([]someSpan, rapid.IntRange(2, 12).Draw(t, "spans"))
		for i := range spans {
			spans[i] = someSpan{at(), at(), int32(rapid.IntRange(1, 3).Draw(t, "line"))}
		}
		var want [][2]int
		for i, a := range spans {
			for j := i + 1; j < len(spans); j++ {
				if b := spans[j]; a.line != b.line && spansCross(a.from, a.to, b.from, b.to, 5) {
					want = append(want, [2]int{i, j})
				}
			}
		}
		found += len(want)
		require.Equal(t, want, crossingsOf(spans))
	})
	require.Positive(t, found)
}
