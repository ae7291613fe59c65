package geo

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"
)

// stretchEdges is how many edges share one box in a look-up: fewer make the tree large, more make each box coarse.
const stretchEdges = 12

// stretch is a run of consecutive edges of one path: edge i goes from position i to i+1, first ≤ i < last.
type stretch struct {
	path, first, last int32
}

// addStretches cuts the edges of a path from position start on into stretches and puts them into the tree.
func addStretches(tree *rtree.RTreeG[stretch], path int, points []orb.Point, start int) {
	for first := start; first+1 < len(points); first += stretchEdges {
		last := min(first+stretchEdges, len(points)-1)
		bound := boundOf(points[first : last+1])
		tree.Insert(bound.Min, bound.Max, stretch{int32(path), int32(first), int32(last)})
	}
}

// boundOf returns the box around finite positions, of which there is one at least. Written out because Bound of orb takes
// several times as long.
func boundOf(points []orb.Point) orb.Bound {
	bound := orb.Bound{Min: points[0], Max: points[0]}
	for _, p := range points[1:] {
		bound.Min = orb.Point{min(bound.Min[0], p[0]), min(bound.Min[1], p[1])}
		bound.Max = orb.Point{max(bound.Max[0], p[0]), max(bound.Max[1], p[1])}
	}
	return bound
}

// unwrap returns the path with longitudes that go on beyond ±180 instead of jumping, starting within half a turn of
// the longitude near.
func unwrap(points []orb.Point, near float64) []orb.Point {
	path := make([]orb.Point, len(points))
	for i, p := range points {
		path[i] = turnedTo(p, near)
		near = path[i][0]
	}
	return path
}

// turnedTo returns p with its longitude turned by whole circles to within half a circle of the longitude near.
func turnedTo(p orb.Point, near float64) orb.Point {
	if apart := p[0] - near; math.Abs(apart) > 180 {
		p[0] -= 360 * math.Round(apart/360)
	}
	return p
}
