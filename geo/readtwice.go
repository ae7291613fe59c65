package geo

import (
	"fmt"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"
	side "github.com/twpayne/go-geom/xy/orientation"
)

// holesApart takes holes that do not touch and looks for one that lies in another.
func holesApart(holes []ring) error {
	if len(holes) < 2 {
		return nil
	}
	var tree rtree.RTreeG[int]
	for i, hole := range holes {
		bound := boundOf(hole.points)
		tree.Insert(bound.Min, bound.Max, i)
	}
	prepared := map[int]*bands{}
	for i, hole := range holes {
		var err error
		at := hole.points[0]
		tree.Search(at, at, func(_, _ [2]float64, around int) bool {
			if around == i {
				return true
			}
			if prepared[around] == nil {
				b := newBands(Polygon{}, holes[around:around+1])
				prepared[around] = &b
			}
			if prepared[around].locate(at) == inside {
				err = &PolygonError{Ring: i + 2, Err: ErrHolesOverlap, Detail: fmt.Sprintf("it lies in ring %d", around+2)}
			}
			return err == nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// readOneWay takes rings no two edges of which cross, and looks for an area that may be meant or not: one that a ring winds around an even
// number of times, which is inside by the winding rule and outside by the even-odd rule, one in more than one hole, or one in a
// hole beyond the outer ring.
//
// Every such area begins above a position or an edge along a parallel, so it is enough to look beside the lower end of each edge.
func readOneWay(rings []ring) error {
	b := newBands(Polygon{}, rings)
	first := int32(0)
	for i, r := range rings {
		for j := range r.edges() {
			if err := b.besideEdge(first + int32(j)); err != nil {
				if err.Ring == i+1 {
					err.Position = int(r.number[j])
				}
				return err
			}
		}
		first = b.ends[i] + 1
	}
	return nil
}

// besideEdge looks at what lies on both sides of an edge just above its lower end, or just above the western end of one along a parallel.
func (b *bands) besideEdge(edge int32) *PolygonError {
	from, to := b.upward(edge)
	flat := from[1] == to[1]
	if flat && to[0] < from[0] {
		from, to = to, from
	}
	var beside [2]struct{ outer, holes, hole int }
	ring, windings := 0, [2]int{} // of the ring at hand around what lies on the western and on the eastern side
	var again *PolygonError
	settle := func() {
		for k, count := range windings {
			switch {
			case count == 0:
			case count%2 == 0:
				again = &PolygonError{Ring: ring + 1, Err: ErrWindsAgain, Detail: fmt.Sprintf("%d times around what lies beside %s", max(count, -count), written(from))}
			case ring == 0:
				beside[k].outer++
			default:
				beside[k].holes++
				beside[k].hole = ring
			}
		}
		windings = [2]int{}
	}
	k := b.band(from[1])
	for _, i := range b.listed[b.starts[k]:b.starts[k+1]] {
		start, end := b.edge(i)
		turn := 1
		if start[1] > end[1] {
			start, end, turn = end, start, -1
		}
		if start[1] > from[1] || end[1] <= from[1] {
			continue
		}
		for i > b.ends[ring] {
			settle()
			ring++
		}
		switch where := sideOf(from, to, start, end, flat); {
		case where < 0:
			windings[0] += turn
			windings[1] += turn
		case where == 0:
			windings[1] += turn
		}
	}
	settle()
	if again != nil {
		return again
	}
	for _, at := range beside {
		switch {
		case at.holes > 1:
			return &PolygonError{Ring: at.hole + 1, Err: ErrHolesOverlap, Detail: "what lies beside " + written(from) + " is in more than one of them"}
		case at.holes == 1 && at.outer == 0:
			return &PolygonError{Ring: at.hole + 1, Err: ErrHoleNotInRing, Detail: "what lies beside " + written(from)}
		}
	}
	return nil
}

// upward returns the ends of an edge, the lower one first.
func (b *bands) upward(i int32) (low, high orb.Point) {
	low, high = b.edge(i)
	if low[1] > high[1] {
		low, high = high, low
	}
	return low, high
}

// sideOf tells whether an edge that passes the latitude of from upwards does so west (-1) or east (1) of the edge from there to to, or along it (0),
// just above from. One that passes through the western end of a flat edge is west of what lies above that.
func sideOf(from, to, low, high orb.Point, flat bool) int {
	switch {
	case low[0] < from[0] && high[0] < from[0]:
		return -1
	case low[0] > from[0] && high[0] > from[0]:
		return 1
	}
	switch s := orientation(low, high, from); {
	case s != side.Collinear:
		return int(s) // counterclockwise: from lies west of it
	case flat:
		return -1
	case to[1] <= high[1]:
		return int(orientation(low, high, to))
	}
	return -int(orientation(from, to, high))
}
