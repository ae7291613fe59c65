package jsontext

import (
	"bytes"

	"github.com/twpayne/go-geom"
)

// plainGeometry is a geometry as most are written: type and coordinates alone, nothing empty, all positions of two or
// all of three numbers. Its coordinates are read straight from the text into the flat form of go-geom, past its decoder, which
// took most of the time of reading zones. What is written otherwise is for that decoder, which knows what is wrong with it.
type plainGeometry struct {
	kind   []byte    // its type in quotes
	depth  int       // of the lists that its coordinates are, 1 for a position alone
	flat   []float64 // set, with room, where the caller knows how many there are
	stride int       // numbers in each position
	ends   []int     // in flat, of the lists of positions in the list of such that is being read
	endss  [][]int   // the same of all the lists of lists
}

// PlainShape decodes a geometry, whose text is known to be sound; nil where it is no plain line or area.
func PlainShape(raw []byte) geom.T {
	var g plainGeometry
	if !g.read(raw) {
		return nil
	}
	layout := geom.XY
	if g.stride == 3 {
		layout = geom.XYZ
	}
	switch {
	case g.is("LineString", 2):
		return geom.NewLineStringFlat(layout, g.flat)
	case g.is("MultiLineString", 3):
		return geom.NewMultiLineStringFlat(layout, g.flat, g.endss[0])
	case g.is("Polygon", 3):
		return geom.NewPolygonFlat(layout, g.flat, g.endss[0])
	case g.is("MultiPolygon", 4):
		return geom.NewMultiPolygonFlat(layout, g.flat, g.endss)
	}
	return nil
}

// asMostPoints is how the geometry of a point mostly begins.
const asMostPoints = `{"type":"Point","coordinates":[`

// PlainPoint returns the position of a point, whose text is known to be sound, in room if it has enough; nil where the
// geometry is no plain point.
func PlainPoint(raw []byte, room []float64) []float64 {
	g := plainGeometry{flat: room[:0]}
	if last := len(raw) - 1; bytes.HasPrefix(raw, []byte(asMostPoints)) && raw[last] == '}' {
		if end, plain := g.position(raw, len(asMostPoints)-1); plain && end == last && (g.stride == 2 || g.stride == 3) {
			return g.flat
		}
		g = plainGeometry{flat: room[:0]}
	}
	if !g.read(raw) || !g.is("Point", 1) {
		return nil
	}
	return g.flat
}

// is tells whether the geometry is of a type and nested as deep as that has to be.
func (g *plainGeometry) is(kind string, depth int) bool {
	return g.depth == depth && string(g.kind[1:len(g.kind)-1]) == kind
}

// read reads the text of a geometry, which is known to be sound, and tells whether it is plain.
func (g *plainGeometry) read(raw []byte) bool {
	if charAt(raw, 0) != '{' {
		return false
	}
	for i := 0; ; {
		name, value, err := skipName(raw, skipBlanks(raw, i+1))
		if err != nil {
			return false
		}
		plain := false
		switch {
		case string(name) == `"type"` && g.kind == nil && charAt(raw, value) == '"':
			i, err = skipString(raw, value)
			g.kind, plain = raw[value:i], err == nil
		case string(name) == `"coordinates"` && g.stride == 0:
			i, plain = g.coordinates(raw, value)
		}
		if !plain {
			return false
		}
		switch i = skipBlanks(raw, i); charAt(raw, i) {
		case ',':
		default:
			return charAt(raw, i) == '}' && g.kind != nil && (g.stride == 2 || g.stride == 3)
		}
	}
}

// coordinates reads the coordinates that start at a place of the text and returns the place behind them.
func (g *plainGeometry) coordinates(raw []byte, i int) (int, bool) {
	for at := i; charAt(raw, at) == '['; at = skipBlanks(raw, at+1) {
		g.depth++
	}
	if g.flat == nil {
		g.flat = make([]float64, 0, bytes.Count(raw[i:], []byte{','})+1)
	}
	return g.list(raw, i, g.depth)
}

// list reads a list in which others are nested so deep.
func (g *plainGeometry) list(raw []byte, i, depth int) (int, bool) {
	if charAt(raw, i) != '[' {
		return i, false
	}
	if depth == 1 {
		return g.position(raw, i)
	}
	for {
		plain := false
		if i, plain = g.list(raw, skipBlanks(raw, i+1), depth-1); !plain {
			return i, false
		}
		switch i = skipBlanks(raw, i); charAt(raw, i) {
		case ',':
		case ']':
			switch depth {
			case 2:
				g.ends = append(g.ends, len(g.flat))
			case 3:
				g.endss, g.ends = append(g.endss, g.ends), nil
			}
			return i + 1, true
		default:
			return i, false
		}
	}
}

func (g *plainGeometry) position(raw []byte, i int) (int, bool) {
	start := len(g.flat)
	for {
		value, end, ok := coordinateAt(raw, skipBlanks(raw, i+1))
		if !ok {
			return i, false
		}
		g.flat = append(g.flat, value)
		switch i = skipBlanks(raw, end); charAt(raw, i) {
		case ',':
		case ']':
			count := len(g.flat) - start
			if g.stride == 0 {
				g.stride = count
			}
			return i + 1, count == g.stride
		default:
			return i, false
		}
	}
}

// charAt is the character at a place of a text, 0 behind its end.
func charAt(text []byte, i int) byte {
	if i < len(text) {
		return text[i]
	}
	return 0
}
