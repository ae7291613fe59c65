package read

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// declareProjection takes up the system that the part .prj of a shapefile describes.
func (p *placing) declareProjection(text string) error {
	if p.looked {
		return nil
	}
	node, ok := readWKT(strings.TrimPrefix(text, byteOrderMark))
	if !ok {
		return &InputError{File: p.file, Message: fmt.Sprintf("has a part .prj that is no description of a reference system, %q", excerpt(strings.TrimSpace(text))),
			Hint: convertFromHint(p.file, p.section)}
	}
	if s, known := systemDescribed(&node); known {
		return p.declare("the reference system of its part .prj is", s, 0)
	}
	return &InputError{File: p.file, Message: fmt.Sprintf("has the reference system %q in its part .prj, which %s", node.name(), unknownSystem), Hint: convertHint(p.file)}
}

// systemDescribed finds the system that a well-known text describes: by its EPSG code, else by datum, projection and
// parameters.
func systemDescribed(n *wktNode) (*system, bool) {
	if n.word == "COMPD_CS" || n.word == "COMPOUNDCRS" {
		for i := range n.entries {
			if word := n.entries[i].word; word == "PROJCS" || word == "GEOGCS" {
				return systemDescribed(&n.entries[i])
			}
		}
	}
	if code, ok := n.epsg(); ok {
		if s, known := systemOf(code); known {
			return s, true
		}
	}
	switch n.word {
	case "GEOGCS":
		of, ok := datumDescribed(n)
		if !ok || of.degrees == 0 {
			return nil, false
		}
		return systemOf(of.degrees)
	case "PROJCS":
		geographic, _ := n.find("GEOGCS")
		of, ok := datumDescribed(geographic)
		if unit, _ := n.find("UNIT"); !ok || !isUnit(unit, 1) {
			return nil, false
		}
		return projectionDescribed(n, of)
	}
	return nil, false
}

// describedDatum is a datum by the names that well-known texts have for it.
type describedDatum struct {
	names    []string // without D_ and underscores, in small letters
	degrees  int      // EPSG code of longitude and latitude in it; 0 where that is not read
	families []string // starts of the names of the families in it
}

// describedDatums lists the datums of the systems that are read.
//
// Source: the names that GDAL 3.6 and PROJ 9.1 write for these systems, in both dialects of the text.
func describedDatums() []describedDatum {
	return []describedDatum{
		{[]string{"wgs1984", "wgs84", "worldgeodeticsystem1984", "worldgeodeticsystem1984ensemble"}, wgs84, []string{"WGS 84 /"}},
		{[]string{"etrs1989", "europeanterrestrialreferencesystem1989", "europeanterrestrialreferencesystem1989ensemble"}, 4258, []string{"ETRS89 /"}},
		{[]string{"sweref99"}, 4619, []string{"SWEREF99"}},
		{[]string{"etrf2000poland"}, 0, []string{"ETRF2000-PL"}},
		{[]string{"lithuania1994", "lithuania1994etrs89"}, 0, []string{"LKS94"}},
		{[]string{"latvia1992"}, 0, []string{"LKS92"}},
		{[]string{"croatianterrestrialreferencesystem"}, 0, []string{"HTRS96"}},
		{[]string{"sloveniageodeticdatum1996"}, 4765, []string{"Slovene"}},
		{[]string{"irenet95"}, 0, []string{"Irish"}},
		{[]string{"redgeodesicadecanarias1995"}, 4081, []string{"REGCAN95"}},
		{[]string{"turkishnationalreferenceframe"}, 5252, []string{"TUREF"}},
		{[]string{"reseaugeodesiquefrancais1993", "rgf1993", "reseaugeodesiquefrancais1993v1", "rgf1993v1"}, 4171, nil},
		{[]string{"northamerican1983", "northamericandatum1983"}, 4269, []string{"NAD83 /"}},
		{[]string{"nad1983nsrs2007", "nad83nationalspatialreferencesystem2007"}, 4759, nil},
		{[]string{"nad19832011", "nad83nationalspatialreferencesystem2011"}, 6318, []string{"NAD83(2011)"}},
		{[]string{"mexicoitrf2008"}, 0, []string{"Mexico ITRF2008"}},
		{[]string{"mexicandatumof1993", "mexicoitrf92", "mexicoitrf1992"}, 4483, []string{"Mexico ITRF92"}},
		{[]string{"sirgas2000", "sistemadereferenciageocentricoparalasamericas2000", "sistemadereferenciageocentricoparaamerica2000"}, 4674, []string{"SIRGAS 2000"}},
		{[]string{"magna", "marcogeocentriconacionaldereferencia"}, 4686, []string{"MAGNA-SIRGAS"}},
		{[]string{"posgar1994", "posicionesgeodesicasargentinas1994"}, 4694, []string{"POSGAR 94"}},
		{[]string{"posgar1998", "posicionesgeodesicasargentinas1998"}, 4190, nil},
		{[]string{"sirgasrou98"}, 5381, nil},
		{[]string{"regven", "redgeodesicavenezolana"}, 4189, nil},
		{[]string{"retedinamicanazionale2008"}, 6706, nil},
		{[]string{"moldref99"}, 4023, nil},
		{[]string{"hartebeesthoek1994", "hartebeesthoek94"}, 4148, nil},
		{[]string{"gda1994", "geocentricdatumofaustralia1994"}, 4283, []string{"GDA94"}},
		{[]string{"gda2020", "geocentricdatumofaustralia2020"}, 7844, []string{"GDA2020"}},
		{[]string{"nzgd2000", "newzealandgeodeticdatum2000"}, 4167, []string{"NZTM2000"}},
		{[]string{"jgd2011", "japanesegeodeticdatum2011"}, 6668, []string{"JGD2011"}},
		{[]string{"jgd2000", "japanesegeodeticdatum2000"}, 4612, []string{"JGD2000"}},
		{[]string{"korea2000", "koreandatum2000", "geocentricdatumofkorea"}, 4737, []string{"Korea 2000"}},
		{[]string{"twd1997", "taiwandatum1997"}, 3824, []string{"TWD97"}},
	}
}

// degreeInRadians is how well-known texts write the degree; they cut it after 15 figures and more.
const degreeInRadians = math.Pi / 180

// datumDescribed finds the datum of a geographic system in degrees from Greenwich.
func datumDescribed(n *wktNode) (describedDatum, bool) {
	datum, _ := n.find("DATUM")
	unit, _ := n.find("UNIT")
	meridian, given := n.find("PRIMEM")
	if at, ok := meridian.number(1); given && (!ok || at != 0) || !isUnit(unit, degreeInRadians) {
		return describedDatum{}, false
	}
	key := strings.TrimPrefix(strings.ToLower(datum.name()), "d_")
	key = headingKey(key)
	for _, known := range describedDatums() {
		if slices.Contains(known.names, key) {
			return known, true
		}
	}
	return describedDatum{}, false
}

// isUnit tells whether a node is a unit of a size.
func isUnit(n *wktNode, size float64) bool {
	value, ok := n.number(1)
	return ok && math.Abs(value-size) <= 1e-9*size
}

// projectionDescribed finds the system of a projection with its parameters, which all have to be known and to agree.
func projectionDescribed(n *wktNode, of describedDatum) (*system, bool) {
	parameters := map[string]float64{}
	for i := range n.entries {
		if e := &n.entries[i]; e.word == "PARAMETER" {
			value, ok := e.number(1)
			if !ok {
				return nil, false
			}
			parameters[headingKey(e.name())] = value
		}
	}
	projection, _ := n.find("PROJECTION")
	switch headingKey(projection.name()) {
	case "mercatorauxiliarysphere", "popularvisualisationpseudomercator":
		for name, value := range parameters { // all of them are 0 there, but for a scale
			if value != 0 && (name != "scalefactor" || value != 1) {
				return nil, false
			}
		}
		if of.degrees != wgs84 {
			return nil, false
		}
		return systemOf(webMercator)
	case "transversemercator", "gausskruger":
		return familyDescribed(parameters, of)
	}
	return nil, false
}

// familyDescribed finds the system of a family that has the parameters of a transverse Mercator projection.
func familyDescribed(parameters map[string]float64, of describedDatum) (*system, bool) {
	const secondsDeg, millimetre, scale = 1e-8, 1e-3, 1e-10
	names := [...]string{"centralmeridian", "latitudeoforigin", "scalefactor", "falseeasting", "falsenorthing"}
	if _, ok := parameters["scalefactor"]; !ok {
		parameters["scalefactor"] = 1
	}
	for name := range parameters {
		if !slices.Contains(names[:], name) {
			return nil, false
		}
	}
	var given [len(names)]float64
	for i, name := range names {
		value, ok := parameters[name]
		if !ok && name != "latitudeoforigin" {
			return nil, false
		}
		given[i] = value
	}
	for _, g := range families() {
		if !slices.ContainsFunc(of.families, func(start string) bool { return strings.HasPrefix(g.name, start) }) {
			continue
		}
		for code := g.first; code <= g.last; code++ {
			zone := float64(code - g.first)
			if math.Abs(given[0]-(g.meridian+zone*g.meridianStep)) <= secondsDeg && math.Abs(given[1]-g.latitude) <= secondsDeg &&
				math.Abs(given[2]-g.scale) <= scale && math.Abs(given[3]-(g.easting+zone*g.eastingStep)) <= millimetre && math.Abs(given[4]-g.northing) <= millimetre {
				return g.system(code), true
			}
		}
	}
	return nil, false
}
