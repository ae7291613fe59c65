package read

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"strconv"
	"strings"

	"dryarc/audit/read/raster"
)

// largestSidecar is how long a file of statistics beside a raster may be, in bytes (a choice of this program).
const largestSidecar = 16 << 20

// refuseSidecars refuses a raster beside which a file says what its samples mean: NAME.aux.xml with another scale, unit or value for none,
// or the mask NAME.msk. These are not read, and without them samples would be taken for levels that they are not.
//
// What they say of the place of the samples and of its system is returned, to be held against what is read.
func refuseSidecars(folder string, names ...string) (placed []sidecarPlace, err error) {
	for _, name := range names {
		mask := name + ".msk"
		if _, err := os.Stat(pathIn(folder, mask)); err == nil {
			return nil, &InputError{File: name, Message: fmt.Sprintf("has the mask %s beside it, which says where it has no values, expected a no-data value in their place", mask), Hint: terrainHint}
		}
		aux := name + ".aux.xml"
		place, said, err := auxiliary(pathIn(folder, aux))
		switch {
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			return nil, &InputError{File: aux, Message: fmt.Sprintf("cannot be read: %v", err), Hint: "take it away where it says nothing of the values of " + name, Err: err}
		case said != "":
			return nil, &InputError{File: aux, Message: fmt.Sprintf("has %s for %s, which does not say so itself", said, name), Hint: "write it into the file, for example: gdal_translate IN OUT.tif; levels in another unit calculate in metres"}
		default:
			place.file = aux
			placed = append(placed, place)
		}
	}
	return placed, nil
}

// sidecarPlace is what an auxiliary file says of where the samples of a raster are, as it stands there; empty where nothing.
type sidecarPlace struct{ file, system, corners string }

// contradicts refuses another place or system than that by which the raster is read.
func (p *sidecarPlace) contradicts(name string, grid *raster.Grid, s *system) error {
	hint := "find out which of the two holds, and take " + p.file + " away or write what it says into the raster, for example: gdal_translate IN OUT.tif"
	if p.system != "" && !describes(p.system, s) {
		return &InputError{File: p.file, Message: fmt.Sprintf("has the SRS %q, and %s is read in %s, expected the same", excerpt(p.system), name, s), Hint: hint}
	}
	if p.corners == "" {
		return nil
	}
	var corners [6]float64
	parts := strings.Split(p.corners, ",")
	for i := range min(len(parts), len(corners)) {
		value, err := strconv.ParseFloat(strings.TrimSpace(parts[i]), 64)
		if err != nil {
			parts = nil
			break
		}
		corners[i] = value
	}
	if len(parts) != len(corners) || !grid.PlacedAs(corners) {
		return &InputError{File: p.file, Message: fmt.Sprintf("has the GeoTransform %q, and %s places its samples elsewhere by itself, expected the same", excerpt(p.corners), name), Hint: hint}
	}
	return nil
}

// describes tells whether a text, a code or a well-known text, is of a system.
func describes(text string, s *system) bool {
	if code, is := epsgCode(text); is {
		return code == s.code
	}
	node, ok := readWKT(strings.TrimPrefix(text, byteOrderMark))
	if !ok {
		return false
	}
	described, known := systemDescribed(&node)
	return known && described.code == s.code
}

// projectionContradicts refuses a raster beside which NAME.prj describes another system than that by which it is read, or heights that are not
// metres above the sea. One that describes a system which is not known here is passed over, unless it is of the other kind: of longitude and
// latitude, or projected.
func projectionContradicts(folder, name string, s *system) error {
	prj := strings.TrimSuffix(name, path.Ext(name)) + ".prj"
	content, err := sidecar(pathIn(folder, prj))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return &InputError{File: prj, Message: fmt.Sprintf("cannot be read: %v", err), Hint: "take it away where it says nothing of " + name, Err: err}
	}
	text := strings.TrimSpace(strings.TrimPrefix(string(content), byteOrderMark))
	refuse := func(format string, values ...any) error {
		return &InputError{File: prj, Message: fmt.Sprintf(format, values...), Hint: "find out which of the two holds for " + name + ", and correct or take away the other"}
	}
	kind := map[bool]string{true: "longitude and latitude", false: "a projection"}
	var of struct{ described, geographic bool }
	rest, ok := text, true
	for rest != "" {
		var node wktNode
		if node, rest, ok = nextNode(rest, 0); !ok || node.word == "" {
			break
		}
		if rest = strings.TrimLeft(rest, ", \t\r\n"); strings.HasPrefix(node.word, "VERT") {
			if err := heightsContradict(&node, refuse); err != nil {
				return err
			}
			continue
		}
		for i := range node.entries {
			if strings.HasPrefix(node.entries[i].word, "VERT") {
				if err := heightsContradict(&node.entries[i], refuse); err != nil {
					return err
				}
			}
		}
		if described, known := systemDescribed(&node); known && described.code != s.code {
			return refuse("describes the reference system %s, and %s is read in %s, expected the same", described, name, s)
		}
		of.described, of.geographic = true, strings.HasPrefix(node.word, "GEOG")
		if node.word == "COMPD_CS" || node.word == "COMPOUNDCRS" {
			of.described = false
		}
	}
	if !of.described { // by keywords, a line each
		for line := range strings.Lines(text) {
			fields := strings.Fields(strings.ToUpper(line))
			switch {
			case len(fields) < 2:
			case fields[0] == "PROJECTION":
				of.described, of.geographic = true, fields[1] == "GEOGRAPHIC"
			case fields[0] == "ZUNITS" && fields[1] != "NO" && fields[1] != "1" && !raster.IsMetre(fields[1]):
				return refuse("has heights in %q, expected metres", fields[1])
			}
		}
	}
	if of.described && of.geographic != (s.project == nil) {
		return refuse("describes positions by %s, and %s is read in %s, which is by %s", kind[of.geographic], name, s, kind[s.project == nil])
	}
	return nil
}

// heightsContradict refuses a description of heights that are not metres above the sea.
func heightsContradict(n *wktNode, refuse func(format string, values ...any) error) error {
	if unit, has := n.find("UNIT", "LENGTHUNIT"); has && !isUnit(unit, 1) {
		return refuse("has heights in the unit %q (%q), expected metres", unit.name(), n.name())
	}
	if _, above := n.find("DATUM"); above || noSeaLevel.MatchString(n.name()) {
		return refuse("has the heights %q, expected metres above the sea", n.name())
	}
	return nil
}

// sidecar is the content of a file beside a raster.
func sidecar(at string) ([]byte, error) {
	if info, err := os.Stat(at); err != nil {
		return nil, err
	} else if !info.Mode().IsRegular() || info.Size() > largestSidecar {
		return nil, fmt.Errorf("expected a file of %d bytes at most", largestSidecar)
	}
	return os.ReadFile(at)
}

// auxiliary is what an auxiliary file says of the values of the first band, in its words; empty where it leaves them as they are.
func auxiliary(at string) (place sidecarPlace, says string, err error) {
	content, err := sidecar(at)
	if err != nil {
		return place, "", err
	}
	var all struct {
		System  string `xml:"SRS"`
		Corners string `xml:"GeoTransform"`
		Bands   []struct {
			Number string  `xml:"band,attr"`
			Void   *string `xml:"NoDataValue"`
			Scale  string  `xml:"Scale"`
			Offset string  `xml:"Offset"`
			Unit   string  `xml:"UnitType"`
		} `xml:"PAMRasterBand"`
	}
	if err := xml.NewDecoder(bytes.NewReader(content)).Decode(&all); err != nil {
		return place, "", err
	}
	place.system, place.corners = strings.TrimSpace(all.System), strings.TrimSpace(all.Corners)
	for _, band := range all.Bands {
		is := func(text string, neutral float64) bool {
			value, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
			return text == "" || err == nil && value == neutral
		}
		switch {
		case band.Number != "" && band.Number != "1":
		case band.Void != nil:
			return place, fmt.Sprintf("the NoDataValue %q", strings.TrimSpace(*band.Void)), nil
		case !is(band.Scale, 1):
			return place, fmt.Sprintf("the Scale %q", band.Scale), nil
		case !is(band.Offset, 0):
			return place, fmt.Sprintf("the Offset %q", band.Offset), nil
		case !raster.IsMetre(band.Unit):
			return place, fmt.Sprintf("the UnitType %q", band.Unit), nil
		}
	}
	return place, "", nil
}
