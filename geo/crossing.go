package geo

import (
	"slices"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"
)

// Barrier is what a span may cross: lines and polygons under one key.
type Barrier struct {
	Lines    [][]orb.Point
	Polygons []Polygon
	Key      int
}

// Barriers answers which of many barriers a span crosses. Safe for use by many goroutines.
type Barriers struct {
	edges    rtree.RTreeG[stretch]
	paths    [][]orb.Point
	pathKeys []int
	areas    Areas
}

// NewBarriers prepares barriers for look-up. A line that jumps by more than half a turn in longitude is taken to cross
// the antimeridian. Left out: edges of lines to or from a position that is not finite, and polygons that NewAreas
// leaves out.
func NewBarriers(barriers []Barrier) *Barriers {
	b := &Barriers{}
	var areas []Area
	for _, barrier := range barriers {
		for _, line := range barrier.Lines {
			for _, points := range finiteRuns(line) {
				b.add(barrier.Key, unwrap(points, points[0][0]))
			}
		}
		for _, polygon := range barrier.Polygons {
			rings, _ := polygon.rings()
			for _, r := range rings {
				b.add(barrier.Key, r.points)
			}
		}
		areas = append(areas, Area{Polygons: barrier.Polygons, Key: barrier.Key})
	}
	b.areas = *NewAreas(areas)
	return b
}

func (b *Barriers) add(key int, path []orb.Point) {
	addStretches(&b.edges, len(b.paths), path, 0)
	b.paths = append(b.paths, path)
	b.pathKeys = append(b.pathKeys, key)
}

// finiteRuns cuts a line at positions that are not finite.
func finiteRuns(line []orb.Point) [][]orb.Point {
	var runs [][]orb.Point
	start := 0
	for i := 0; i <= len(line); i++ {
		if i < len(line) && finite(line[i]) {
			continue
		}
		if i > start {
			runs = append(runs, line[start:i])
		}
		start = i + 1
	}
	return runs
}

// Crossed visits the key of every barrier that the span crosses, touches or lies in, each key once and rising. An end
// of the span that stands in a polygon counts.
//
// The span is taken as straight in longitude and latitude, the short way round the earth; from the geodesic that departs
// by less than 0.1 m in a span of 2 km at 50° of latitude. On the coordinates given the answer is exact.
func (b *Barriers) Crossed(from, to orb.Point, visit func(key int)) {
	if len(b.paths) == 0 || !finite(from) || !finite(to) {
		return
	}
	var room [16]int
	keys := room[:0]
	b.areas.Each(from, func(key, _ int) { keys = append(keys, key) })
	to = turnedTo(to, from[0])
	for turn := -360.0; turn <= 360; turn += 360 {
		start, end := orb.Point{from[0] + turn, from[1]}, orb.Point{to[0] + turn, to[1]}
		bound := orb.Bound{Min: start, Max: start}.Extend(end)
		b.edges.Search(bound.Min, bound.Max, func(_, _ [2]float64, s stretch) bool {
			path := b.paths[s.path]
			for i := s.first; i < s.last; i++ {
				if edgesMeet(start, end, path[i], path[i+1]) {
					keys = append(keys, b.pathKeys[s.path])
					break
				}
			}
			return true
		})
	}
	slices.Sort(keys)
	for _, key := range slices.Compact(keys) {
		visit(key)
	}
}
