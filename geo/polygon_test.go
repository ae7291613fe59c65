package geo

import (
	"errors"
	"math"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestValidate(t *testing.T) {
	big := square(0, 0, 10)
	for _, c := range []struct {
		name    string
		polygon Polygon
		kind    error // nil: fit for use
		text    string
	}{
		{"square", poly(big), nil, ""},
		{"clockwise", poly([]orb.Point{{0, 0}, {0, 1}, {1, 1}, {0, 0}}), nil, ""},
		{"whole world", poly([]orb.Point{{-180, -90}, {180, -90}, {180, 90}, {-180, 90}, {-180, -90}}), nil, ""},
		{"hole", poly(big, square(2, 2, 3)), nil, ""},
		{"hole touching at a position", poly(big, []orb.Point{{0, 5}, {3, 4}, {3, 6}, {0, 5}}), nil, ""},
		{"hole sharing an edge", poly(big, square(0, 2, 3)), nil, ""},
		{"holes side by side", poly(big, square(2, 2, 3), square(5, 3, 3), square(2, 5, 1)), nil, ""},
		{"holes that overlap", poly(big, square(2, 2, 3), square(4, 4, 3)), ErrHolesOverlap, "ring 3, position 1: holes overlap: the edge from 4, 4 meets the edge from position 2 of ring 2"},
		{"holes that overlap in a row", poly(big, square(2, 2, 3), square(4, 2, 3)), ErrHolesOverlap, "ring 3: holes overlap: what lies beside 5, 2 is in more than one of them"},
		{"hole twice", poly(big, square(2, 2, 3), square(2, 2, 3)), ErrHolesOverlap, "ring 3: holes overlap: what lies beside 2, 2 is in more than one of them"},
		{"hole in a hole", poly(big, square(2, 2, 5), square(3, 3, 1)), ErrHolesOverlap, "ring 3: holes overlap: it lies in ring 2"},
		{"hole that fills a notch", poly([]orb.Point{{0, 0}, {9, 0}, {9, 9}, {6, 9}, {6, 4}, {3, 4}, {3, 9}, {0, 9}, {0, 0}}, []orb.Point{{3, 4}, {6, 4}, {6, 9}, {3, 9}, {3, 4}}), ErrHoleNotInRing,
			"ring 2: hole outside its outer ring: what lies beside 6, 4"},
		{"cut to a ring within", poly([]orb.Point{{0, 0}, {9, 0}, {9, 9}, {0, 9}, {0, 0}, {3, 3}, {6, 3}, {6, 6}, {3, 6}, {3, 3}, {0, 0}}), ErrWindsAgain,
			"ring 1, position 6: ring winds around an area more than once: 2 times around what lies beside 3, 3"},
		{"the same clockwise", poly([]orb.Point{{0, 0}, {0, 9}, {9, 9}, {9, 0}, {0, 0}, {3, 3}, {3, 6}, {6, 6}, {6, 3}, {3, 3}, {0, 0}}), ErrWindsAgain,
			"ring 1, position 6: ring winds around an area more than once: 2 times around what lies beside 3, 3"},
		{"cut by other positions on the way back", poly([]orb.Point{{0, 0}, {9, 0}, {9, 9}, {0, 9}, {0, 0}, {3, 3}, {3, 6}, {6, 6}, {6, 3}, {3, 3}, {2, 2}, {1, 1}, {0, 0}}), nil, ""},
		{"two areas joined by a cut", poly([]orb.Point{{0, 0}, {2, 0}, {2, 2}, {5, 2}, {5, 5}, {7, 5}, {7, 2}, {5, 2}, {2, 2}, {0, 2}, {0, 0}}), nil, ""},
		{"repeated positions", poly([]orb.Point{{0, 0}, {0, 0}, {1, 0}, {1, 1}, {1, 1}, {0, 0}, {0, 0}}), nil, ""},
		{"touches itself at a position", poly([]orb.Point{{0, 0}, {1, 0}, {1, 1}, {2, 1}, {2, 2}, {1, 2}, {1, 1}, {0, 1}, {0, 0}}), nil, ""},
		{"touches itself on an edge", poly([]orb.Point{{0, 0}, {4, 0}, {4, 4}, {2, 0}, {0, 4}, {0, 0}}), nil, ""},
		{"spike outwards", poly([]orb.Point{{0, 0}, {4, 0}, {4, 4}, {8, 4}, {4, 4}, {0, 4}, {0, 0}}), nil, ""},
		{"there, back and there again", poly([]orb.Point{{0, 0}, {4, 0}, {0, 0}, {4, 0}, {4, 4}, {0, 0}}), nil, ""},
		{"ring traced twice", poly([]orb.Point{{0, 0}, {4, 0}, {4, 4}, {0, 0}, {4, 0}, {4, 4}, {0, 0}}), ErrTracedTwice,
			"ring 1, position 1: ring runs along itself again: the edge from 0, 0 lies on the edge from position 4"},
		{"traced twice by other positions", poly([]orb.Point{{0, 0}, {4, 0}, {4, 4}, {0, 0}, {1, 0}, {4, 0}, {4, 3}, {4, 4}, {3, 3}, {0, 0}}), ErrTracedTwice,
			"ring 1, position 1: ring runs along itself again: the edge from 0, 0 lies on the edge from position 4"},
		{"traced twice in part", poly([]orb.Point{{0, 0}, {0, 4}, {4, 4}, {4, 1}, {4, 0}, {2, 0}, {2, 2}, {4, 2}, {4, 0}, {0, 0}}), ErrTracedTwice,
			"ring 1, position 3: ring runs along itself again: the edge from 4, 4 lies on the edge from position 8"},
		{"hole equal to its ring", poly(big, big), ErrNoArea, "ring 1: ring encloses no area: its holes are together no smaller than it"},
		{"holes that fill the ring", poly(big, []orb.Point{{0, 0}, {10, 0}, {10, 10}, {0, 0}}, []orb.Point{{0, 0}, {10, 10}, {0, 10}, {0, 0}}), ErrNoArea,
			"ring 1: ring encloses no area: its holes are together no smaller than it"},
		{"hole that leaves a sliver", poly(big, []orb.Point{{0, 0}, {10, 0}, {10, 9.999}, {0, 9.999}, {0, 0}}), nil, ""},

		{"cut to a hole", poly([]orb.Point{{0, 0}, {9, 0}, {9, 9}, {0, 9}, {0, 0}, {3, 3}, {3, 6}, {6, 6}, {6, 3}, {3, 3}, {0, 0}}), nil, ""},

		{"nothing", Polygon{}, ErrNoRing, "no ring"},
		{"coordinates without a ring", Polygon{Flat: []float64{1, 2}}, ErrNoRing, "no ring"},
		{"empty ring", Polygon{Ends: []int{0}}, ErrFewPositions, "ring 1: too few positions: 0, and a ring needs at least 4"},
		{"two positions and back", poly([]orb.Point{{0, 0}, {1, 1}, {0, 0}}), ErrFewPositions, "ring 1: too few positions: 3, and a ring needs at least 4"},
		{"ends beyond the coordinates", Polygon{Flat: poly(big).Flat, Ends: []int{12}}, ErrRingEnds,
			"ring 1: ring ends do not fit the coordinates: it ends at 12; an even number from 0 to 10 was expected"},
		{"odd end", Polygon{Flat: poly(big).Flat, Ends: []int{9}}, ErrRingEnds,
			"ring 1: ring ends do not fit the coordinates: it ends at 9; an even number from 0 to 10 was expected"},
		{"ends that fall", Polygon{Flat: poly(big, big).Flat, Ends: []int{10, 4}}, ErrRingEnds,
			"ring 2: ring ends do not fit the coordinates: it ends at 4; an even number from 10 to 20 was expected"},
		{"coordinates left over", Polygon{Flat: append(poly(big).Flat, 7), Ends: []int{10}}, ErrRingEnds,
			"ring ends do not fit the coordinates: the last ring ends at 10 of 11"},
		{"negative end", Polygon{Flat: poly(big).Flat, Ends: []int{-2}}, ErrRingEnds,
			"ring 1: ring ends do not fit the coordinates: it ends at -2; an even number from 0 to 10 was expected"},
		{"not closed", poly([]orb.Point{{0, 0}, {1, 0}, {1, 1}, {0, 1}}), ErrNotClosed, "ring 1, position 4: ring not closed: it starts at 0, 0 and ends at 0, 1"},
		{"not a number", poly([]orb.Point{{0, 0}, {1, math.NaN()}, {1, 1}, {0, 0}}), ErrNotFinite, "ring 1, position 2: not a number: latitude is NaN"},
		{"infinite", poly([]orb.Point{{0, 0}, {math.Inf(-1), 1}, {1, 1}, {0, 0}}), ErrNotFinite, "ring 1, position 2: not a number: longitude is -Inf"},
		{"longitude", poly([]orb.Point{{0, 0}, {190, 1}, {1, 1}, {0, 0}}), ErrOutOfRange, "ring 1, position 2: out of range: longitude 190 is not within -180 to 180"},
		{"latitude", poly(big, []orb.Point{{0, 0}, {1, 1}, {1, -90.5}, {0, 0}}), ErrOutOfRange, "ring 2, position 3: out of range: latitude -90.5 is not within -90 to 90"},
		{"line there and back", poly([]orb.Point{{0, 0}, {1, 1}, {2, 2}, {0, 0}}), ErrNoArea, "ring 1: ring encloses no area"},
		{"bent line there and back", poly([]orb.Point{{0, 0}, {1, 0.1}, {2, 0.3}, {1, 0.1}, {0, 0}}), ErrNoArea, "ring 1: ring encloses no area"},
		{"one position four times", poly([]orb.Point{{1, 1}, {1, 1}, {1, 1}, {1, 1}}), ErrNoArea, "ring 1: ring encloses no area"},
		{"flat hole", poly(big, []orb.Point{{1, 1}, {2, 1}, {3, 1}, {1, 1}}), ErrNoArea, "ring 2: ring encloses no area"},
		{"bow tie", poly([]orb.Point{{0, 0}, {4, 4}, {4, 0}, {0, 5}, {0, 0}}), ErrCrossesItself,
			"ring 1, position 1: ring crosses itself: the edge from 0, 0 meets the edge from position 3"},
		{"bow tie elsewhere", poly([]orb.Point{{3, 1}, {7, 5}, {7, 1}, {3, 6}, {3, 1}}), ErrCrossesItself,
			"ring 1, position 1: ring crosses itself: the edge from 3, 1 meets the edge from position 3"},
		{"bow tie after a repeated position", poly([]orb.Point{{0, 0}, {0, 0}, {4, 4}, {4, 0}, {0, 5}, {0, 0}}), ErrCrossesItself,
			"ring 1, position 1: ring crosses itself: the edge from 0, 0 meets the edge from position 4"},
		{"crosses at a position", poly([]orb.Point{{0, 0}, {1, 0}, {1, 1}, {1, 3}, {2, 3}, {2, 1}, {1, 1}, {0, 1}, {0, 0}}), ErrCrossesItself,
			"ring 1, position 3: ring crosses itself: the edge from 1, 1 meets the edge from position 7"},
		{"crosses at a position on an edge", poly([]orb.Point{{0, 0}, {4, 0}, {4, 4}, {2, 0}, {1, -3}, {0, 0}}), ErrCrossesItself,
			"ring 1, position 1: ring crosses itself: the edge from 0, 0 meets the edge from position 4"},
		{"hole elsewhere", poly(big, square(20, 20, 1)), ErrHoleNotInRing, "ring 2, position 1: hole outside its outer ring"},
		{"hole around the outer ring", poly(big, square(-5, -5, 30)), ErrHoleNotInRing, "ring 2, position 1: hole outside its outer ring"},
		{"hole half outside", poly(big, square(1, 1, 2), square(8, 2, 4)), ErrHoleNotInRing,
			"ring 3, position 1: hole outside its outer ring: hole crosses it: the edge from 8, 2 meets the edge from position 2 of ring 1"},
		{"hole through a notch", poly([]orb.Point{{0, 0}, {10, 0}, {5, 5}, {10, 10}, {0, 10}, {0, 0}}, []orb.Point{{1, 4}, {7, 1}, {7, 9}, {1, 4}}),
			ErrHoleNotInRing, "ring 2, position 2: hole outside its outer ring: hole crosses it: the edge from 7, 1 meets the edge from position 2 of ring 1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			err := c.polygon.Validate()
			if c.kind == nil {
				require.NoError(t, err)
				return
			}
			require.ErrorIs(t, err, c.kind)
			require.EqualError(t, err, c.text)
			var where *PolygonError
			require.ErrorAs(t, err, &where)
		})
	}
}

func TestBound(t *testing.T) {
	require.Equal(t, orb.Bound{Min: orb.Point{1, 2}, Max: orb.Point{4, 5}}, poly(square(1, 2, 3)).Bound())
	require.True(t, Polygon{}.Bound().IsEmpty())
	require.Equal(t, orb.Point{3, 4}.Bound(), Polygon{Flat: []float64{math.NaN(), 1, 3, 4, 9}}.Bound())
}

// Edges that cross in their interiors must be found; a ring whose edges meet at common positions only must pass.
func TestValidateAgainstAllPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawGridRing(t, "ring")
		err := gridPoly([][]gridPoint{r}).Validate()
		if gridArea(r) == 0 {
			require.ErrorIs(t, err, ErrNoArea)
			return
		}
		properly, apart := false, true
		edges := len(r) - 1
		for i := range edges {
			for j := i + 1; j < edges; j++ {
				a, b, c, d := r[i], r[i+1], r[j], r[j+1]
				properly = properly || cross(a, b, c)*cross(a, b, d) < 0 && cross(c, d, a)*cross(c, d, b) < 0
				if neighbours := j == i+1 || i == 0 && j == edges-1; !neighbours && gridMeet(a, b, c, d) {
					apart = false
				}
			}
		}
		if properly {
			require.Error(t, err)
			require.True(t, errors.Is(err, ErrCrossesItself) || errors.Is(err, ErrTracedTwice), "%v", err) // whichever comes first
		}
		if apart {
			require.NoError(t, err)
		}
	})
}

// What Validate finds without comparing all edges must be the first of what comparing all of them finds.
func TestFirstCrossingAgainstAllPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := drawGridRing(t, "ring")
		for range rapid.IntRange(0, 4).Draw(t, "more") {
			points = append(points[:len(points)-1], drawGridRing(t, "ring")...)
			points[len(points)-1] = points[0]
		}
		rings, err := gridPoly([][]gridPoint{points}).rings()
		if err != nil {
			return
		}
		var want error
		for i := range rings[0].edges() {
			for j := i + 1; j < rings[0].edges() && want == nil; j++ {
				a, b, c, d := rings[0].points[i], rings[0].points[i+1], rings[0].points[j], rings[0].points[j+1]
				if boxesMeet(a, b, c, d) && (crosses(rings[0], i, rings[0], j) || again(rings[0], i, j)) {
					want = crossing{0, i, 0, j}.err(rings)
				}
			}
		}
		_, err = firstCrossing(rings)
		require.Equal(t, want, err)
	})
}

// Tens of thousands of positions, with hundreds of holes, in well under a second; on a busy machine the best of some tries counts.
func TestValidateIsQuick(t *testing.T) {
	best := time.Hour
	for try := 0; try < 8 && best >= 2*time.Second; try++ {
		start := time.Now()
		require.NoError(t, poly(roughStar(50_000)).Validate())
		require.NoError(t, manyHoles(400, 100).Validate())
		best = min(best, time.Since(start))
	}
	require.Less(t, best, 2*time.Second)
}

func roughStar(count int) []orb.Point {
	radii := make([]float64, count)
	for i := range radii {
		radii[i] = 1 + 0.2*math.Sin(float64(i)*0.01) + 0.0003*float64(i%3)
	}
	return star(orb.Point{-67, -20}, radii)
}

// manyHoles returns a square with a chequer of round holes.
func manyHoles(holes, count int) Polygon {
	side := int(math.Ceil(math.Sqrt(float64(holes))))
	rings := [][]orb.Point{square(0, 0, float64(side))}
	radii := make([]float64, count)
	for i := range radii {
		radii[i] = 0.4
	}
	for i := range holes {
		rings = append(rings, star(orb.Point{float64(i%side) + 0.5, float64(i/side) + 0.5}, radii))
	}
	return poly(rings...)
}

// FuzzPolygon: whatever a polygon holds, nothing panics, an error is a *PolygonError, and what passes is found by look-up.
func FuzzPolygon(f *testing.F) {
	f.Add([]byte{}, []byte{})
	f.Add([]byte{0, 0, 4, 0, 4, 4, 0, 4, 0, 0}, []byte{10})
	f.Add([]byte{0, 0, 4, 4, 4, 0, 0, 4, 0, 0}, []byte{10})
	f.Add([]byte{0, 0, 9, 0, 9, 9, 0, 9, 0, 0, 2, 2, 4, 2, 4, 4, 2, 2}, []byte{10, 18})
	f.Add([]byte{0, 0, 255, 0, 4, 4, 254, 4, 0, 0}, []byte{10})
	f.Add([]byte{0, 0, 4, 0, 4, 4, 0, 0}, []byte{4, 2, 9})
	f.Fuzz(func(t *testing.T, flat, ends []byte) {
		var p Polygon
		for _, b := range flat {
			p.Flat = append(p.Flat, fuzzOrdinate(b))
		}
		for _, b := range ends {
			p.Ends = append(p.Ends, int(int8(b)))
		}
		p.Bound()
		err := p.Validate()
		areas := NewAreas([]Area{{Polygons: []Polygon{p}, Rank: 1}})
		barriers := NewBarriers([]Barrier{{Polygons: []Polygon{p}, Key: 3}})
		for i := 0; i+3 < len(p.Flat); i += 2 {
			a, b := orb.Point{p.Flat[i], p.Flat[i+1]}, orb.Point{p.Flat[i+2], p.Flat[i+3]}
			_, in := areas.Worst(a)
			areas.NearestWorse(a, 0, 1e4)
			crossed := 0
			barriers.Crossed(a, b, func(int) { crossed++ })
			if err == nil {
				require.True(t, in, "a corner of a valid polygon is not in it")
				require.Equal(t, 1, crossed)
			}
		}
		if err != nil {
			var where *PolygonError
			require.True(t, errors.As(err, &where))
			require.NotEmpty(t, err.Error())
		}
	})
}

func fuzzOrdinate(b byte) float64 {
	switch b {
	case 255:
		return math.NaN()
	case 254:
		return math.Inf(1)
	case 253:
		return 1e300
	case 252:
		return 5e-324
	}
	return float64(int8(b)) / 3
}
