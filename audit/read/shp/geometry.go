package shp

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"

	geom "github.com/twpayne/go-geom"
)

// kind is a type of shape.
//
// Source: ESRI Shapefile Technical Description, July 1998, page 4.
type kind uint32

const (
	null       kind = 0
	point      kind = 1
	polyLine   kind = 3
	polygon    kind = 5
	multiPoint kind = 8
	withZ      kind = 10 // added to those above: heights, and measures, which may be left out
	withM      kind = 20 // added to those above: measures
	multiPatch kind = 31
)

// plain takes a kind apart into that of the plane and whether there are heights or measures.
func (k kind) plain() (plane kind, z, m bool) {
	switch {
	case k > withM:
		return k - withM, false, true
	case k > withZ:
		return k - withZ, true, true
	}
	return k, false, false
}

func (k kind) known() bool {
	plane, _, _ := k.plain()
	return k == null || plane == point || plane == polyLine || plane == polygon || plane == multiPoint
}

func (k kind) String() string {
	if k == multiPatch {
		return "type 31 (multipatch)"
	}
	return fmt.Sprintf("type %d", uint32(k))
}

const (
	positionBytes = 16
	numberBytes   = 8
	boxBytes      = 32
	rangeBytes    = 16
)

var errNotFinite = errors.New("has a coordinate that is not a number")

// geometry decodes the content of a record; nil without an error where the shape is null. Heights are kept, measures are
// not. What is wrong with the shape is an error, and a geometry beside it holds what positions could be read all the same.
func geometry(declared kind, content []byte) (geom.T, error) {
	if len(content) < 4 {
		return nil, fmt.Errorf("has %d bytes, expected its type", len(content))
	}
	k, content := kind(binary.LittleEndian.Uint32(content)), content[4:]
	switch {
	case k == null:
		if len(content) != 0 {
			return nil, fmt.Errorf("is of the type 0, without a position, but has %d bytes of one", len(content))
		}
		return nil, nil
	case k != declared:
		return nil, fmt.Errorf("is of %s, but the shapes of the file are of %s", k, declared)
	}
	plane, z, m := k.plain()
	if plane == point {
		return pointOf(content, z, m)
	}
	s, err := shapeOf(content, plane, z, m)
	if err != nil {
		return nil, err
	}
	if s.points == 0 {
		return nil, nil
	}
	layout, flat := s.flat()
	for _, value := range flat {
		if math.IsNaN(value) || math.IsInf(value, 0) {
			return geom.NewMultiPointFlat(layout, flat), errNotFinite
		}
	}
	switch plane {
	case multiPoint:
		return geom.NewMultiPointFlat(layout, flat), nil
	case polyLine:
		if len(s.ends) == 1 {
			return geom.NewLineStringFlat(layout, flat), nil
		}
		return geom.NewMultiLineStringFlat(layout, flat, s.ends), nil
	}
	made, err := polygonOf(layout, flat, s.ends)
	if err != nil {
		return geom.NewMultiPointFlat(layout, flat), err
	}
	return made, nil
}

// pointOf decodes a point. A measure behind it may be left out where there is a height.
func pointOf(content []byte, z, m bool) (geom.T, error) {
	layout, least, most := geom.XY, positionBytes, positionBytes
	switch {
	case z:
		layout, least, most = geom.XYZ, positionBytes+numberBytes, positionBytes+2*numberBytes
	case m:
		most += numberBytes
	}
	if len(content) != least && len(content) != most {
		return nil, fmt.Errorf("has %d bytes behind its type, expected %d", len(content), most)
	}
	flat := make([]float64, layout.Stride())
	for i := range flat {
		if flat[i] = number(content[i*numberBytes:]); math.IsNaN(flat[i]) || math.IsInf(flat[i], 0) {
			return nil, errNotFinite
		}
	}
	return geom.NewPointFlat(layout, flat), nil
}

// shape is a shape of many positions as it stands in its record.
type shape struct {
	points          int
	ends            []int // in the flat coordinates, of its parts
	stride          int
	places, heights []byte
}

// shapeOf takes a shape apart: the box around it, the numbers of parts and positions, where the parts start, the
// positions; then, each behind its range, heights and measures.
func shapeOf(content []byte, plane kind, z, m bool) (s shape, err error) {
	start := boxBytes + 4
	if plane != multiPoint {
		start += 4
	}
	if len(content) < start {
		return s, fmt.Errorf("has %d bytes behind its type, expected %d and more", len(content), start)
	}
	parts := int64(0)
	if plane != multiPoint {
		parts = int64(binary.LittleEndian.Uint32(content[boxBytes:]))
	}
	points := int64(binary.LittleEndian.Uint32(content[start-4:]))
	places := int64(start) + 4*parts
	heights := places + positionBytes*points
	least, most := heights, heights
	measured := rangeBytes + numberBytes*points
	if z {
		least, most = least+measured, most+measured
	}
	if m {
		most += measured
	}
	if n := int64(len(content)); n != least && n != most {
		return s, fmt.Errorf("has %d bytes behind its type, expected %d for its %d parts and %d positions", n, most, parts, points)
	}
	s = shape{points: int(points), stride: 2, places: content[places:heights]}
	if z {
		s.stride, s.heights = 3, content[heights+rangeBytes:heights+measured]
	}
	if plane != multiPoint {
		s.ends, err = partEnds(content[start:places], points, s.stride)
	}
	return s, err
}

// partEnds reads where the parts start and returns where they end in the flat coordinates.
func partEnds(starts []byte, points int64, stride int) ([]int, error) {
	count := len(starts) / 4
	if count == 0 && points > 0 {
		return nil, fmt.Errorf("has %d positions in no part", points)
	}
	ends := make([]int, count)
	before := int64(-1)
	for i := range count {
		from := int64(binary.LittleEndian.Uint32(starts[4*i:]))
		if i == 0 && from != 0 || from <= before || from >= points && points > 0 {
			return nil, fmt.Errorf("has a part %d from position %d on, of %d positions", i+1, from, points)
		}
		before = from
		if i > 0 {
			ends[i-1] = int(from) * stride
		}
	}
	if count > 0 {
		ends[count-1] = int(points) * stride
	}
	return ends, nil
}

func (s *shape) flat() (geom.Layout, []float64) {
	flat := make([]float64, 0, s.points*s.stride)
	for i := range s.points {
		flat = append(flat, number(s.places[i*positionBytes:]), number(s.places[i*positionBytes+numberBytes:]))
		if s.stride == 3 {
			flat = append(flat, number(s.heights[i*numberBytes:]))
		}
	}
	if s.stride == 3 {
		return geom.XYZ, flat
	}
	return geom.XY, flat
}

func number(raw []byte) float64 { return math.Float64frombits(binary.LittleEndian.Uint64(raw)) }
