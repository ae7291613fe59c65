package gpkg

import (
	"fmt"

	geom "github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"
	"github.com/twpayne/go-geom/encoding/wkbcommon"
)

// The header of a geometry: the letters GP, a version, flags, the number of the reference system; then an envelope whose
// length the flags tell.
//
// Source: OGC 12-128r17, clause 2.1.3.
const (
	headerLength  = 8
	emptyFlag     = 1 << 4
	extendedFlag  = 1 << 5
	envelopeShift = 1
	envelopeMask  = 7
)

var envelopeLengths = [...]int{0, 32, 48, 48, 64}

// geometry decodes a geometry as a GeoPackage stores it; nil where there is none.
func geometry(value any) (shape geom.T, err error) {
	if value == nil {
		return nil, nil
	}
	blob, ok := value.([]byte)
	switch {
	case !ok || len(blob) < headerLength || string(blob[:2]) != "GP":
		return nil, fmt.Errorf("is no geometry of a GeoPackage")
	case blob[3]&extendedFlag != 0:
		return nil, fmt.Errorf("is of an extended type")
	case blob[3]&emptyFlag != 0:
		return nil, nil
	}
	kind := int(blob[3] >> envelopeShift & envelopeMask)
	if kind >= len(envelopeLengths) || len(blob) < headerLength+envelopeLengths[kind] {
		return nil, fmt.Errorf("is no geometry of a GeoPackage")
	}
	defer func() {
		if p := recover(); p != nil {
			shape, err = nil, fmt.Errorf("cannot be decoded (%v)", p)
		}
	}()
	body := blob[headerLength+envelopeLengths[kind]:]
	if err := (&wellKnown{bytes: body}).check(0); err != nil {
		return nil, err
	}
	shape, err = wkb.Unmarshal(body, wkbcommon.WKBOptionEmptyPointHandling(wkbcommon.EmptyPointHandlingNaN))
	switch {
	case err != nil:
		return nil, fmt.Errorf("cannot be decoded: %w", err)
	case shape.Empty():
		return nil, nil
	}
	return shape, nil
}
