package gpkg

import (
	"fmt"

	"dryarc/audit/read/wkb"

	geom "github.com/twpayne/go-geom"
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
func geometry(value any) (geom.T, error) {
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
	return wkb.Decode(blob[headerLength+envelopeLengths[kind]:])
}
