package raster

import (
	"fmt"
	"strings"
)

// geoKeys are the keys of GeoTIFF that stand as one number, and those that are texts.
type geoKeys struct {
	numbers map[uint16]uint16
	texts   map[uint16]string
}

const (
	keyModelType     = 1024
	keyRasterType    = 1025
	keyCitation      = 1026
	keyGeographic    = 2048
	keyAngularUnit   = 2054
	keyProjected     = 3072
	keyLinearUnit    = 3076
	keyVertical      = 4096
	keyVerticalText  = 4097
	keyVerticalUnits = 4099

	rasterIsPoint = 2
	userDefined   = 32767

	unitMetre, unitDegree, unitDegreeSupplier = 9001, 9102, 9122
)

// unitHint says what makes metres of levels, which a change of the reference system does not.
const unitHint = "calculate its levels in metres, for example with gdal_calc.py, and write them without the unit"

func (f *tiffFile) geoKeys(entries map[uint16]field) (geoKeys, error) {
	values, err := f.wholes(entries, tagGeoKeys)
	if err != nil || len(values) == 0 {
		return geoKeys{}, err
	}
	if len(values) < 4 || uint64(len(values)) < 4+4*values[3] {
		return geoKeys{}, wrong("has %d numbers of keys under tag %d, fewer than these say", len(values), tagGeoKeys)
	}
	texts, err := f.bytes(entries, tagGeoTexts)
	if err != nil {
		return geoKeys{}, err
	}
	keys := geoKeys{map[uint16]uint16{}, map[uint16]string{}}
	for i := range int(values[3]) {
		switch key := values[4+4*i:]; {
		case key[1] == 0:
			keys.numbers[uint16(key[0])] = uint16(key[3])
		case key[1] == tagGeoTexts && key[3]+key[2] <= uint64(len(texts)):
			keys.texts[uint16(key[0])] = strings.Trim(string(texts[key[3]:key[3]+key[2]]), "|\x00 ")
		}
	}
	return keys, nil
}

// systems returns the codes of the system of positions and of the vertical one, 0 for one that the file does not name.
func (keys geoKeys) systems() (position, vertical int, err error) {
	k := keys.numbers
	const projected, geographic = 1, 2
	switch model := k[keyModelType]; model {
	case 0, userDefined:
	case projected:
		position = int(k[keyProjected])
	case geographic:
		position = int(k[keyGeographic])
	default:
		return 0, 0, wrong("has positions of the model type %d, expected %d, projected, or %d, geographic", model, projected, geographic)
	}
	if position == userDefined {
		return 0, 0, wrong("has a reference system of its own definition, expected one by its EPSG code")
	}
	if unit, ok := k[keyAngularUnit]; ok && k[keyModelType] == geographic && unit != unitDegree && unit != unitDegreeSupplier {
		return 0, 0, wrong("has positions in the unit EPSG:%d, expected degrees", unit)
	}
	if unit, ok := k[keyLinearUnit]; ok && k[keyModelType] == projected && unit != unitMetre {
		return 0, 0, wrong("has positions in the unit EPSG:%d, expected metres", unit)
	}
	if vertical = int(k[keyVertical]); vertical == userDefined {
		vertical = 0
	}
	if unit, ok := k[keyVerticalUnits]; ok && unit != unitMetre {
		return 0, 0, &Error{Message: fmt.Sprintf("has heights in the unit EPSG:%d, expected metres", unit), Hint: unitHint}
	}
	return position, vertical, nil
}
