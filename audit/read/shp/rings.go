package shp

import (
	"fmt"
	"slices"

	geom "github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/xy"
	"github.com/twpayne/go-geom/xy/location"
)

// ring is a ring of a polygon.
type ring struct {
	flat                     []float64
	closed                   []float64 // the same with its first position behind the last, where it is not there
	number                   int       // in the shape, from 1
	clockwise                bool
	west, south, east, north float64
}

// mostComparisons is how many positions may be passed to find out which rings lie in which.
const mostComparisons = 1 << 30

// polygonOf arranges the rings of a polygon. Rings that run clockwise are outer ones; the others are holes, each in the
// smallest outer ring around it, whatever their order. A ring alone is an outer one however it runs, and so are several
// where none runs clockwise and none lies in another. What is left over is an error.
//
// Source: ESRI Shapefile Technical Description, July 1998, pages 8 to 9.
func polygonOf(layout geom.Layout, flat []float64, ends []int) (geom.T, error) {
	if len(ends) == 1 {
		return geom.NewPolygonFlat(layout, flat, ends), nil
	}
	var outer, holes []*ring
	start := 0
	for i, end := range ends {
		r := newRing(flat[start:end], layout.Stride(), i+1)
		if r.clockwise {
			outer = append(outer, r)
		} else {
			holes = append(holes, r)
		}
		start = end
	}
	n := nesting{layout: layout}
	if len(outer) == 0 {
		for _, r := range holes {
			if around := n.around(r, holes); around != nil {
				return nil, fmt.Errorf("has a ring %d in ring %d, and none that runs clockwise, as outer rings do", r.number, around.number)
			}
		}
		outer, holes = holes, nil
	}
	within := map[*ring][]*ring{}
	for _, hole := range holes {
		around := n.around(hole, outer)
		if around == nil && !n.exhausted() {
			return nil, fmt.Errorf("has a ring %d that runs counter-clockwise, as holes do, and lies in no outer ring", hole.number)
		}
		within[around] = append(within[around], hole)
	}
	if n.exhausted() {
		return nil, fmt.Errorf("has %d rings, too many to tell which lie in which", len(ends))
	}
	return arranged(layout, outer, within), nil
}

func arranged(layout geom.Layout, outer []*ring, within map[*ring][]*ring) geom.T {
	var flat []float64
	var endss [][]int
	for _, around := range outer {
		flat = append(flat, around.flat...)
		ends := []int{len(flat)}
		for _, hole := range within[around] {
			flat = append(flat, hole.flat...)
			ends = append(ends, len(flat))
		}
		endss = append(endss, ends)
	}
	if len(endss) == 1 {
		return geom.NewPolygonFlat(layout, flat, endss[0])
	}
	return geom.NewMultiPolygonFlat(layout, flat, endss)
}

func newRing(flat []float64, stride, number int) *ring {
	r := &ring{flat: flat, closed: flat, number: number, west: flat[0], south: flat[1], east: flat[0], north: flat[1]}
	area := 0.0
	x0, y0 := flat[0], flat[1] // the area is of small numbers, so that little of it is rounded away
	for i := 0; i < len(flat); i += stride {
		x, y := flat[i], flat[i+1]
		r.west, r.south, r.east, r.north = min(r.west, x), min(r.south, y), max(r.east, x), max(r.north, y)
		next := (i + stride) % len(flat)
		area += (x-x0)*(flat[next+1]-y0) - (flat[next]-x0)*(y-y0)
	}
	r.clockwise = area <= 0
	if last := len(flat) - stride; flat[last] != x0 || flat[last+1] != y0 {
		r.closed = slices.Concat(flat, flat[:stride])
	}
	return r
}

// nesting finds out which rings lie in which, as long as that is no endless work.
type nesting struct {
	layout geom.Layout
	passed int
}

func (n *nesting) exhausted() bool { return n.passed > mostComparisons }

// around finds the smallest of some rings in which another lies; nil where there is none.
func (n *nesting) around(inner *ring, rings []*ring) *ring {
	var smallest *ring
	for _, r := range rings {
		if n.passed++; n.exhausted() {
			return nil
		}
		if r != inner && r.boxHolds(inner) && (smallest == nil || smallest.boxHolds(r)) && n.in(inner, r) {
			smallest = r
		}
	}
	return smallest
}

func (r *ring) boxHolds(inner *ring) bool {
	return r.west <= inner.west && inner.east <= r.east && r.south <= inner.south && inner.north <= r.north
}

// in tells whether a ring lies in another. Rings of a polygon may touch, but not cross, so the first position that is not on
// the edge of the other tells; where all are, so does the middle of a side that is not.
func (n *nesting) in(inner, outer *ring) bool {
	stride := n.layout.Stride()
	if len(outer.closed) < 4*stride {
		return false
	}
	for _, share := range [...]float64{0, 0.5} {
		for i := 0; i+stride < len(inner.closed); i += stride {
			at := geom.Coord{inner.closed[i] + share*(inner.closed[i+stride]-inner.closed[i]), inner.closed[i+1] + share*(inner.closed[i+stride+1]-inner.closed[i+1])}
			if n.passed += len(outer.closed) / stride; n.exhausted() {
				return false
			}
			switch xy.LocatePointInRing(n.layout, at, outer.closed) {
			case location.Interior:
				return true
			case location.Exterior:
				return false
			}
		}
	}
	return false
}
