package geo

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestNewRoute(t *testing.T) {
	a, b, c, d := orb.Point{10, 50}, orb.Point{10.01, 50}, orb.Point{10.02, 50.01}, orb.Point{10.03, 50}
	nearB := orb.Point{10.01, 50.000004} // 0.445 m from b
	offB := orb.Point{10.01, 50.000005}  // 0.556 m from b
	for _, tc := range []struct {
		name   string
		parts  [][]orb.Point
		points []orb.Point
		pieces int
		closed bool
	}{
		{"one part", [][]orb.Point{{a, b, c}}, []orb.Point{a, b, c}, 1, false},
		{"two parts", [][]orb.Point{{a, b}, {b, c}}, []orb.Point{a, b, c}, 1, false},
		{"second turned round", [][]orb.Point{{a, b}, {c, b}}, []orb.Point{a, b, c}, 1, false},
		{"first part comes last", [][]orb.Point{{c, d}, {a, b}, {b, c}}, []orb.Point{a, b, c, d}, 1, false},
		{"first part comes last and others are turned", [][]orb.Point{{c, d}, {b, a}, {c, b}}, []orb.Point{a, b, c, d}, 1, false},
		{"ends a little apart", [][]orb.Point{{a, b}, {nearB, c}}, []orb.Point{a, b, c}, 1, false},
		{"ends too far apart", [][]orb.Point{{a, b}, {offB, c}}, []orb.Point{a, b, offB, c}, 2, false},
		{"the nearest end is taken", [][]orb.Point{{a, b}, {nearB, c}, {b, d}}, []orb.Point{a, b, d, nearB, c}, 2, false},
		{"ring of one part", [][]orb.Point{{a, b, c, a}}, []orb.Point{a, b, c, a}, 1, true},
		{"ring of parts", [][]orb.Point{{a, b}, {a, c}, {c, b}}, []orb.Point{a, b, c, a}, 1, true},
		{"a ring takes no branch", [][]orb.Point{{a, b, c, a}, {a, d}}, []orb.Point{a, b, c, a, a, d}, 2, false},
		{"there and back is no ring", [][]orb.Point{{a, b, a}}, []orb.Point{a, b, a}, 1, false},
		{"joined across the antimeridian", [][]orb.Point{{{179.99, 1}, {180, 1}}, {{-179.99, 1}, {-179.9999999, 1}}},
			[]orb.Point{{179.99, 1}, {180, 1}, {-179.99, 1}}, 1, false},
		{"repeated positions", [][]orb.Point{{a, a, b, b}, {b}, {}, {c, c}}, []orb.Point{a, b}, 1, false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			r, err := NewRoute(tc.parts)
			require.NoError(t, err)
			require.Equal(t, tc.points, r.Points())
			require.Equal(t, tc.pieces, r.Pieces())
			require.Equal(t, tc.closed, r.Closed())
		})
	}
}

func TestNewRouteRefuses(t *testing.T) {
	for _, parts := range [][][]orb.Point{nil, {{}}, {{{1, 1}}}, {{{1, 1}, {1, 1}}}, {{{180, 1}, {-180, 1}}}} {
		_, err := NewRoute(parts)
		require.ErrorIs(t, err, ErrNoRoute)
	}
	_, err := NewRoute([][]orb.Point{{{0, 0}, {1, 1}}, {{0, 0}, {1, 91}}})
	require.ErrorIs(t, err, ErrOutOfRange)
	require.EqualError(t, err, "route part 2, position 2: out of range: latitude 91 is not within -90 to 90")
	_, err = NewRoute([][]orb.Point{{{math.NaN(), 0}, {1, 1}}})
	require.ErrorIs(t, err, ErrNotFinite)
}

func TestLocate(t *testing.T) {
	start := orb.Point{179.99, -17}
	route, err := NewRoute([][]orb.Point{{start, {-179.99, -17}}, {{-179.99, -17}, {-179.99, -16.98}}, {{-179.9, -17}, {-179.8, -17}}})
	require.NoError(t, err)
	require.Equal(t, 2, route.Pieces())
	firstM := Inverse(start, orb.Point{-179.99, -17}).LengthM
	secondM := Inverse(orb.Point{-179.99, -17}, orb.Point{-179.99, -16.98}).LengthM
	thirdM := Inverse(orb.Point{-179.9, -17}, orb.Point{-179.8, -17}).LengthM
	require.InDelta(t, firstM+secondM+thirdM, route.LengthM(), 1e-9)
	for _, c := range []struct {
		name       string
		at         orb.Point
		chM, offM  float64
		toleranceM float64
	}{
		{"start", start, 0, 0, 1e-9},
		{"before the start", drive(start, -90, 100), 0, 100, 1e-6},
		{"middle, on the antimeridian", orb.Point{180, -17}, firstM / 2, 0.05, 0.05},
		{"the same position written otherwise", orb.Point{-180, -17}, firstM / 2, 0.05, 0.05},
		{"corner", orb.Point{-179.99, -17}, firstM, 0, 1e-6},
		{"outside of the corner", drive(orb.Point{-179.99, -17}, 135, 50), firstM, 50, 1e-6},
		{"beside the second part", drive(drive(orb.Point{-179.99, -17}, 0, 500), 90, 30), firstM + 500, 30, 0.001},
		{"start of the second piece", orb.Point{-179.9, -17}, firstM + secondM, 0, 1e-6},
		{"end", orb.Point{-179.8, -17}, firstM + secondM + thirdM, 0, 1e-6},
		{"beyond the end", drive(orb.Point{-179.8, -17}, 90, 2000), firstM + secondM + thirdM, 2000, 0.001},
	} {
		t.Run(c.name, func(t *testing.T) {
			chainageM, offsetM := route.Locate(c.at)
			require.InDelta(t, c.chM, chainageM, c.toleranceM)
			require.InDelta(t, c.offM, offsetM, c.toleranceM)
		})
	}
	chainageM, offsetM := route.Locate(orb.Point{math.NaN(), 0})
	require.True(t, math.IsNaN(chainageM) && math.IsNaN(offsetM))
}

// drawWay draws positions that lead on from each other, so that no two ends but those of neighbours lie together.
func drawWay(t *rapid.T, low, high int) []orb.Point {
	at := orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(-70, 70).Draw(t, "lat")}
	way := []orb.Point{at}
	for range rapid.IntRange(low, high).Draw(t, "spans") {
		at = drive(at, rapid.Float64Range(-80, 80).Draw(t, "azimuth"), rapid.Float64Range(50, 5000).Draw(t, "span"))
		way = append(way, at)
	}
	return way
}

// A way cut into parts, shuffled and turned round comes together again.
func TestRouteOfShuffledParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		way := drawWay(t, 1, 20)
		var parts [][]orb.Point
		for start := 0; start+1 < len(way); {
			end := rapid.IntRange(start+1, len(way)-1).Draw(t, "cut")
			part := slices.Clone(way[start : end+1])
			if rapid.Bool().Draw(t, "turned") {
				slices.Reverse(part)
			}
			parts = append(parts, part)
			start = end
		}
		parts = rapid.Permutation(parts).Draw(t, "parts")
		whole, err := NewRoute([][]orb.Point{way})
		require.NoError(t, err)
		route, err := NewRoute(parts)
		require.NoError(t, err)
		require.Equal(t, 1, route.Pieces())
		require.InDelta(t, whole.LengthM(), route.LengthM(), 1e-6)
		points := route.Points()
		if points[0] != way[0] {
			points = slices.Clone(points)
			slices.Reverse(points)
		}
		require.Equal(t, way, points)
	})
}

// A position driven along a span and then aside is found where it was driven.
func TestLocateFindsWhatWasDriven(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		way := drawWay(t, 1, 60)
		route, err := NewRoute([][]orb.Point{way})
		require.NoError(t, err)
		span := rapid.IntRange(0, len(way)-2).Draw(t, "span number")
		chainageM := 0.0
		for i := range span {
			chainageM += Inverse(way[i], way[i+1]).LengthM
		}
		leg := Inverse(way[span], way[span+1])
		alongM := rapid.Float64Range(0, 1).Draw(t, "share") * leg.LengthM
		on := drive(way[span], leg.AzimuthOut, alongM)
		gotM, offM := route.Locate(on)
		require.InDelta(t, chainageM+alongM, gotM, 0.002)
		require.InDelta(t, 0, offM, 0.002)

		// Aside by less than the way to the next span, so that the foot is not on another one.
		roomM := min(alongM, leg.LengthM-alongM) / 10
		asideM := rapid.Float64Range(0, 1).Draw(t, "aside") * roomM
		aside := drive(on, Inverse(way[span], on).AzimuthIn+90, asideM)
		if alongM > 1 && roomM > 1 {
			gotM, offM = route.Locate(aside)
			require.InDelta(t, chainageM+alongM, gotM, 0.002)
			require.InDelta(t, asideM, offM, 0.002)
		}
	})
}

// The offset against all geodesic edges searched one by one.
func TestLocateAgainstAllEdges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		way := drawWay(t, 1, 30)
		route, err := NewRoute([][]orb.Point{way})
		require.NoError(t, err)
		p := drawFrom(t, way[rapid.IntRange(0, len(way)-1).Draw(t, "structure")], 0, 2000, "p")
		wantM := math.Inf(1)
		for i := range len(way) - 1 {
			leg := Inverse(way[i], way[i+1])
			at := func(s float64) float64 { return Inverse(p, drive(way[i], leg.AzimuthOut, s)).LengthM }
			low, high := 0.0, leg.LengthM
			for high-low > 1e-4 {
				if third := (high - low) / 3; at(low+third) < at(high-third) {
					high -= third
				} else {
					low += third
				}
			}
			wantM = min(wantM, at(low), at(leg.LengthM))
		}
		_, offM := route.Locate(p)
		// The nearest edge is decided on a flat map: on a 5 km edge at 70° it lies up to 1.4 m off the geodesic.
		require.InDelta(t, wantM, offM, 1.5)
		require.GreaterOrEqual(t, offM, wantM-0.002)
	})
}

// Where several parts could follow, the one given first does; a loop runs as it was given.
func TestOfPartsThatMeetTheFirstFollows(t *testing.T) {
	w, p, n, e, a, b := orb.Point{10, 50}, orb.Point{10.01, 50}, orb.Point{10.01, 50.01}, orb.Point{10.02, 50}, orb.Point{10.02, 50.02}, orb.Point{10, 50.02}
	back := func(part []orb.Point) []orb.Point {
		part = slices.Clone(part)
		slices.Reverse(part)
		return part
	}
	north, east, loop, twin := []orb.Point{p, n}, []orb.Point{p, e}, []orb.Point{p, a, b, p}, []orb.Point{p, b, a, p}
	for name, c := range map[string]struct{ parts [][]orb.Point }{
		"north first": {[][]orb.Point{{w, p}, north, east}}, "east first": {[][]orb.Point{{w, p}, east, north}},
		"north turned": {[][]orb.Point{{w, p}, back(north), east}}, "east turned": {[][]orb.Point{{w, p}, back(east), north}},
		"both turned": {[][]orb.Point{{w, p}, back(east), back(north)}}, "the second turned": {[][]orb.Point{{w, p}, east, back(north)}},
		"a loop": {[][]orb.Point{{w, p}, loop}}, "a loop the other way": {[][]orb.Point{{w, p}, twin}},
		"a loop first": {[][]orb.Point{{w, p}, loop, north, east}}, "two loops": {[][]orb.Point{{w, p}, twin, loop, east}},
	} {
		route, err := NewRoute(c.parts)
		require.NoError(t, err)
		next := c.parts[1]
		if next[0] != p {
			next = back(next)
		}
		require.Equal(t, next, route.Points()[1:1+len(next)], name)
	}
}
