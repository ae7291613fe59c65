package geo

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"github.com/paulmach/orb"
)

// Polygon is one outer ring and its holes as flat coordinates {lon, lat, lon, lat, …} in degrees. Ends holds, for each
// ring, the offset in Flat just after it, as in go-geom. The first ring is the outer one; every ring ends where it starts.
type Polygon struct {
	Flat []float64
	Ends []int
}

// What can be wrong with a polygon; a *PolygonError wraps one of these and says where.
var (
	ErrNoRing         = errors.New("no ring")
	ErrRingEnds       = errors.New("ring ends do not fit the coordinates")
	ErrFewPositions   = errors.New("too few positions")
	ErrNotFinite      = errors.New("not a number")
	ErrOutOfRange     = errors.New("out of range")
	ErrNotClosed      = errors.New("ring not closed")
	ErrNoArea         = errors.New("ring encloses no area")
	ErrCrossesItself  = errors.New("ring crosses itself")
	ErrTracedTwice    = errors.New("ring runs along itself again")
	ErrWindsAgain     = errors.New("ring winds around an area more than once")
	ErrHoleNotInRing  = errors.New("hole outside its outer ring")
	ErrHolesOverlap   = errors.New("holes overlap")
	ErrHoleCrossesOut = fmt.Errorf("%w: hole crosses it", ErrHoleNotInRing)
)

// PolygonError says what is wrong with a polygon and where. Ring and Position count from 1, the outer ring being 1;
// 0 stands for the whole polygon or the whole ring.
type PolygonError struct {
	Ring, Position int
	Err            error
	Detail         string
}

// Error puts the place first: "ring 1, position 3: out of range: longitude 190 is not within -180 to 180".
func (e *PolygonError) Error() string {
	text := e.Err.Error()
	if e.Detail != "" {
		text += ": " + e.Detail
	}
	switch {
	case e.Ring == 0:
		return text
	case e.Position == 0:
		return fmt.Sprintf("ring %d: %s", e.Ring, text)
	}
	return fmt.Sprintf("ring %d, position %d: %s", e.Ring, e.Position, text)
}

// Unwrap gives the kind of error.
func (e *PolygonError) Unwrap() error { return e.Err }

// Bound returns the box around all positions; it is empty (Min above Max) where there are none.
func (p Polygon) Bound() orb.Bound {
	low, high := orb.Point{math.Inf(1), math.Inf(1)}, orb.Point{math.Inf(-1), math.Inf(-1)}
	for i := 0; i+1 < len(p.Flat); i += 2 {
		if at := (orb.Point{p.Flat[i], p.Flat[i+1]}); finite(at) {
			low = orb.Point{min(low[0], at[0]), min(low[1], at[1])}
			high = orb.Point{max(high[0], at[0]), max(high[1], at[1])}
		}
	}
	return orb.Bound{Min: low, Max: high}
}

// ring is a closed ring without consecutive repeated positions; number holds the position each had in the polygon,
// counted from 1.
type ring struct {
	points []orb.Point
	number []int32
}

// reach is how far coordinates may lie from 0 along both axes.
type reach [2]float64

var (
	onEarth = reach{180, 90}
	onPlane = reach{math.MaxFloat64, math.MaxFloat64}
)

// rings takes the polygon apart and makes the checks that need one ring only: everything but edges that cross and
// holes that lie elsewhere.
func (p Polygon) rings() ([]ring, error) { return p.ringsWithin(onEarth) }

func (p Polygon) ringsWithin(limits reach) ([]ring, error) {
	if len(p.Ends) == 0 {
		return nil, &PolygonError{Err: ErrNoRing}
	}
	rings := make([]ring, 0, len(p.Ends))
	start := 0
	for i, end := range p.Ends {
		if end < start || end > len(p.Flat) || end%2 != 0 {
			detail := fmt.Sprintf("it ends at %d; an even number from %d to %d was expected", end, start, len(p.Flat))
			return nil, &PolygonError{Ring: i + 1, Err: ErrRingEnds, Detail: detail}
		}
		r, err := newRing(p.Flat[start:end], limits)
		if err != nil {
			err.Ring = i + 1
			return nil, err
		}
		rings = append(rings, r)
		start = end
	}
	if start != len(p.Flat) {
		detail := fmt.Sprintf("the last ring ends at %d of %d", start, len(p.Flat))
		return nil, &PolygonError{Err: ErrRingEnds, Detail: detail}
	}
	return rings, nil
}

func newRing(flat []float64, limits reach) (ring, *PolygonError) {
	count := len(flat) / 2
	if count < 4 {
		detail := fmt.Sprintf("%d, and a ring needs at least 4", count)
		return ring{}, &PolygonError{Err: ErrFewPositions, Detail: detail}
	}
	r := ring{points: make([]orb.Point, 0, count), number: make([]int32, 0, count)}
	for i := range count {
		at := orb.Point{flat[2*i], flat[2*i+1]}
		if detail, kind := limits.faultOf(at); kind != nil {
			return ring{}, &PolygonError{Position: i + 1, Err: kind, Detail: detail}
		}
		if i == 0 || at != r.points[len(r.points)-1] {
			r.points = append(r.points, at)
			r.number = append(r.number, int32(i+1))
		}
	}
	first, last := r.points[0], r.points[len(r.points)-1]
	if first != last {
		detail := fmt.Sprintf("it starts at %s and ends at %s", written(first), written(last))
		return ring{}, &PolygonError{Position: count, Err: ErrNotClosed, Detail: detail}
	}
	if r.flat() {
		return ring{}, &PolygonError{Err: ErrNoArea}
	}
	return r, nil
}

// written is a position as people write it, without a power of ten.
func written(p orb.Point) string {
	return strconv.FormatFloat(p[0], 'f', -1, 64) + ", " + strconv.FormatFloat(p[1], 'f', -1, 64)
}

// faultOf says what is wrong with a position, or nil.
func (r reach) faultOf(p orb.Point) (detail string, kind error) {
	if math.Abs(p[0]) <= r[0] && math.Abs(p[1]) <= r[1] {
		return "", nil
	}
	names := [2]string{"longitude", "latitude"}
	if r == onPlane {
		names = [2]string{"easting", "northing"}
	}
	for i, name := range names {
		switch v := p[i]; {
		case math.IsNaN(v) || math.IsInf(v, 0):
			return fmt.Sprintf("%s is %v", name, v), ErrNotFinite
		case math.Abs(v) > r[i]:
			return fmt.Sprintf("%s %v is not within %v to %v", name, v, -r[i], r[i]), ErrOutOfRange
		}
	}
	return "", nil
}

// flat tells whether the ring encloses nothing: its area is no more than rounding leaves of the box around it.
func (r ring) flat() bool {
	bound := boundOf(r.points)
	return r.area() <= 1e-12*(bound.Right()-bound.Left())*(bound.Top()-bound.Bottom())
}

// area is what the ring encloses, in square degrees.
func (r ring) area() float64 {
	origin := r.points[0]
	var twice float64
	for i := range r.edges() {
		a, b := r.points[i], r.points[i+1]
		twice += (a[0]-origin[0])*(b[1]-origin[1]) - (b[0]-origin[0])*(a[1]-origin[1])
	}
	return math.Abs(twice) / 2
}

func (r ring) edges() int { return len(r.points) - 1 }

// before returns the position ahead of the start of edge i, going round the ring.
func (r ring) before(i int) orb.Point {
	if i == 0 {
		i = r.edges()
	}
	return r.points[i-1]
}
