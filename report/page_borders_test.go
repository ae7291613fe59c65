package report

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/paulmach/orb/simplify"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// anyRings draws closed rings of few and of many positions, some of them repeated, without distances that are nearly
// the same.
func anyRings(t *rapid.T) (rings []orb.LineString) {
	random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
	for range rapid.IntRange(1, 5).Draw(t, "rings") {
		size := rapid.SampledFrom([]float64{0.0001, 0.1, 5}).Draw(t, "size")
		ring := orb.LineString{{0, 40}}
		for range rapid.IntRange(2, 80).Draw(t, "positions") {
			p := orb.Point{size * random.NormFloat64(), 40 + size*random.NormFloat64()}
			if random.IntN(8) == 0 {
				p = ring[len(ring)-1]
			}
			ring = append(ring, p)
		}
		rings = append(rings, append(ring, ring[0]))
	}
	return rings
}

// around is the box of the structures, and unseen a 100 000th of it.
var around = orb.Bound{Min: orb.Point{-10, 30}, Max: orb.Point{10, 50}}

const unseen = 20.0 / 100_000

// quadrangleWithin tells whether one of the three positions that a ring keeps is kept against the rule.
func quadrangleWithin(ring orb.LineString, tolerance float64) bool {
	last := len(ring) - 1
	at, distance := farthest(ring, 0, last)
	_, before := farthest(ring, 0, at)
	_, after := farthest(ring, at, last)
	return slices.ContainsFunc([]float64{distance, before, after}, func(d float64) bool { return d > 0 && d <= tolerance*(1+1e-9) })
}

func shapesOf(rings []orb.LineString) *zoneShapes {
	var z zoneShapes
	for _, ring := range rings {
		z.zones = append(z.zones, zoneShape{exact: slices.Values([]orb.LineString{ring.Clone()})})
	}
	return &z
}

func positions(rings []orb.LineString) (n int) {
	for _, ring := range rings {
		n += len(ring)
	}
	return n
}

// drawn counts the positions of the borders as they are drawn.
func drawn(z *zoneShapes) (n int) {
	for i := range z.zones {
		n += positions(z.zones[i].rings)
	}
	return n
}

// The rule is that of another implementation, save that a ring keeps a quadrangle.
func TestSimplifiedBordersAreThoseOfTheRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rings := anyRings(t)
		z := shapesOf(rings)
		limit := rapid.IntRange(0, 200).Draw(t, "limit")
		z.draw(around, limit)
		if positions(rings) <= limit {
			require.Zero(t, z.simplifiedDeg)
		} else {
			require.GreaterOrEqual(t, z.simplifiedDeg, unseen)
		}
		require.LessOrEqual(t, drawn(z), max(limit, 5*len(rings)))
		for i, ring := range rings {
			kept := z.zones[i].rings[0]
			for _, p := range ring {
				require.LessOrEqual(t, planar.DistanceFrom(kept, p), z.simplifiedDeg+1e-12, "how far a border may be off is true")
			}
			if z.simplifiedDeg == 0 {
				require.Equal(t, ring, kept)
				continue
			}
			want := simplify.DouglasPeucker(z.simplifiedDeg * (1 + 1e-9)).LineString(ring.Clone())
			for _, p := range want {
				require.Contains(t, kept, p)
			}
			if !quadrangleWithin(ring, z.simplifiedDeg) {
				require.Equal(t, want, kept)
			}
		}
	})
}

func TestBordersAreAsFineAsTheLimitAllows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rings := anyRings(t)
		z := shapesOf(rings)
		limit := rapid.IntRange(5*len(rings), 200).Draw(t, "limit")
		z.draw(around, limit)
		if z.simplifiedDeg <= unseen {
			t.Skip("nothing that can be seen was left out")
		}
		finer := 0
		for _, ring := range rings {
			weights := make([]float64, len(ring))
			weigh(ring, weights, 0, 2)
			finer += len(heavier(ring.Clone(), weights, z.simplifiedDeg*(1-1e-9)))
		}
		require.Greater(t, finer, limit)
	})
}

// 2000 squares of 11 m, each of which has less than the tolerance that the long border needs, and a hole in one.
func TestSmallZonesAndHolesDoNotVanish(t *testing.T) {
	ring := func(lon, lat, half float64) orb.LineString {
		return orb.LineString{{lon - half, lat - half}, {lon + half, lat - half}, {lon + half, lat + half}, {lon - half, lat + half}, {lon - half, lat - half}}
	}
	var rings []orb.LineString
	for i := range 2000 {
		rings = append(rings, ring(0.01*float64(i), 40, 5e-5))
	}
	rings = append(rings, ring(0, 40, 1e-5))
	var coast orb.LineString
	for i := range 50_000 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 50_000)
		coast = append(coast, orb.Point{10 + 10*cos + 0.01*float64(i%7), 40 + 10*sin + 0.01*float64(i%11)})
	}
	rings = append(rings, append(coast, coast[0]))
	z := shapesOf(rings)
	z.draw(orb.Bound{Min: orb.Point{0, 30}, Max: orb.Point{20, 50}}, 15_000)
	require.Greater(t, z.simplifiedDeg, 1e-4)
	require.LessOrEqual(t, drawn(z), 15_000)
	for i := range 2001 {
		require.Equal(t, rings[i], z.zones[i].rings[0])
	}
	require.Greater(t, len(z.zones[2001].rings[0]), 1000)
}

func TestLeastToleranceForgetsNothingThatCounts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		weight := rapid.OneOf(rapid.Float64Range(0, 9), rapid.SampledFrom([]float64{0, 1, 2, math.Inf(1)}))
		lists := rapid.SliceOf(rapid.SliceOfN(weight, 0, 20)).Draw(t, "weights")
		limit := rapid.IntRange(0, 30).Draw(t, "limit")
		least, kept := leastTolerance{limit: limit, above: 0.5}, 0
		for _, list := range lists {
			least.add(list)
		}
		tolerance := least.find()
		all := slices.Concat(lists...)
		slices.Sort(all)
		for _, w := range all {
			if w > tolerance {
				kept++
			}
		}
		always := len(all) - len(slices.DeleteFunc(slices.Clone(all), func(w float64) bool { return math.IsInf(w, 1) }))
		require.LessOrEqual(t, kept, max(limit, always))
		if tolerance > 0.5 {
			require.Contains(t, all, tolerance)
			finer := kept
			for _, w := range all {
				if w == tolerance {
					finer++
				}
			}
			require.Greater(t, finer, limit, "a lower tolerance would keep too many")
		}
	})
}
