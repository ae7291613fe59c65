package read

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"dryarc/audit"
	jsontext "dryarc/audit/read/json"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/geojson"
)

// errEmpty is what is wrong with a geometry that is not there.
var errEmpty = errors.New("is empty")

// decodeGeometry decodes a geometry; the error says in words what is wrong with it.
func decodeGeometry(raw json.RawMessage) (shape geom.T, err error) {
	defer func() {
		if p := recover(); p != nil {
			shape, err = nil, fmt.Errorf("cannot be decoded (%v)", p)
		}
	}()
	var g geojson.Geometry
	if jsontext.HasNotFinite(raw) {
		return nil, fmt.Errorf("has a coordinate that is not a number")
	}
	switch {
	case len(raw) == 0 || string(raw) == "null" || string(raw) == "[]" || string(raw) == "{}":
		return nil, errEmpty
	case json.Unmarshal(raw, &g) != nil:
		return nil, fmt.Errorf("is no geometry")
	case g.Coordinates != nil && strings.Contains(string(*g.Coordinates), "null"):
		return nil, fmt.Errorf("has a coordinate that is not a number")
	}
	shape, err = g.Decode()
	switch {
	case err != nil:
		return nil, geometryProblem(err)
	case shape == nil || shape.Empty():
		return nil, errEmpty
	}
	return shape, nil
}

// kindOfShape is the type of a geometry as GeoJSON writes it.
func kindOfShape(shape geom.T) string {
	kind := fmt.Sprintf("%T", shape)
	return kind[strings.LastIndexByte(kind, '.')+1:]
}

func kindOfGeometry(raw json.RawMessage) string {
	var g struct {
		Type string `json:"type"`
	}
	if json.Unmarshal(raw, &g) != nil {
		return ""
	}
	return g.Type
}

// geometryProblem words what the decoder said.
func geometryProblem(err error) error {
	var few geojson.ErrDimensionalityTooLow
	var kind geojson.ErrUnsupportedType
	var unlike geom.ErrStrideMismatch
	switch {
	case errors.As(err, &few):
		return fmt.Errorf("has a position of less than two coordinates, expected longitude and latitude")
	case errors.As(err, &kind):
		return fmt.Errorf("is of the unknown type %q", string(kind))
	case errors.As(err, &unlike):
		return fmt.Errorf("has positions with %d and with %d coordinates", unlike.Want, unlike.Got)
	}
	return fmt.Errorf("has coordinates that are no positions")
}

// positionCount counts how many of the positions of an input can be longitude, latitude.
type positionCount struct {
	total, outside, swappable int
}

// inRange tells whether a position is longitude, latitude in degrees.
func inRange(lon, lat float64) bool { return math.Abs(lon) <= 180 && math.Abs(lat) <= 90 }

// isPosition tells whether both coordinates are numbers.
func isPosition(x, y float64) bool { return !math.IsNaN(x-x) && !math.IsNaN(y-y) }

// note counts a position, whose system it tells something of where it is one, and tells whether it is in range.
func (c *positionCount) note(lon, lat float64) bool {
	if !isPosition(lon, lat) {
		return false
	}
	c.total++
	if inRange(lon, lat) {
		return true
	}
	c.outside++
	if inRange(lat, lon) {
		c.swappable++
	}
	return false
}

const swapHint = "exchange the two coordinates; GeoJSON has longitude first, then latitude"

// refused tells whether too many are outside for an input to be of the system it is taken to be in.
func (c *positionCount) refused() bool {
	const few = 4 // at most one in so many
	return (c.outside > 1 || c.outside == c.total) && c.outside*few > c.total
}

// check refuses an input whose positions are no longitude, latitude. A few that are not are faults of their features.
func (c *positionCount) check(file, section string, example orb.Point) error {
	if !c.refused() {
		return nil
	}
	if 2*c.swappable > c.outside {
		return &InputError{File: file, Hint: swapHint,
			Message: fmt.Sprintf("%d of %d positions have a latitude beyond 90 degrees, such as [%s]; longitude and latitude are swapped",
				c.outside, c.total, coordinates(example))}
	}
	return &InputError{File: file, Hint: convertFromHint(file, section),
		Message: fmt.Sprintf("%d of %d positions are no degrees, such as [%s]; these are projected coordinates, expected WGS 84 longitude, latitude",
			c.outside, c.total, coordinates(example))}
}

func coordinates(at orb.Point) string {
	return strconv.FormatFloat(at[0], 'f', -1, 64) + ", " + strconv.FormatFloat(at[1], 'f', -1, 64)
}

// extent is where features are.
type extent struct {
	orb.Bound
	exchanged orb.Bound       // around those of projected files, if easting and northing were exchanged there
	eitherWay []eitherDegrees // tables of points in degrees that do not say which is the longitude
}

// farDegrees is how far structures and zones may lie apart before swapped axes are suspected.
const farDegrees = 5

// apart is the distance of two boxes in degrees along the axis on which it is the larger; 0 where they meet.
func apart(a, b orb.Bound) float64 {
	return max(0, b.Min[0]-a.Max[0], a.Min[0]-b.Max[0], b.Min[1]-a.Max[1], a.Min[1]-b.Max[1])
}

// swapped is the box with its axes exchanged.
func swapped(b orb.Bound) orb.Bound {
	return orb.Bound{Min: orb.Point{b.Min[1], b.Min[0]}, Max: orb.Point{b.Max[1], b.Max[0]}}
}

// point returns longitude, latitude and height, NaN where the point has none.
func (l *layer) point(f *feature) ([3]float64, bool) {
	if position, count, ok := f.placedPosition(); ok && inRange(position[0], position[1]) {
		if count < 3 {
			position[2] = math.NaN()
		}
		l.positions.note(position[0], position[1])
		return position, true
	}
	shape, err := f.placedShape()
	var untold *untoldCoordinate
	if errors.As(err, &untold) {
		fault := audit.Fault{Kind: audit.BadGeometry, At: l.source(f), Column: untold.heading, Value: untold.written, Expected: untold.problem + "; the feature is left out"}
		if l.idle {
			fault.Weight = audit.ByTheWay
		}
		l.project.Faults.Gather(fault, "untold")
		return [3]float64{}, false
	}
	if err != nil {
		l.leftOut(f, audit.BadGeometry, "geometry", string(f.geometry), err.Error())
		return [3]float64{}, false
	}
	l.noteDimensions(f, shape)
	var flat []float64
	switch s := shape.(type) {
	case *geom.Point:
		flat = s.FlatCoords()
	case *geom.MultiPoint:
		if s.NumPoints() == 1 {
			flat = s.FlatCoords()
		}
	}
	if flat == nil {
		l.leftOut(f, audit.BadGeometry, "geometry", kindOfShape(shape), "is no point")
		return [3]float64{}, false
	}
	if !isPosition(flat[0], flat[1]) {
		l.leftOut(f, audit.BadGeometry, "geometry", coordinates(orb.Point{flat[0], flat[1]}), "is no position, expected numbers")
		return [3]float64{}, false
	}
	if !l.positions.note(flat[0], flat[1]) {
		l.outsider = orb.Point{flat[0], flat[1]}
		l.leftOut(f, audit.BadGeometry, "geometry", coordinates(l.outsider),
			"is out of range, expected longitude -180 to 180 and latitude -90 to 90")
		return [3]float64{}, false
	}
	height := math.NaN()
	if shape.Layout().ZIndex() == 2 {
		height = flat[2]
	}
	return [3]float64{flat[0], flat[1], height}, true
}
