package geo

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestNearestWorse(t *testing.T) {
	areas := NewAreas([]Area{
		{Key: 1, Rank: 1, Polygons: []Polygon{poly(square(0, 0, 1))}},
		{Key: 2, Rank: 2, Polygons: []Polygon{poly(square(1, 0, 1), square(1.4, 0.4, 0.2))}},
		{Key: 4, Rank: 3, Polygons: []Polygon{poly(square(1.1, 0, 0.5))}},
		{Key: 3, Rank: 3, Polygons: []Polygon{poly(square(1.1, 0, 0.5))}},
		{Key: 5, Rank: 1, Polygons: []Polygon{poly(square(-180, 0, 1))}},
	})
	degreeM := Inverse(orb.Point{0, 0}, orb.Point{1, 0}).LengthM // 111 319.491 m of the equator
	for _, c := range []struct {
		name    string
		at      orb.Point
		rank    int
		withinM float64
		key     int // 0: none
		distM   float64
	}{
		{"next to it", orb.Point{0.99, 0}, 1, 2000, 2, 0.01 * degreeM},
		{"too far", orb.Point{0.99, 0}, 1, 0.0099 * degreeM, 0, 0},
		{"own rank does not count", orb.Point{1.05, 0}, 2, 2000, 0, 0},
		{"ties go to the lowest key", orb.Point{1.05, 0}, 2, 6000, 3, 0.05 * degreeM},
		{"inside", orb.Point{1.2, 0.1}, 1, 10, 3, 0},
		{"on the border", orb.Point{1, 0.5}, 1, 0, 2, 0},
		{"across the antimeridian", orb.Point{179.99, 0}, 0, 2000, 5, 0.01 * degreeM},
		{"on the antimeridian", orb.Point{180, 0.5}, 0, 2000, 5, 0},
		{"nothing worse", orb.Point{1.2, 0.1}, 3, 1e6, 0, 0},
		{"negative distance", orb.Point{1.2, 0.1}, 0, -1, 0, 0},
		{"not a number", orb.Point{math.NaN(), 0}, 0, 1e6, 0, 0},
		{"any distance", orb.Point{-1, 0}, 0, math.Inf(1), 1, degreeM},
	} {
		t.Run(c.name, func(t *testing.T) {
			key, distM, ok := areas.NearestWorse(c.at, c.rank, c.withinM)
			require.Equal(t, c.key != 0, ok)
			require.Equal(t, c.key, key)
			require.InDelta(t, c.distM, distM, 1e-6)
		})
	}
}

// In a hole the distance is to the border of the hole.
func TestNearestWorseFromAHole(t *testing.T) {
	areas := NewAreas([]Area{{Key: 2, Rank: 2, Polygons: []Polygon{poly(square(1, 0, 1), square(1.4, 0.4, 0.2))}}})
	key, distM, ok := areas.NearestWorse(orb.Point{1.41, 0.5}, 0, 5000)
	require.True(t, ok)
	require.Equal(t, 2, key)
	require.InEpsilon(t, Inverse(orb.Point{1.41, 0.5}, orb.Point{1.4, 0.5}).LengthM, distM, 1e-9)
}

// bruteDistanceM walks all edges in small steps and then searches around the nearest step, with geodesics throughout.
func bruteDistanceM(p orb.Point, ring []orb.Point) float64 {
	const steps = 60
	best := math.Inf(1)
	for i := range len(ring) - 1 {
		at := func(share float64) float64 { return Inverse(p, between(ring[i], ring[i+1], share)).LengthM }
		nearest, step := 0.0, 1.0/steps
		for k := range steps + 1 {
			if share := float64(k) * step; at(share) < at(nearest) {
				nearest = share
			}
		}
		low, high := max(nearest-step, 0), min(nearest+step, 1)
		for high-low > 1e-9 {
			if third := (high - low) / 3; at(low+third) < at(high-third) {
				high -= third
			} else {
				low += third
			}
		}
		best = min(best, at(low))
	}
	return best
}

func TestNearestWorseAgainstGeodesics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		centre := orb.Point{rapid.Float64Range(-180, 180).Draw(t, "lon"), rapid.Float64Range(-70, 70).Draw(t, "lat")}
		var ring []orb.Point
		for _, radiusM := range rapid.SliceOfN(rapid.Float64Range(500, 30000), 3, 6).Draw(t, "radii") {
			flat := frameAt(centre[1])
			sin, cos := math.Sincos(float64(len(ring)))
			ring = append(ring, orb.Point{centre[0] + radiusM*cos/flat.lonM, centre[1] + radiusM*sin/flat.latM})
		}
		ring = append(ring, ring[0])
		areas := NewAreas([]Area{{Key: 7, Rank: 1, Polygons: []Polygon{poly(ring)}}})
		if poly(ring).Validate() != nil {
			t.Skip("crosses itself or the antimeridian")
		}
		p := drawFrom(t, centre, 0, 45000, "p")
		p = orb.Point{math.Remainder(p[0], 360), p[1]}
		key, distM, ok := areas.NearestWorse(p, 0, 20000)
		if _, in := areas.Worst(p); in {
			require.True(t, ok)
			require.Zero(t, distM)
			return
		}
		wantM := bruteDistanceM(p, ring)
		if !ok {
			require.Greater(t, wantM, 20000*(1-1e-5))
			return
		}
		require.Equal(t, 7, key)
		require.InDelta(t, wantM, distM, 1e-5*wantM+1e-4)
	})
}

// Which of many areas is nearest, against all distances one by one.
func TestNearestOfMany(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var areas []Area
		var rings [][]orb.Point
		for i := range rapid.IntRange(1, 6).Draw(t, "areas") {
			ring := square(rapid.Float64Range(9.9, 10.1).Draw(t, "x"), rapid.Float64Range(59.9, 60.1).Draw(t, "y"), 0.01)
			rings = append(rings, ring)
			areas = append(areas, Area{Key: i, Rank: i % 3, Polygons: []Polygon{poly(ring)}})
		}
		prepared := NewAreas(areas)
		p := orb.Point{rapid.Float64Range(9.85, 10.15).Draw(t, "lon"), rapid.Float64Range(59.85, 60.15).Draw(t, "lat")}
		nearestM := math.Inf(1)
		for i, area := range areas {
			if area.Rank < 1 {
				continue
			}
			if rings[i][0][0] <= p[0] && p[0] <= rings[i][2][0] && rings[i][0][1] <= p[1] && p[1] <= rings[i][2][1] {
				nearestM = 0
			}
			nearestM = min(nearestM, bruteDistanceM(p, rings[i]))
		}
		_, distM, ok := prepared.NearestWorse(p, 0, 15000)
		if !ok {
			require.Greater(t, nearestM, 15000*(1-1e-5))
			return
		}
		require.InDelta(t, nearestM, distM, 1e-5*nearestM+1e-4)
	})
}
