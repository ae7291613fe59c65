package read

import (
	"encoding/json"
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit/read/gpkg"

	"github.com/goccy/go-yaml/ast"
)

// epsgCode reads the name of a reference system as inputs write it: EPSG:32719, urn:ogc:def:crs:EPSG::32719,
// http://www.opengis.net/def/crs/EPSG/0/32719, or a name of WGS 84.
func epsgCode(name string) (code int, ok bool) {
	name = strings.ToUpper(strings.Join(strings.Fields(name), ""))
	if strings.Contains(name, "CRS84") || name == "WGS84" {
		return wgs84, true
	}
	at := strings.LastIndexAny(name, ":/#")
	if at < 0 || !strings.Contains(name[:at], "EPSG") {
		return 0, false
	}
	code, err := strconv.Atoi(name[at+1:])
	return code, err == nil
}

// systemNamed finds the reference system of a name among those that are read.
func systemNamed(name string) (*system, bool) {
	code, ok := epsgCode(name)
	if !ok {
		return nil, false
	}
	return systemOf(code)
}

// crsKey reads the name of a reference system.
func crsKey(to *string) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		text, _ := scalar(node)
		if _, ok := epsgCode(text); !ok {
			return wrong(node, "write its number in the EPSG dataset, such as crs: EPSG:32719", "%s %s is no reference system, expected EPSG: and a number", name, written(node))
		}
		*to = text
		return nil
	}
}

// convertCommand is the command that converts a layer, with options that say what system it has where it does not.
func convertCommand(file, options string) string {
	if ext := strings.ToLower(path.Ext(file)); slices.Contains(tableEndings(), ext) {
		from := shellWord(file)
		if ext == ".txt" {
			from = "CSV:" + from
		}
		return "ogr2ogr " + options + "-t_srs EPSG:4326 " + openX + openY + shellWord("wgs84-"+strings.TrimSuffix(path.Base(file), path.Ext(file))+".geojson") + " " + from
	}
	if strings.HasPrefix(file, "query ") {
		return "ST_Transform(…, 4326) in the query"
	}
	return "ogr2ogr " + options + "-t_srs EPSG:4326 wgs84-" + path.Base(file) + " " + file
}

// convertHint is for a layer that says its system.
func convertHint(file string) string { return "convert it, for example: " + convertCommand(file, "") }

// convertFromHint is for a layer that does not say its system.
func convertFromHint(file, section string) string {
	return "write its own system, whose number you have to know, under " + section + " in the project file: crs: EPSG:…; or convert it: " +
		convertCommand(file, "-s_srs EPSG:… ")
}

// unknownSystem ends the message about a system that is not read.
const unknownSystem = "is neither WGS 84 longitude, latitude nor one of the systems that README.md lists"

// newPlacing starts to place the positions of a file in the system that the project file names; in WGS 84 where it
// names none.
func newPlacing(file, section, named string) (*placing, error) {
	p := &placing{file: file, section: section, keyed: named != "", written: nothing()}
	if named == "" {
		named = "CRS84"
	}
	var known bool
	if p.system, known = systemNamed(named); !known {
		code, _ := epsgCode(named)
		return nil, &InputError{File: file, Message: fmt.Sprintf("crs %q, which the project file names under %s, %s", named, section, unknownSystem),
			Hint: fmt.Sprintf("convert it and take out crs: %s", convertCommand(file, fmt.Sprintf("-s_srs EPSG:%d ", code)))}
	}
	return p, nil
}

// declare takes up the system that a file itself names. before tells how many of its features are read already.
func (p *placing) declare(says string, s *system, before uint32) error {
	switch {
	case s.code == p.system.code:
		return nil
	case p.keyed:
		return &InputError{File: p.file, Message: fmt.Sprintf("%s %s, but crs under %s in the project file is %s", says, s, p.section, p.system),
			Hint: "find out which of the two its positions are in; take out crs in the project file, or correct the file"}
	case before > 0:
		return &InputError{File: p.file, Message: fmt.Sprintf("%s %s, but only after %d features that were read in %s", says, s, before, p.system),
			Hint: fmt.Sprintf("if all its positions are in it, write crs: %s under %s in the project file; else divide the file", s, p.section)}
	}
	p.system = s
	return nil
}

// declareLayer takes up the system of a layer of a GeoPackage.
func (p *placing) declareLayer(layer gpkg.Layer) error {
	if p.looked {
		return nil
	}
	if layer.System.IsUndefined() {
		if p.keyed {
			return nil
		}
		return &InputError{File: p.file, Message: fmt.Sprintf("layer %q does not say its reference system", layer.Name), Hint: convertFromHint(p.file, p.section)}
	}
	if code, ok := layer.System.EPSG(); ok {
		if s, known := systemOf(code); known {
			return p.declare(fmt.Sprintf("the reference system of its layer %q is", layer.Name), s, 0)
		}
	}
	return &InputError{File: p.file, Message: fmt.Sprintf("layer %q has the reference system %s, which %s", layer.Name, layer.System, unknownSystem), Hint: convertHint(p.file)}
}

// declareMember takes up the member crs of an object of GeoJSON, as the format had it before RFC 7946.
func (p *placing) declareMember(crs json.RawMessage, before uint32) error {
	if len(crs) == 0 || string(crs) == "null" || p.looked {
		return nil
	}
	var named struct {
		Properties struct {
			Name string `json:"name"`
		} `json:"properties"`
	}
	name := ""
	if json.Unmarshal(crs, &named) == nil {
		name = named.Properties.Name
	}
	if s, known := systemNamed(name); known {
		return p.declare("its member crs is", s, before)
	}
	if name == "" {
		name = excerpt(string(crs))
	}
	return &InputError{File: p.file, Message: fmt.Sprintf("crs %q %s", name, unknownSystem), Hint: convertHint(p.file)}
}
