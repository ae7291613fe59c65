package read

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"dryarc/audit/read/postgres"

	"github.com/goccy/go-yaml/ast"
)

// pointColumns are the headings, as keys, of the two coordinates of a point.
type pointColumns struct {
	first, second []string
	unordered     bool // they do not say which is the easting
}

// pointHeadings are the headings of coordinates, those first that fit the system of the positions best (common practice). Words of
// one language go together, as a single one may mean something else.
func pointHeadings(projected bool) []pointColumns {
	degrees := []pointColumns{
		{[]string{"longitude", "lon", "long", "lng", "longitud", "longitudine"}, []string{"latitude", "lat", "latitud", "latitudine"}, false},
		{[]string{"geographischelänge", "geogrlänge", "längengrad"}, []string{"geographischebreite", "geogrbreite", "breitengrad"}, false},
	}
	metric := []pointColumns{
		{[]string{"easting", "east", "eastings"}, []string{"northing", "north", "northings"}, false},
		{[]string{"rechtswert"}, []string{"hochwert"}, false},
		{[]string{"ostwert", "ost"}, []string{"nordwert", "nord"}, false},
		{[]string{"este", "leste"}, []string{"norte"}, false},
		{[]string{"est"}, []string{"nord"}, false},
		{[]string{"e"}, []string{"n"}, false},
	}
	letters := []pointColumns{{[]string{"x", "xcoord", "xcoordinate"}, []string{"y", "ycoord", "ycoordinate"}, true}}
	if projected {
		return slices.Concat(metric, letters, degrees)
	}
	return slices.Concat(degrees, letters, metric)
}

// coordinateHeading is the heading of a column as it is looked up among those of coordinates.
type coordinateHeading struct {
	plain string // its key, without what stands in brackets
	bare  string // the same without words that only say that it is a coordinate, and without its unit
	says  string // its unit and what stands in brackets
}

// coordinateHeadingOf takes a heading apart: UTM E is e, POINT_X is x, and Easting_m is easting in m.
func coordinateHeadingOf(heading string) coordinateHeading {
	outside, inside := inBrackets(heading)
	h := coordinateHeading{plain: headingKey(outside)}
	var words, says []string
	for _, word := range strings.FieldsFunc(strings.ToLower(outside), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		switch word {
		case "coord", "coords", "coordinate", "coordinates", "coordenada", "coordenadas", "koordinate", "koordinaten", "koord", "coordonnée", "coordonnee",
			"coordinata", "utm", "gps", "gis", "point", "pos", "position":
		case "m", "metre", "metres", "meter", "meters", "km", "ft", "feet", "deg", "degree", "degrees", "dd", "decimal", "dms", "wgs84":
			says = append(says, word)
		default:
			words = append(words, word)
		}
	}
	h.bare = strings.Join(words, "")
	h.says = strings.Join(append(says, strings.Fields(inside)...), " ")
	return h
}

// pointNames are the columns of the two coordinates of points as the project file names them.
type pointNames [2]struct {
	key string // under which it stands; empty where it does not
	property
}

// pointKeys are the keys under which the project file names the columns of coordinates, the easting or longitude first. Under x and y
// they go for any system.
func pointKeys() [2][3]string {
	return [2][3]string{{"x", "easting", "longitude"}, {"y", "northing", "latitude"}}
}

// inCoordinates are the units in which the project file says that coordinates are.
var inCoordinates = &measure{units: []unitOfMeasure{metres.units[0], metres.units[1], degrees.units[0]}}

// keys are the keys of the columns of coordinates.
func (n *pointNames) keys() (keys section) {
	for axis, names := range pointKeys() {
		for _, name := range names {
			keys = append(keys, key{name, n.reader(axis)})
		}
	}
	return keys
}

func (n *pointNames) reader(axis int) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		to := &n[axis]
		if to.key != "" {
			return wrong(node, "take out one of the two", "%s names the same coordinate as %s, expected one of them", name, to.key)
		}
		to.key, to.property = name, measured("", inCoordinates)
		return namedKey(&to.property)(name, node)
	}
}

// stated tells whether the project file names both columns; it is an error to name one.
func (n *pointNames) stated(file, section string) (bool, error) {
	if n == nil || n[0].key == "" && n[1].key == "" {
		return false, nil
	}
	keys := pointKeys()
	for axis, names := range keys {
		if n[axis].key == "" {
			given, like := n[1-axis], keys[1-axis]
			return false, &InputError{File: file, Message: fmt.Sprintf("%s, which the project file names under %s, is one coordinate of two", given.key, section),
				Hint: fmt.Sprintf("name both: properties: {%s: %q, %s: …}", given.key, given.name, names[slices.Index(like[:], given.key)])}
		}
	}
	return true, nil
}

// refuse says of a file that is no table of points that its positions are in no columns.
func (n *pointNames) refuse(file, section string) error {
	stated, err := n.stated(file, section)
	if err != nil || !stated {
		return err
	}
	return &InputError{File: file, Message: fmt.Sprintf("is no table of points, expected one with the columns %q and %q of coordinates", n[0].name, n[1].name),
		Hint: fmt.Sprintf("take out %s and %s under %s in the project file; the positions of a layer are its geometry", n[0].key, n[1].key, section)}
}

// fit refuses names of longitude and latitude for a projected system, and of easting and northing for degrees.
func (n *pointNames) fit(p *placing) error {
	for axis, names := range pointKeys() {
		key := n[axis].key
		switch {
		case p.projected() && key == names[2]:
			return &InputError{File: p.file, Message: fmt.Sprintf("%s is named under %s, but its positions are in %s, which is projected", key, p.section, p.system),
				Hint: fmt.Sprintf("write %s in its place where the column holds metres; else take out crs", names[1])}
		case !p.projected() && key == names[1]:
			return &InputError{File: p.file, Message: fmt.Sprintf("%s is named under %s, but its positions are longitude and latitude as long as no other system is stated", key, p.section),
				Hint: fmt.Sprintf("write its system, whose number you have to know, under %s in the project file: crs: EPSG:…", p.section)}
		}
	}
	return nil
}

// stated finds the columns that the project file names among headings.
func (t *pointTable) stated(cells []string, l *layer) (found bool, err error) {
	var at [2]int
	for axis := range l.pointNames {
		if at[axis], err = t.namedColumn(cells, l.pointNames[axis].name); err != nil || at[axis] < 0 {
			return false, err
		}
	}
	if at[0] == at[1] {
		return false, &InputError{File: t.in.name, Message: fmt.Sprintf("has one column %q for both coordinates, expected two", strings.TrimSpace(cells[at[0]])),
			Hint: fmt.Sprintf("name another under %s in the project file", l.section)}
	}
	t.x, t.y = at[0], at[1]
	for axis, column := range at {
		says := coordinateHeadingOf(cells[column]).says
		if unit := l.pointNames[axis].in; len(unit.names) > 0 {
			says = unit.names[0] // which the project file states, whatever the heading says
		}
		if t.axes[axis], err = coordinateColumnOf(t.in.name, cells[column], says, axis, l.placing.projected(), true); err != nil {
			return false, err
		}
	}
	return true, nil
}

// namedColumn finds the column of a heading: as it is written, else whatever its case, blanks and marks; −1 where there is none.
func (t *pointTable) namedColumn(cells []string, name string) (int, error) {
	if at := slices.IndexFunc(cells, func(cell string) bool { return strings.TrimSpace(cell) == name }); at >= 0 {
		return at, nil
	}
	keys := make([]string, len(cells))
	for i, cell := range cells {
		keys[i] = headingKey(cell)
	}
	return t.only(cells, keys, []string{headingKey(name)})
}

// without says of a table that none of its first rows has headings for both coordinates.
func (t *pointTable) without(first []string, l *layer) error {
	headings := slices.DeleteFunc(slices.Clone(first), func(cell string) bool { return strings.TrimSpace(cell) == "" })
	for i := range headings {
		headings[i] = strings.TrimSpace(headings[i])
	}
	if t.in.query != "" {
		for _, column := range t.in.stream.Columns() {
			if column.Instead == postgres.AsGeometry {
				return &InputError{File: t.in.name, Message: fmt.Sprintf("has no geometry; its column %q %s", column.Name, column.Why), Hint: "if it holds the positions, write in its place in the query " + column.Instead}
			}
		}
	}
	if l.pointNames == nil || l.pointNames[0].key == "" {
		return &InputError{File: t.in.name, Message: fmt.Sprintf("has no columns for two coordinates; the headings there are %s", quotedList(headings)),
			Hint: fmt.Sprintf("say which they are under %s in the project file: properties: {easting: …, northing: …}, or {longitude: …, latitude: …}", l.section)}
	}
	var trouble problems
	for axis := range l.pointNames {
		name := l.pointNames[axis].name
		if at, err := t.namedColumn(first, name); at < 0 && err == nil {
			hint := fmt.Sprintf("name the column under %s in the project file: properties: {%s: …}", l.section, l.pointNames[axis].key)
			if close := near(name, headings); close != "" {
				hint = fmt.Sprintf("if %q is meant, write under %s in the project file: properties: {%s: %q}", close, l.section, l.pointNames[axis].key, close)
			}
			trouble.add(&InputError{File: t.in.name, Message: fmt.Sprintf("has no column %q for %s; the headings there are %s", name, l.pointNames[axis].key, quotedList(headings)), Hint: hint})
		}
	}
	return trouble.err()
}
