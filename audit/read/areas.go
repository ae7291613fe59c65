package read

import (
	"fmt"

	"dryarc/geo"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"
)

// polygonsOf returns the polygons of a geometry after looking at each; none where the geometry is of another kind. written are its coordinates
// as the file has them, or nil.
func (p *placing) polygonsOf(shape geom.T, written []float64) ([]geo.Polygon, error) {
	var parts [][]int
	switch s := shape.(type) {
	case *geom.Polygon:
		parts = [][]int{s.Ends()}
	case *geom.MultiPolygon:
		parts = s.Endss()
	default:
		return nil, nil
	}
	var polygons []geo.Polygon
	start := 0
	for i, ends := range parts {
		if len(ends) == 0 {
			continue
		}
		polygon, err := p.area(placedPolygonOf(shape, written, start, ends))
		start = ends[len(ends)-1]
		if err != nil {
			if len(parts) > 1 {
				return nil, fmt.Errorf("is no valid area: polygon %d, %w", i+1, err)
			}
			return nil, fmt.Errorf("is no valid area: %w", err)
		}
		polygons = append(polygons, polygon)
	}
	if len(polygons) == 0 {
		return nil, fmt.Errorf("is empty")
	}
	return polygons, nil
}

// placedPolygonOf takes the rings that start at a place of a geometry.
func placedPolygonOf(shape geom.T, written []float64, start int, ends []int) placedPolygon {
	polygon := placedPolygon{Polygon: planePolygon(shape.FlatCoords(), shape.Stride(), start, ends)}
	if written != nil {
		polygon.written = planePolygon(written, shape.Stride(), start, ends)
	}
	return polygon
}

// planePolygon takes the rings that start at a place of flat, longitude and latitude only. It shares flat where that
// holds nothing else.
func planePolygon(flat []float64, stride, start int, ends []int) geo.Polygon {
	last := ends[len(ends)-1]
	polygon := geo.Polygon{Ends: make([]int, len(ends))}
	if stride == 2 {
		polygon.Flat = flat[start:last:last]
	} else {
		polygon.Flat = make([]float64, 0, (last-start)/stride*2)
		for i := start; i+1 < last; i += stride {
			polygon.Flat = append(polygon.Flat, flat[i], flat[i+1])
		}
	}
	for i, end := range ends {
		polygon.Ends[i] = (end - start) / stride * 2
	}
	return polygon
}

// linesOf returns the parts of a line geometry after looking at each; none where the geometry is of another kind.
func linesOf(shape geom.T) ([][]orb.Point, error) {
	var ends []int
	switch s := shape.(type) {
	case *geom.LineString:
		ends = []int{len(s.FlatCoords())}
	case *geom.MultiLineString:
		ends = s.Ends()
	default:
		return nil, nil
	}
	flat, stride := shape.FlatCoords(), shape.Stride()
	var parts [][]orb.Point
	start := 0
	for i, end := range ends {
		part := make([]orb.Point, 0, (end-start)/stride)
		for ; start+1 < end; start += stride {
			if !inRange(flat[start], flat[start+1]) {
				return nil, fmt.Errorf("has the position %s, which is out of range, expected longitude -180 to 180 and latitude -90 to 90",
					coordinates(orb.Point{flat[start], flat[start+1]}))
			}
			part = append(part, orb.Point{flat[start], flat[start+1]})
		}
		start = end
		if len(part) < 2 {
			return nil, fmt.Errorf("has %d positions in part %d, expected at least 2", len(part), i+1)
		}
		parts = append(parts, part)
	}
	return parts, nil
}
