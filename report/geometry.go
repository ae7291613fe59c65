package report

import (
	"math"

	"dryarc/audit"

	"github.com/paulmach/orb"
	geom "github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/geojson"
)

// routeOf lists the positions an exception is shown at: its structure, the structures from it to the far one, or those
// of the whole line.
func routeOf(r *audit.Result, e *audit.Exception) []orb.Point {
	first, last := e.Structure, e.To
	switch {
	case e.Structure < 0:
		line := &r.Network.Lines[e.Line]
		first, last = line.First, line.End-1
	case e.To < 0:
		last = e.Structure
	}
	first, last = min(first, last), max(first, last)
	route := make([]orb.Point, 0, last-first+1)
	for i := first; i <= last; i++ {
		route = append(route, r.Network.Position(i))
	}
	return route
}

// geometryOf is the shape of a route as GeoJSON, nil for none.
func geometryOf(route []orb.Point) (*geojson.Geometry, error) {
	shape := shapeOf(route)
	if shape == nil {
		return nil, nil
	}
	return geojson.Encode(shape)
}

// shapeOf is a Point, a LineString, or, where the route crosses the 180th meridian, a MultiLineString cut there as
// RFC 7946 has it. Coordinates are written as they were read. A position that is not known gives nil.
func shapeOf(route []orb.Point) geom.T {
	for _, p := range route {
		if unknown(p[0]) || unknown(p[1]) {
			return nil
		}
	}
	if len(route) == 1 {
		return geom.NewPointFlat(geom.XY, []float64{route[0][0], route[0][1]})
	}
	var flat []float64
	var ends []int
	for i, p := range route {
		if i > 0 && math.Abs(p[0]-route[i-1][0]) > 180 {
			latitude, side := crossing(route[i-1], p)
			flat = append(flat, side, latitude)
			ends = append(ends, len(flat))
			flat = append(flat, -side, latitude)
		}
		flat = append(flat, p[0], p[1])
	}
	if len(ends) == 0 {
		return geom.NewLineStringFlat(geom.XY, flat)
	}
	return geom.NewMultiLineStringFlat(geom.XY, flat, append(ends, len(flat)))
}

// crossing is where the way from a to b meets the 180th meridian: the latitude, and the longitude (180 or −180) on the
// side of a.
func crossing(a, b orb.Point) (latitude, side float64) {
	side = math.Copysign(180, a[0])
	toMeridian, beyond := math.Abs(side-a[0]), math.Abs(-side-b[0])
	if toMeridian+beyond == 0 {
		return a[1], side
	}
	return a[1] + (b[1]-a[1])*toMeridian/(toMeridian+beyond), side
}
