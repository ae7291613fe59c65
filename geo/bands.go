package geo

import (
	"math"

	"github.com/paulmach/orb"
	side "github.com/twpayne/go-geom/xy/orientation"
)

// place is where a position lies in respect of a polygon.
type place int

const (
	outside place = iota
	border
	inside
)

// bands is a polygon prepared for look-up: its height is cut into bands, each of which lists the edges that reach into
// it, the outer ring first. A look-up reads one band. Where no position is repeated the polygon's own coordinates serve, which must not change.
type bands struct {
	bound  orb.Bound
	flat   []float64 // of all rings, one after the other, each ending where it starts
	ends   []int32   // number of the last position of each ring
	perDeg float64   // bands per degree of latitude
	starts []int32   // where in listed each band begins, and one more
	listed []int32   // edges of all bands, by the position they begin at
}

// newBands prepares a polygon with its rings, the first of which is the outer one.
func newBands(p Polygon, rings []ring) bands {
	b := bands{bound: boundOf(rings[0].points), flat: p.Flat, ends: make([]int32, len(rings))}
	positions, edges := 0, 0
	var climb float64
	for i, r := range rings {
		b.bound = b.bound.Union(boundOf(r.points))
		positions += len(r.points)
		edges += r.edges()
		b.ends[i] = int32(positions - 1)
		for j := range r.edges() {
			climb += math.Abs(r.points[j+1][1] - r.points[j][1])
		}
	}
	if 2*positions != len(p.Flat) {
		b.flat = make([]float64, 0, 2*positions)
		for _, r := range rings {
			for _, at := range r.points {
				b.flat = append(b.flat, at[0], at[1])
			}
		}
	}
	height := b.bound.Top() - b.bound.Bottom()
	// One band an edge, but fewer where edges are so steep that each would reach from its first band into more than one other on average:
	// with more of them the lists take more room, and a band is no shorter by much, since the edges that cross all of it stay.
	count := max(1, int(float64(edges)*min(1, height/climb)))
	b.perDeg = float64(count) / height
	b.list(count)
	return b
}

// edge returns the ends of the edge that begins at a position.
func (b *bands) edge(i int32) (from, to orb.Point) {
	at := b.flat[2*i : 2*i+4 : 2*i+4]
	return orb.Point{at[0], at[1]}, orb.Point{at[2], at[3]}
}

// reach returns the lowest and the highest band of an edge.
func (b *bands) reach(i int32) (low, high int) {
	from, to := b.edge(i)
	return b.band(min(from[1], to[1])), b.band(max(from[1], to[1]))
}

// eachEdge visits the edges of all rings in their order.
func (b *bands) eachEdge(visit func(i int32)) {
	i := int32(0)
	for _, end := range b.ends {
		for ; i < end; i++ {
			visit(i)
		}
		i++ // the next ring
	}
}

// list fills the bands: counts first, so that each list has just the room it needs.
func (b *bands) list(count int) {
	b.starts = make([]int32, count+1)
	b.eachEdge(func(i int32) {
		low, high := b.reach(i)
		for k := low; k <= high; k++ {
			b.starts[k+1]++
		}
	})
	for k := range count {
		b.starts[k+1] += b.starts[k]
	}
	b.listed = make([]int32, b.starts[count])
	next := append([]int32(nil), b.starts[:count]...)
	b.eachEdge(func(i int32) {
		low, high := b.reach(i)
		for k := low; k <= high; k++ {
			b.listed[next[k]] = i
			next[k]++
		}
	})
}

// band returns the band a latitude falls into; latitudes above or below get the last or the first. It never falls as
// the latitude grows, so an edge is listed in the band of each latitude it has.
func (b *bands) band(lat float64) int {
	k := (lat - b.bound.Min[1]) * b.perDeg
	if !(k > 0) {
		return 0
	}
	return int(min(k, float64(len(b.starts)-2)))
}

// locate tells where p lies, exactly. The border of a hole is border; within a hole is outside.
func (b *bands) locate(p orb.Point) place {
	if !b.bound.Contains(p) {
		return outside
	}
	k := b.band(p[1])
	ring, odd := 0, false
	for _, i := range b.listed[b.starts[k]:b.starts[k+1]] {
		if i > b.ends[ring] {
			if odd != (ring == 0) {
				return outside
			}
			for odd = false; i > b.ends[ring]; {
				ring++
			}
		}
		from, to := b.edge(i)
		if from == p {
			return border
		}
		if (from[1] > p[1]) == (to[1] > p[1]) {
			if from[1] == p[1] && to[1] == p[1] && (from[0] > p[0]) != (to[0] > p[0]) {
				return border
			}
			continue
		}
		switch {
		case p[0] > from[0] && p[0] > to[0]:
		case p[0] < from[0] && p[0] < to[0]:
			odd = !odd
		default:
			s := orientation(from, to, p)
			if s == side.Collinear {
				return border
			}
			if (s == side.CounterClockwise) == (to[1] > from[1]) {
				odd = !odd
			}
		}
	}
	if odd != (ring == 0) {
		return outside
	}
	return inside
}
