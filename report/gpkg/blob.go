package gpkg

import (
	"encoding/binary"
	"math"

	geom "github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"
)

// wgs84 is the number of the reference system of every geometry.
const wgs84 = 4326

// box is an extent: the least and the largest longitude and latitude.
type box struct{ minX, minY, maxX, maxY float64 }

func emptyBox() box {
	return box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
}

func (b *box) extend(o box) {
	b.minX, b.minY = min(b.minX, o.minX), min(b.minY, o.minY)
	b.maxX, b.maxY = max(b.maxX, o.maxX), max(b.maxY, o.maxY)
}

func (b *box) isEmpty() bool { return b.minX > b.maxX }

// Flags of the header of a geometry: little endian, and with an envelope of two axes.
const (
	littleEndian  = 1
	xyEnvelope    = 1 << 1
	headerLength  = 8
	envelopeBytes = 32
)

// blob is a geometry as a GeoPackage stores it: the header, an envelope unless it is a point, then well-known binary.
//
// Source: OGC 12-128r17, clause 2.1.3.
func blob(g geom.T) ([]byte, box, error) {
	body, err := wkb.Marshal(g, wkb.NDR)
	if err != nil {
		return nil, box{}, err
	}
	bounds := g.Bounds()
	extent := box{bounds.Min(0), bounds.Min(1), bounds.Max(0), bounds.Max(1)}
	out := make([]byte, headerLength, headerLength+envelopeBytes+len(body))
	copy(out, "GP")
	out[3] = littleEndian
	binary.LittleEndian.PutUint32(out[4:], wgs84)
	if _, point := g.(*geom.Point); !point {
		out[3] |= xyEnvelope
		for _, x := range []float64{extent.minX, extent.maxX, extent.minY, extent.maxY} {
			out = binary.LittleEndian.AppendUint64(out, math.Float64bits(x))
		}
	}
	return append(out, body...), extent, nil
}
