package geo

import (
	"fmt"
	"math"
	"sync"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestWorst(t *testing.T) {
	areas := NewAreas([]Area{
		{Key: 10, Rank: 1, Polygons: []Polygon{poly(square(0, 0, 10), square(4, 4, 2))}},
		{Key: 11, Rank: 3, Polygons: []Polygon{poly(square(10, 0, 10)), poly(square(30, 0, 1))}},
		{Key: 13, Rank: 2, Polygons: []Polygon{poly(square(0, 0, 2))}},
		{Key: 12, Rank: 2, Polygons: []Polygon{poly(square(0, 0, 2))}},
		{Key: 14, Rank: 9, Polygons: []Polygon{{}, poly([]orb.Point{{0, 0}, {1, 1}, {0, 0}}), poly([]orb.Point{{0, 0}, {9, 9}, {9, 0}, {0, 9}})}},
		{Key: 15, Rank: -5, Polygons: []Polygon{poly(square(170, 0, 10))}},
		{Key: 16, Rank: -4, Polygons: []Polygon{poly(square(-180, 0, 10))}},
	})
	const none = -1
	for _, c := range []struct {
		name string
		at   orb.Point
		key  int
		each string
	}{
		{"inside", orb.Point{3, 3}, 10, "[10:1]"},
		{"outside", orb.Point{3, -3}, none, "[]"},
		{"in a hole", orb.Point{5, 5}, none, "[]"},
		{"on the border of a hole", orb.Point{4, 5}, 10, "[10:1]"},
		{"corner of a hole", orb.Point{6, 6}, 10, "[10:1]"},
		{"shared border", orb.Point{10, 5}, 11, "[10:1 11:3]"},
		{"corner", orb.Point{20, 10}, 11, "[11:3]"},
		{"just outside the border", orb.Point{math.Nextafter(20, 21), 5}, none, "[]"},
		{"second polygon", orb.Point{30.5, 0.5}, 11, "[11:3]"},
		{"ties go to the lowest key", orb.Point{1, 1}, 12, "[10:1 13:2 12:2]"},
		{"antimeridian from the east", orb.Point{180, 5}, 16, "[15:-5 16:-4]"},
		{"antimeridian from the west", orb.Point{-180, 5}, 16, "[15:-5 16:-4]"},
		{"near the antimeridian", orb.Point{179.9, 5}, 15, "[15:-5]"},
		{"not a number", orb.Point{math.NaN(), 5}, none, "[]"},
		{"infinite", orb.Point{5, math.Inf(1)}, none, "[]"},
	} {
		t.Run(c.name, func(t *testing.T) {
			key, ok := areas.Worst(c.at)
			require.Equal(t, c.key != none, ok)
			if ok {
				require.Equal(t, c.key, key)
			}
			each := []string{}
			areas.Each(c.at, func(key, rank int) { each = append(each, fmt.Sprintf("%d:%d", key, rank)) })
			require.Equal(t, c.each, fmt.Sprint(each))
		})
	}
	_, ok := NewAreas(nil).Worst(orb.Point{})
	require.False(t, ok)
}

// An area whose two polygons share a border holds a point of it once.
func TestEachVisitsAnAreaOnce(t *testing.T) {
	areas := NewAreas([]Area{{Key: 1, Polygons: []Polygon{poly(square(0, 0, 1)), poly(square(1, 0, 1))}}})
	visits := 0
	areas.Each(orb.Point{1, 0.5}, func(int, int) { visits++ })
	require.Equal(t, 1, visits)
}

// Every position of a grid, on borders too, against a judgement in whole numbers by rays of the other direction.
func TestContainmentOnAGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rings := [][]gridPoint{drawGridRing(t, "outer")}
		for range rapid.IntRange(0, 3).Draw(t, "holes") {
			rings = append(rings, drawGridRing(t, "hole"))
		}
		usable := true
		for _, r := range rings {
			usable = usable && gridArea(r) != 0
		}
		areas := NewAreas([]Area{{Polygons: []Polygon{gridPoly(rings)}}})
		for x := -1; x <= gridSize+1; x++ {
			for y := -1; y <= gridSize+1; y++ {
				at := gridPoint{x, y}
				_, ok := areas.Worst(at.onEarth())
				require.Equal(t, usable && gridHolds(at, rings), ok, "%+v", at)
			}
		}
	})
}

// Positions computed to lie on an edge, or one step of a float64 beside it, against rational numbers.
func TestContainmentIsExactAtSlantedEdges(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		centre := drawPoint(t, "centre")
		radii := rapid.SliceOfN(rapid.Float64Range(0.1, 1.5), 3, 3).Draw(t, "radii")
		corners := star(centre, radii)
		areas := NewAreas([]Area{{Polygons: []Polygon{poly(corners)}}})
		if poly(corners).Validate() != nil {
			t.Skip("beyond ±180")
		}
		edge := rapid.IntRange(0, 2).Draw(t, "edge")
		at := between(corners[edge], corners[edge+1], rapid.Float64Range(0, 1).Draw(t, "share"))
		for _, lon := range []float64{math.Nextafter(at[0], -200), at[0], math.Nextafter(at[0], 200)} {
			p := orb.Point{lon, at[1]}
			want := true // the triangle runs counterclockwise
			for i := range 3 {
				want = want && rationalOrientation(corners[i], corners[i+1], p) >= 0
			}
			_, ok := areas.Worst(p)
			require.Equal(t, want, ok, "%v", p)
		}
	})
}

func TestLookUpFromManyGoroutines(t *testing.T) {
	areas := chequer(400, 50)
	centres := make([]int, 400)
	var group sync.WaitGroup
	for worker := range 4 {
		group.Go(func() {
			for i := worker; i < 400; i += 4 {
				centres[i], _ = areas.Worst(orb.Point{float64(i % 20), float64(i / 20)})
			}
		})
	}
	group.Wait()
	for i, key := range centres {
		require.Equal(t, i, key)
	}
}

// chequer returns round areas of radius 0.45 in rows of 20, keyed in order.
func chequer(count, positions int) *Areas {
	radii := make([]float64, positions)
	for i := range radii {
		radii[i] = 0.45 + 0.01*float64(i%2)
	}
	var areas []Area
	for i := range count {
		centre := orb.Point{float64(i % 20), float64(i/20) * 0.5}
		if count <= 400 {
			centre[1] *= 2
		}
		areas = append(areas, Area{Polygons: []Polygon{poly(star(centre, radii))}, Rank: i % 4, Key: i})
	}
	return NewAreas(areas)
}
