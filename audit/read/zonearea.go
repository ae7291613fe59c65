package read

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strconv"

	"dryarc/audit"
	"dryarc/geo"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"
)

// zoneArea is where a zone lies: the polygons that are sound, and boxes around what can be read of the rest.
type zoneArea struct {
	sound, boxes []geo.Polygon
}

// What follows from an area that is not sound.
const (
	inItsBox   = "; in the box around it creepage is not assessed, unless its class is no worse than the one in force there"
	everywhere = "; where it lies cannot be told, so creepage is assessed only where its class is no worse than the one in force"
	zoneIsOut  = "; the zone is left out"
)

// area reads where a zone lies. Of a feature without a geometry nothing is taken.
func (r *zoneReader) area(f *feature, at audit.Source) (area zoneArea) {
	fault := func(value, expected string) { r.fault(at, audit.BadGeometry, "geometry", value, expected) }
	shape, err := f.placedShape()
	if err != nil {
		value := kindOfGeometry(f.geometry)
		if value == "" {
			value = string(f.geometry)
		}
		box, what := f.box(), inItsBox
		switch {
		case errors.Is(err, errEmpty):
			fault(value, err.Error()+zoneIsOut)
			return area
		case box.IsEmpty():
			box, what = orb.Bound{Min: orb.Point{-180, -90}, Max: orb.Point{180, 90}}, everywhere
		}
		fault(value, err.Error()+what)
		return zoneArea{boxes: []geo.Polygon{polygonOf(box)}}
	}
	r.noteDimensions(f, shape)
	kind := kindOfShape(shape)
	polygons, ofMany := planePolygons(shape)
	if polygons == nil {
		if _, many := shape.(*geom.GeometryCollection); !many {
			r.notePositions(shape)
		}
		box := f.box()
		if box.IsEmpty() {
			fault(kind, "is empty"+zoneIsOut)
			return area
		}
		fault(kind, "is no polygon"+inItsBox)
		return zoneArea{boxes: []geo.Polygon{polygonOf(box)}}
	}
	r.notePositions(shape)
	for i, polygon := range polygons {
		which := ""
		if ofMany {
			which = fmt.Sprintf("polygon %d, ", i+1)
		}
		closed, rings := polygon.Closed()
		err := closed.Validate()
		box := closed.Bound()
		switch {
		case err == nil:
			for _, ring := range rings {
				fault(kind, fmt.Sprintf("%sring %d is not closed: its last position is not its first; it was closed", which, ring))
			}
			area.sound = append(area.sound, closed)
		case box.IsEmpty():
			fault(kind, fmt.Sprintf("is no valid area: %s%v%s", which, err, zoneIsOut))
		default:
			fault(kind, fmt.Sprintf("is no valid area: %s%v%s", which, err, inItsBox))
			area.boxes = append(area.boxes, polygonOf(box))
		}
	}
	return area
}

// planePolygons takes a geometry apart into polygons, longitude and latitude only; none where it is of another kind or
// empty. ofMany tells that the geometry is a multipolygon of more than one.
func planePolygons(shape geom.T) (polygons []geo.Polygon, ofMany bool) {
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
		if len(ends) > 0 {
			polygons = append(polygons, planePolygon(shape.FlatCoords(), shape.Stride(), start, ends))
			start = ends[len(ends)-1]
		}
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
		if !math.IsNaN(x) && !math.IsNaN(y) && !math.IsInf(x, 0) && !math.IsInf(y, 0) {
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

// leastBoxDeg is the least side of a box, about a metre.
const leastBoxDeg = 1e-5

// polygonOf makes an area of a box, as far as it is on the earth. One without width or height is as wide as long: it was to be an area.
func polygonOf(box orb.Bound) geo.Polygon {
	for axis := range box.Min {
		limit := 180 / float64(axis+1)
		box.Min[axis], box.Max[axis] = max(-limit, min(limit, box.Min[axis])), max(-limit, min(limit, box.Max[axis]))
	}
	longest := max(box.Right()-box.Left(), box.Top()-box.Bottom(), leastBoxDeg)
	for axis := range box.Min {
		if box.Max[axis]-box.Min[axis] < leastBoxDeg {
			limit := 180 / float64(axis+1)
			middle := (box.Min[axis] + box.Max[axis]) / 2
			box.Min[axis], box.Max[axis] = max(-limit, middle-longest/2), min(limit, middle+longest/2)
		}
	}
	west, south, east, north := box.Left(), box.Bottom(), box.Right(), box.Top()
	return geo.Polygon{Flat: []float64{west, south, east, south, east, north, west, north, west, south}, Ends: []int{10}}
}
