package geo

import (
	"errors"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	side "github.com/twpayne/go-geom/xy/orientation"
	"pgregory.net/rapid"
)

// At a position that both visit, one way crosses another where its two directions lie on different sides of it, by their
// angles. Ways that share a direction run along each other and do not cross, a way that turns back crosses nothing.
func TestCrossesAtByAngles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := orb.Point{float64(rapid.IntRange(-50, 50).Draw(t, "v")), float64(rapid.IntRange(-50, 50).Draw(t, "v"))}
		var ways [4]orb.Point
		var angles [4]float64
		for i := range ways {
			x, y := rapid.IntRange(-2, 2).Draw(t, "x"), rapid.IntRange(-2, 2).Draw(t, "y")
			if x == 0 && y == 0 {
				x = 1
			}
			ways[i] = orb.Point{v[0] + float64(x), v[1] + float64(y)}
			angles[i] = math.Atan2(float64(y), float64(x))
		}
		want := true
		for i := range angles {
			for j := range i {
				if math.Abs(angles[i]-angles[j]) < 1e-9 {
					want = false
				}
			}
		}
		within := func(x float64) bool { // counterclockwise from the first direction to the second
			turn := func(a float64) float64 { return math.Mod(a-angles[0]+4*math.Pi, 2*math.Pi) }
			return turn(x) < turn(angles[1])
		}
		want = want && within(angles[2]) != within(angles[3])
		require.Equal(t, want, crossesAt(v, ways[0], ways[1], ways[2], ways[3]))
	})
}

// Moved, turned by right angles or mirrored, a polygon has the same fault at the same place.
func TestValidateKeepsUnderShiftTurnAndMirror(t *testing.T) {
	find := func(rings [][]gridPoint, move func(x, y float64) orb.Point) (ring, position int, kind error) {
		var p Polygon
		for _, r := range rings {
			for _, g := range r {
				at := move(float64(g.x), float64(g.y))
				p.Flat = append(p.Flat, at[0], at[1])
			}
			p.Ends = append(p.Ends, len(p.Flat))
		}
		var where *PolygonError
		if errors.As(p.Validate(), &where) {
			return where.Ring, where.Position, where.Err
		}
		return 0, 0, nil
	}
	rapid.Check(t, func(t *rapid.T) {
		rings := [][]gridPoint{drawGridRing(t, "outer")}
		if rapid.Bool().Draw(t, "hole") {
			rings = append(rings, drawGridRing(t, "hole"))
		}
		ring, position, kind := find(rings, func(x, y float64) orb.Point { return orb.Point{x, y} })
		for _, move := range []func(x, y float64) orb.Point{
			func(x, y float64) orb.Point { return orb.Point{x + 100, y} },
			func(x, y float64) orb.Point { return orb.Point{x - 100, y + 50} },
			func(x, y float64) orb.Point { return orb.Point{x + 20, y - 60} },
			func(x, y float64) orb.Point { return orb.Point{y, x} },
			func(x, y float64) orb.Point { return orb.Point{-x, y} },
			func(x, y float64) orb.Point { return orb.Point{120 - y, -x} },
			func(x, y float64) orb.Point { return orb.Point{x, 70 - y} },
		} {
			r, p, k := find(rings, move)
			require.Equal(t, [3]any{kind, ring, position}, [3]any{k, r, p})
		}
	})
}

// Rings of more edges than share a box: a hole that leaves the outer ring, or a ring that crosses itself, near its end.
func TestLateCrossingsOfLongRings(t *testing.T) {
	comb := func(teeth int) (ring []orb.Point) {
		for i := range teeth {
			ring = append(ring, orb.Point{float64(2 * i), 0}, orb.Point{float64(2*i + 1), 1})
		}
		return append(ring, orb.Point{float64(2 * teeth), 0}, orb.Point{float64(2 * teeth), 10}, orb.Point{0, 10}, orb.Point{0, 0})
	}
	outer := comb(20)
	long := func(x, y float64) (hole []orb.Point) { // 40 edges around x, y
		for i := range 40 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 40)
			hole = append(hole, orb.Point{x + cos, y + sin})
		}
		return append(hole, hole[0])
	}
	require.NoError(t, poly(outer, long(20, 5)).Validate())
	for _, c := range []struct {
		x, y float64
		err  error
	}{{39.5, 5, ErrHoleCrossesOut}, {20, 0.5, ErrHoleCrossesOut}, {20, 9.5, ErrHoleCrossesOut}, {0.5, 5, ErrHoleCrossesOut}, {1, 0.2, ErrHoleCrossesOut}, {20, -5, ErrHoleNotInRing}} {
		require.ErrorIs(t, poly(outer, long(c.x, c.y)).Validate(), c.err, "%v", c)
		require.ErrorIs(t, poly(outer, long(20, 5), long(c.x, c.y)).Validate(), c.err, "as the second hole, %v", c)
	}
	for _, at := range []int{5, 13, 25, 37, 38} { // a tooth that reaches through the far side
		ring := comb(20)
		ring[at][1] = 11
		if at%2 == 0 {
			ring[at] = orb.Point{float64(at) + 0.5, 11}
		}
		require.ErrorIs(t, poly(ring).Validate(), ErrCrossesItself, "position %d", at+1)
	}
}

// Of products that are too small for a float64 the sign still tells.
func TestOrientationOfTheSmallest(t *testing.T) {
	const tiny = 1e-200
	o, east, north := orb.Point{0, 0}, orb.Point{tiny, 0}, orb.Point{0, tiny}
	require.Equal(t, side.CounterClockwise, orientation(o, east, north))
	require.Equal(t, side.Clockwise, orientation(o, north, east))
	require.Equal(t, side.Collinear, orientation(o, east, orb.Point{2 * tiny, 0}))
	require.Equal(t, side.CounterClockwise, orientation(orb.Point{tiny, tiny}, orb.Point{3 * tiny, 2 * tiny}, orb.Point{2 * tiny, 3 * tiny}))
}

// The box is around every position, whatever its place in the ring and its side of the world.
func TestBoundOfEveryPosition(t *testing.T) {
	for _, flat := range [][]float64{{5, 6, 1, 2, 3, 4}, {1, 2, 5, 6, 3, 4}, {1, 2, 3, 4, 5, 6}, {5, 2, 1, 6}, {3, 6, 5, 4, 1, 5, 2, 2}} {
		require.Equal(t, orb.Bound{Min: orb.Point{1, 2}, Max: orb.Point{5, 6}}, Polygon{Flat: flat}.Bound(), "%v", flat)
	}
	require.Equal(t, orb.Bound{Min: orb.Point{-7, -9}, Max: orb.Point{-5, -6}}, Polygon{Flat: []float64{-5, -9, -7, -6}}.Bound())
}

// Nearest areas on either side of the antimeridian, from either side of it.
func TestNearestWorseAcrossTheAntimeridian(t *testing.T) {
	east, west := square(-180, 0, 1), square(179, 10, 1)
	areas := NewAreas([]Area{{Key: 1, Rank: 1, Polygons: []Polygon{poly(east)}}, {Key: 2, Rank: 1, Polygons: []Polygon{poly(west)}}})
	for _, c := range []struct {
		at  orb.Point
		key int
	}{{orb.Point{179.99, 0.5}, 1}, {orb.Point{-179.99, 10.5}, 2}, {orb.Point{178.99, 10.5}, 2}, {orb.Point{-178.99, 0.5}, 1}} {
		key, distM, ok := areas.NearestWorse(c.at, 0, 2000)
		require.True(t, ok, "%v", c.at)
		require.Equal(t, c.key, key, "%v", c.at)
		edge := orb.Point{math.Round(c.at[0]), c.at[1]}
		require.InDelta(t, Inverse(c.at, edge).LengthM, distM, 1, "%v", c.at)
	}
}

// A route that goes far round the world is found from either end of it.
func TestLocateOnAFarRoute(t *testing.T) {
	way := []orb.Point{{100, 0}, {140, 0}, {180, 0}, {-140, 0}, {-100, 0}, {-60, 0}}
	degreeM := Inverse(orb.Point{0, 0}, orb.Point{1, 0}).LengthM
	for _, turned := range []bool{false, true} {
		part := append([]orb.Point(nil), way...)
		if turned {
			for i := range part {
				part[i] = way[len(way)-1-i]
			}
		}
		route, err := NewRoute([][]orb.Point{part})
		require.NoError(t, err)
		for lon := 100.0; lon <= 300; lon += 25 {
			at := orb.Point{math.Remainder(lon, 360), 0}
			want := (lon - 100) * degreeM
			if turned {
				want = (300 - lon) * degreeM
			}
			chainageM, offsetM := route.Locate(at)
			require.InDelta(t, want, chainageM, 25_000, "%v", at) // of 22 000 km, edges of 4 450 km
			require.InDelta(t, 0, offsetM, 1, "%v", at)
		}
	}
}
