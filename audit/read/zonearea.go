package read

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"

	"dryarc/audit"
	"dryarc/geo"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"
)

// zoneArea is where a zone lies: the polygons that are sound, and boxes in which the rest of it may lie.
type zoneArea struct {
	sound, boxes []geo.Polygon
	anywhere     bool // nothing tells where the rest lies
}

// What follows from an area that is not sound.
const (
	unlessNoWorse = "creepage is not assessed, unless its class is no worse than the one in force there"
	inItsBox      = "; in the box around it, wider by its own size on every side, " + unlessNoWorse
	inItsBbox     = "; in its bbox " + unlessNoWorse
	everywhere    = "; where it lies cannot be told, so creepage is assessed only where its class is no worse than the one in force"
	zoneIsOut     = "; the zone is left out"
)

// area reads where a zone lies.
func (r *zoneReader) area(f *feature, at audit.Source) (found zoneArea) {
	broken := func(value, expected string, readable orb.Bound) {
		box, what := f.mayLieIn(readable, f.distinct())
		r.fault(at, audit.BadGeometry, "geometry", value, expected+what)
		if box.IsEmpty() {
			found.anywhere = true
		} else {
			found.boxes = append(found.boxes, polygonOf(box))
		}
	}
	shape, written, err := f.placedEdges()
	if err != nil {
		value := kindOfGeometry(f.geometry)
		if value == "" {
			value = string(f.geometry)
		}
		broken(value, err.Error(), f.box())
		return found
	}
	r.noteDimensions(f, shape)
	kind := kindOfShape(shape)
	polygons, ofMany := planePolygons(shape, written)
	if polygons == nil {
		if _, many := shape.(*geom.GeometryCollection); !many {
			r.notePositions(shape)
		}
		broken(kind, "is no polygon", f.box())
		return found
	}
	r.notePositions(shape)
	for i, polygon := range polygons {
		which := ""
		if ofMany {
			which = fmt.Sprintf("polygon %d, ", i+1)
		}
		closed, rings := polygon.closed()
		area, err := f.placing.area(closed)
		if err != nil {
			readable := closed.Bound()
			if len(closed.Flat) == 0 { // of a part that is not there the others tell no more than about where
				readable = f.box()
			}
			broken(kind, fmt.Sprintf("is no valid area: %s%v", which, err), readable)
			continue
		}
		for _, ring := range rings {
			r.fault(at, audit.BadGeometry, "geometry", kind, fmt.Sprintf("%sring %d is not closed: its last position is not its first; it was closed", which, ring))
		}
		found.sound = append(found.sound, area)
	}
	return found
}

// mayLieIn is the box in which what is broken may lie, empty where nothing tells, and what follows. A position that is lost or
// wrong may lie beyond those that can be read, but hardly farther from them than they are from each other. What the feature states
// as its bbox holds beside that, since a program may have made it of what is broken; alone it is the extent. Fewer than three positions,
// or such as lie in a row along a parallel or a meridian, tell nothing of how far it goes across.
func (f *feature) mayLieIn(readable orb.Bound, positions int) (box orb.Bound, what string) {
	box, stated := widened(readable), f.statedBox()
	if positions < fewestPositions || isFlat(readable) {
		box = nothing()
	}
	switch {
	case box.IsEmpty() && stated.IsEmpty():
		return box, everywhere
	case box.IsEmpty():
		return stated, inItsBbox
	}
	return box.Union(stated), inItsBox
}

const fewestPositions = 3

// isFlat tells whether a box is less than a hundredth as wide as it is long.
func isFlat(box orb.Bound) bool {
	width, height := box.Right()-box.Left(), box.Top()-box.Bottom()
	return min(width, height) < max(width, height)/100
}

// distinct counts the different positions of a feature that can be read, no more than are enough.
func (f *feature) distinct() int {
	var seen []orb.Point
	note := func(x, y float64) {
		if at := (orb.Point{x, y}); len(seen) < fewestPositions && !slices.Contains(seen, at) && !math.IsNaN(x) && !math.IsNaN(y) {
			seen = append(seen, at)
		}
	}
	if len(f.geometry) > 0 {
		eachPosition(f.geometry, note)
	} else if f.decoded != nil {
		eachOfShape(f.decoded, note)
	}
	return len(seen)
}

// wholeEarth is the box around everything.
var wholeEarth = orb.Bound{Min: orb.Point{-180, -90}, Max: orb.Point{180, 90}}

// widened is a box in WGS 84 wider by its own size on every side, the longer of height and width; empty where it has no size. A
// box that reaches beyond the antimeridian goes all round.
func widened(box orb.Bound) orb.Bound {
	for axis := range box.Min {
		box.Min[axis], box.Max[axis] = max(wholeEarth.Min[axis], box.Min[axis]), min(wholeEarth.Max[axis], box.Max[axis])
	}
	if box.IsEmpty() || box.Min == box.Max {
		return nothing()
	}
	shrinks := func(lat float64) float64 { return math.Cos(lat * math.Pi / 180) } // a degree of longitude against one of latitude
	narrowest := min(shrinks(box.Bottom()), shrinks(box.Top()))
	widest := max(shrinks(box.Bottom()), shrinks(box.Top()))
	if box.Bottom() < 0 && box.Top() > 0 {
		widest = 1
	}
	size := max((box.Right()-box.Left())*widest, box.Top()-box.Bottom())
	margin := orb.Point{size / max(narrowest, 1e-3), size}
	for axis := range box.Min {
		box.Min[axis], box.Max[axis] = box.Min[axis]-margin[axis], box.Max[axis]+margin[axis]
	}
	if box.Left() < -180 || box.Right() > 180 {
		box.Min[0], box.Max[0] = -180, 180
	}
	box.Min[1], box.Max[1] = max(-90, box.Min[1]), min(90, box.Max[1])
	return box
}

// statedBox is the member bbox of a feature or of its geometry in WGS 84: west, south, east, north, or six figures with heights.
// Empty where there is none, it cannot be read or has no size. One whose west is east of its east crosses the antimeridian
// and goes all round.
func (f *feature) statedBox() orb.Bound {
	raw := f.bbox
	if len(raw) == 0 {
		var g struct {
			Box json.RawMessage `json:"bbox"`
		}
		if json.Unmarshal(f.geometry, &g) == nil {
			raw = g.Box
		}
	}
	var figures []float64
	if json.Unmarshal(raw, &figures) != nil || len(figures) != 4 && len(figures) != 6 {
		return nothing()
	}
	half := len(figures) / 2
	low, high := orb.Point{figures[0], figures[1]}, orb.Point{figures[half], figures[half+1]}
	box := nothing()
	for _, corner := range [...]orb.Point{low, {low[0], high[1]}, {high[0], low[1]}, high} {
		at, ok := f.onEarth(corner)
		if !ok {
			return nothing()
		}
		box = box.Extend(at)
	}
	switch {
	case low[1] > high[1], box.Min == box.Max:
		return nothing()
	case low[0] > high[0]:
		box.Min[0], box.Max[0] = -180, 180
	case f.placing.projected(): // its sides are bent
		box = widened(box)
	}
	return box
}

// onEarth takes a position as it is written to WGS 84; ok is false where it is none.
func (f *feature) onEarth(at orb.Point) (orb.Point, bool) {
	if f.placing.projected() && !inRange(at[0], at[1]) {
		var ok bool
		at[0], at[1], ok = f.placing.position(at[0], at[1])
		return at, ok
	}
	return at, inRange(at[0], at[1])
}

// planePolygons takes a geometry apart into polygons, longitude and latitude only; none where it is of another kind, and one
// without a ring for a part that has none. ofMany tells that the geometry is a multipolygon of more than one. written are its coordinates as
// the file has them, or nil.
func planePolygons(shape geom.T, written []float64) (polygons []placedPolygon, ofMany bool) {
	var parts [][]int
	switch s := shape.(type) {
	case *geom.Polygon:
		parts = [][]int{s.Ends()}
	case *geom.MultiPolygon:
		parts = s.Endss()
	default:
		return nil, false
	}
	start := 0
	for _, ends := range parts {
		if len(ends) == 0 {
			polygons = append(polygons, placedPolygon{})
			continue
		}
		polygons = append(polygons, placedPolygonOf(shape, written, start, ends))
		start = ends[len(ends)-1]
	}
	return polygons, len(parts) > 1
}

// box is the box in WGS 84 around the positions of a feature that can be read, whatever its geometry is; empty where
// none can.
func (f *feature) box() orb.Bound {
	box := nothing()
	extend := func(x, y float64) {
		if f.placing.projected() && !inRange(x, y) {
			var ok bool
			if x, y, ok = f.placing.position(x, y); !ok {
				return
			}
		}
		if isPosition(x, y) {
			box = box.Extend(orb.Point{x, y})
		}
	}
	if len(f.geometry) > 0 {
		eachPosition(f.geometry, extend)
	} else if f.decoded != nil {
		eachOfShape(f.decoded, extend)
	}
	return box
}

func eachOfShape(shape geom.T, visit func(x, y float64)) {
	if many, is := shape.(*geom.GeometryCollection); is {
		for _, part := range many.Geoms() {
			eachOfShape(part, visit)
		}
		return
	}
	flat, stride := shape.FlatCoords(), shape.Stride()
	for i := 0; i+1 < len(flat); i += stride {
		visit(flat[i], flat[i+1])
	}
}

// eachPosition visits what can be a position in the text of a geometry: each innermost list whose first two entries are
// numbers.
func eachPosition(text []byte, visit func(x, y float64)) {
	start := -1
	for i, c := range text {
		switch c {
		case '[':
			start = i + 1
		case ']':
			if start >= 0 {
				entries := bytes.Split(text[start:i], []byte(","))
				if len(entries) >= 2 {
					x, okX := looseNumber(entries[0])
					y, okY := looseNumber(entries[1])
					if okX && okY {
						visit(x, y)
					}
				}
			}
			start = -1
		}
	}
}

func looseNumber(text []byte) (float64, bool) {
	value, err := strconv.ParseFloat(string(bytes.Trim(text, " \t\r\n\"")), 64)
	return value, err == nil
}

// polygonOf makes an area of a box.
func polygonOf(box orb.Bound) geo.Polygon {
	west, south, east, north := box.Left(), box.Bottom(), box.Right(), box.Top()
	return geo.Polygon{Flat: []float64{west, south, east, south, east, north, west, north, west, south}, Ends: []int{10}}
}
