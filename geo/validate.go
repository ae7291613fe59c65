package geo

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"
	side "github.com/twpayne/go-geom/xy/orientation"
)

// Validate returns nil where the polygon is fit for use, else a *PolygonError for the first thing that is wrong:
// no ring, ring ends that do not fit, fewer than 4 positions, a coordinate that is not finite or beyond ±180 and ±90,
// a ring that is not closed, encloses no area, crosses itself or runs along itself again in the same direction, as one traced
// twice does, or winds around an area twice, a hole that crosses or lies outside the outer ring or overlaps another, holes that together are no
// smaller than the outer ring.
//
// Harmless, and let pass: consecutive repeated positions; a ring that touches itself or another at a position; a ring
// that runs back along itself (a spike, or a cut to a hole), which encloses nothing more.
func (p Polygon) Validate() error { return p.validateWithin(onEarth) }

// ValidatePlane does the same for a polygon whose coordinates are eastings and northings, of any range.
func (p Polygon) ValidatePlane() error { return p.validateWithin(onPlane) }

// ValidateRings does no more than Validate does ring by ring: it finds neither edges that cross nor holes that lie elsewhere.
func (p Polygon) ValidateRings() error {
	_, err := p.rings()
	return err
}

func (p Polygon) validateWithin(limits reach) error {
	rings, err := p.ringsWithin(limits)
	if err != nil {
		return err
	}
	touch, err := firstCrossing(rings)
	if err == nil {
		err = holesInside(rings)
	}
	if err == nil && !touch {
		return holesApart(rings[1:])
	}
	if err == nil {
		err = readOneWay(rings)
	}
	return err
}

// leastLeft is the share of a ring that its holes have to leave, more than rounding does.
const leastLeft = 1e-9

// holesInside takes rings that do not cross and looks for a position of a hole beyond the outer ring.
func holesInside(rings []ring) error {
	if len(rings) == 1 {
		return nil
	}
	outer := newBands(Polygon{}, rings[:1])
	left := rings[0].area()
	for i, hole := range rings[1:] {
		left -= hole.area()
		for j, at := range hole.points {
			if outer.locate(at) == outside {
				return &PolygonError{Ring: i + 2, Position: int(hole.number[j]), Err: ErrHoleNotInRing}
			}
		}
	}
	if left <= leastLeft*rings[0].area() {
		return &PolygonError{Ring: 1, Err: ErrNoArea, Detail: "its holes are together no smaller than it"}
	}
	return nil
}

// firstCrossing looks for edges of one ring that cross, and for edges of a hole that cross another ring; it reports
// the one that comes first along the rings. Where there is none it tells whether a ring runs back along itself or touches another.
func firstCrossing(rings []ring) (touch bool, err error) {
	var tree rtree.RTreeG[stretch]
	for i, r := range rings {
		addStretches(&tree, i, r.points, 0)
	}
	for i, r := range rings {
		for first := 0; first < r.edges(); first += stretchEdges {
			s := stretch{int32(i), int32(first), int32(min(first+stretchEdges, r.edges()))}
			c, found, touches := s.firstCrossing(&tree, rings)
			if found {
				return false, c.err(rings)
			}
			touch = touch || touches
		}
	}
	return touch, nil
}

// crossing names two edges by their rings and the positions they start from; ring ≤ otherRing.
type crossing struct {
	ring, edge, otherRing, otherEdge int
}

func (c crossing) before(d crossing) bool {
	if c.edge != d.edge {
		return c.edge < d.edge
	}
	if c.otherRing != d.otherRing {
		return c.otherRing < d.otherRing
	}
	return c.otherEdge < d.otherEdge
}

func (c crossing) err(rings []ring) error {
	r, other := rings[c.ring], rings[c.otherRing]
	if c.ring != c.otherRing {
		at := other.points[c.otherEdge]
		detail := fmt.Sprintf("the edge from %s meets the edge from position %d of ring %d", written(at), r.number[c.edge], c.ring+1)
		kind := ErrHoleCrossesOut
		if c.ring > 0 {
			kind = ErrHolesOverlap
		}
		return &PolygonError{Ring: c.otherRing + 1, Position: int(other.number[c.otherEdge]), Err: kind, Detail: detail}
	}
	at := r.points[c.edge]
	if again(r, c.edge, c.otherEdge) {
		detail := fmt.Sprintf("the edge from %s lies on the edge from position %d", written(at), r.number[c.otherEdge])
		return &PolygonError{Ring: c.ring + 1, Position: int(r.number[c.edge]), Err: ErrTracedTwice, Detail: detail}
	}
	detail := fmt.Sprintf("the edge from %s meets the edge from position %d", written(at), r.number[c.otherEdge])
	return &PolygonError{Ring: c.ring + 1, Position: int(r.number[c.edge]), Err: ErrCrossesItself, Detail: detail}
}

func (s stretch) firstCrossing(tree *rtree.RTreeG[stretch], rings []ring) (first crossing, found, touch bool) {
	r := rings[s.path]
	bound := boundOf(r.points[s.first : s.last+1])
	tree.Search(bound.Min, bound.Max, func(low, high [2]float64, t stretch) bool {
		if t.path < s.path || t.path == s.path && t.first < s.first {
			return true
		}
		other := rings[t.path]
		for i := int(s.first); i < int(s.last); i++ {
			edge := boundOf(r.points[i : i+2])
			if edge.Min[0] > high[0] || edge.Max[0] < low[0] || edge.Min[1] > high[1] || edge.Max[1] < low[1] {
				continue
			}
			start := int(t.first)
			if t.path == s.path {
				start = max(start, i+2) // the edge next to this one cannot cross it
			}
			for j := start; j < int(t.last); j++ {
				c := crossing{int(s.path), i, int(t.path), j}
				if found && !c.before(first) || !reaches(other.points[j], other.points[j+1], edge) {
					continue
				}
				if crosses(r, i, other, j) || t.path == s.path && again(r, i, j) {
					first, found = c, true
				} else if t.path == s.path {
					touch = touch || along(r, i, j) != 0
				} else {
					touch = touch || edgesMeet(r.points[i], r.points[i+1], other.points[j], other.points[j+1])
				}
			}
		}
		return true
	})
	return first, found, touch
}

// reaches tells whether the box around the edge ab meets another box.
func reaches(a, b orb.Point, box orb.Bound) bool {
	return min(a[0], b[0]) <= box.Max[0] && max(a[0], b[0]) >= box.Min[0] && min(a[1], b[1]) <= box.Max[1] && max(a[1], b[1]) >= box.Min[1]
}

// crosses tells whether ring s passes from one side of ring r to the other on edges i and j or at the positions these
// edges start from. Where edges lie on each other along a length it says no. The boxes around the edges meet.
func crosses(r ring, i int, s ring, j int) bool {
	a, b, c, d := r.points[i], r.points[i+1], s.points[j], s.points[j+1]
	if a == c {
		return crossesAt(a, r.before(i), b, s.before(j), d)
	}
	sideC, sideD := orientation(a, b, c), orientation(a, b, d)
	if sideC*sideD > 0 {
		return false
	}
	sideA, sideB := orientation(c, d, a), orientation(c, d, b)
	switch {
	case sideC == side.Collinear && c != b && onEdge(c, a, b):
		return orientation(a, b, s.before(j))*sideD < 0
	case sideA == side.Collinear && a != d && onEdge(a, c, d):
		return orientation(c, d, r.before(i))*sideB < 0
	}
	return sideC*sideD < 0 && sideA*sideB < 0
}

// again tells whether two edges of a ring lie on each other along a length in the same direction, and none runs back there: what
// is on the inner side of the one is on that of the other, so the ring goes round it twice.
func again(r ring, i, j int) bool {
	if along(r, i, j) <= 0 {
		return false
	}
	for k := range r.edges() {
		if along(r, i, k) < 0 {
			return false
		}
	}
	return true
}

// along is 1 where two edges of a ring lie on each other along a length in the same direction, -1 where in opposite ones, else 0.
func along(r ring, i, j int) int {
	a, b, c, d := r.points[i], r.points[i+1], r.points[j], r.points[j+1]
	axis := 0
	if math.Abs(b[1]-a[1]) > math.Abs(b[0]-a[0]) {
		axis = 1
	}
	if min(max(a[axis], b[axis]), max(c[axis], d[axis])) <= max(min(a[axis], b[axis]), min(c[axis], d[axis])) ||
		orientation(a, b, c) != side.Collinear || orientation(a, b, d) != side.Collinear {
		return 0
	}
	if (b[axis] > a[axis]) == (d[axis] > c[axis]) {
		return 1
	}
	return -1
}

// crossesAt tells whether, at a position v that both visit, the way from p to q crosses the way from s to t.
func crossesAt(v, p, q, s, t orb.Point) bool {
	if sameRay(v, p, q) || sameRay(v, s, t) || sameRay(v, p, s) || sameRay(v, p, t) || sameRay(v, q, s) || sameRay(v, q, t) {
		return false
	}
	return inSector(v, p, q, s) != inSector(v, p, q, t)
}

// sameRay tells whether p and q lie in the same direction from v.
func sameRay(v, p, q orb.Point) bool {
	return orientation(v, p, q) == side.Collinear &&
		(p[0] > v[0]) == (q[0] > v[0]) && (p[0] < v[0]) == (q[0] < v[0]) &&
		(p[1] > v[1]) == (q[1] > v[1]) && (p[1] < v[1]) == (q[1] < v[1])
}

// inSector tells whether x lies in the sector seen from v that opens counterclockwise from p to q; x is in the
// direction of neither.
func inSector(v, p, q, x orb.Point) bool {
	switch orientation(v, p, q) {
	case side.CounterClockwise:
		return orientation(v, p, x) > 0 && orientation(v, x, q) > 0
	case side.Clockwise:
		return !inSector(v, q, p, x)
	}
	return orientation(v, p, x) > 0
}
