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
// it, the outer ring first. A look-up reads one band.
type bands struct {
	bound   orb.Bound
	edges   []ringEdge
	perDeg  float64 // bands per degree of latitude
	starts  []int32 // where in listed each band begins, and one more
	listed  []int32 // edges of all bands
	lowBand []int32 // lowest band of each edge
}

type ringEdge struct {
	a, b orb.Point
	ring int32
}

// newBands prepares rings, the first of which is the outer one.
func newBands(rings []ring) bands {
	b := bands{bound: boundOf(rings[0].points)}
	var climb float64
	edges := 0
	for _, r := range rings {
		edges += r.edges()
	}
	b.edges = make([]ringEdge, 0, edges)
	for i, r := range rings {
		b.bound = b.bound.Union(boundOf(r.points))
		for j := range r.edges() {
			e := ringEdge{r.points[j], r.points[j+1], int32(i)}
			b.edges = append(b.edges, e)
			climb += math.Abs(e.b[1] - e.a[1])
		}
	}
	height := b.bound.Top() - b.bound.Bottom()
	// One band an edge, but fewer where edges are so steep that each would be listed in more than eight bands on average.
	count := max(1, int(float64(len(b.edges))*min(1, 8*height/climb)))
	b.perDeg = float64(count) / height
	b.list(count)
	return b
}

// list fills the bands: counts first, so that each list has just the room it needs.
func (b *bands) list(count int) {
	b.starts = make([]int32, count+1)
	b.lowBand = make([]int32, len(b.edges))
	for i, e := range b.edges {
		low, high := b.band(min(e.a[1], e.b[1])), b.band(max(e.a[1], e.b[1]))
		b.lowBand[i] = int32(low)
		for k := low; k <= high; k++ {
			b.starts[k+1]++
		}
	}
	for k := range count {
		b.starts[k+1] += b.starts[k]
	}
	b.listed = make([]int32, b.starts[count])
	next := append([]int32(nil), b.starts[:count]...)
	for i, e := range b.edges {
		high := b.band(max(e.a[1], e.b[1]))
		for k := int(b.lowBand[i]); k <= high; k++ {
			b.listed[next[k]] = int32(i)
			next[k]++
		}
	}
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
	current, odd := int32(0), false
	for _, i := range b.listed[b.starts[k]:b.starts[k+1]] {
		e := &b.edges[i]
		if e.ring != current {
			if odd != (current == 0) {
				return outside
			}
			current, odd = e.ring, false
		}
		if e.a == p {
			return border
		}
		if (e.a[1] > p[1]) == (e.b[1] > p[1]) {
			if e.a[1] == p[1] && e.b[1] == p[1] && (e.a[0] > p[0]) != (e.b[0] > p[0]) {
				return border
			}
			continue
		}
		switch {
		case p[0] > e.a[0] && p[0] > e.b[0]:
		case p[0] < e.a[0] && p[0] < e.b[0]:
			odd = !odd
		default:
			s := orientation(e.a, e.b, p)
			if s == side.Collinear {
				return border
			}
			if (s == side.CounterClockwise) == (e.b[1] > e.a[1]) {
				odd = !odd
			}
		}
	}
	if odd != (current == 0) {
		return outside
	}
	return inside
}
