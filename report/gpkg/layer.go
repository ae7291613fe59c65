package gpkg

import (
	"fmt"
	"iter"
	"strings"

	geom "github.com/twpayne/go-geom"
)

// The types of column of the standard that are used here.
const (
	Text    = "TEXT"
	Integer = "INTEGER"
	Real    = "REAL"
	Boolean = "BOOLEAN"
)

// The types of geometry of a layer.
const (
	NoGeometry      = "" // a table of values
	Point           = "POINT"
	MultiLineString = "MULTILINESTRING"
	MultiPolygon    = "MULTIPOLYGON"
)

// Column is one column of values. What people are told of it may be empty.
type Column struct {
	Name, Type  string
	Title       string // its heading, with its unit
	Description string
	// Values, where there are any, are all that it holds besides nothing. Columns of one name must list the same.
	Values []Value
}

// Value is a text that a column may hold, and what it means.
type Value struct{ Text, Meaning string }

// Layer is one table.
type Layer struct {
	Name        string // of the table
	Description string
	Geometry    string // its type, or NoGeometry
	Columns     []Column
	Rows        iter.Seq[Row]
	Style       Style // how it is drawn; none where it has no name
}

// Style is how a layer is drawn, as two forms of style file have it.
type Style struct {
	Name, Description string
	QML, SLD          string // SLD may be empty
}

// Row is one row of a layer: a geometry, nil where the position is not known, and a value for each column. A value is
// nil, string, int64, float64 or bool; NaN is written as no value.
type Row struct {
	Geometry geom.T
	Values   []any
}

// geometryColumn is the name of the column of geometries in every layer.
const geometryColumn = "geom"

// quoted is a name in SQL.
func quoted(name string) string { return `"` + strings.ReplaceAll(name, `"`, `""`) + `"` }

func (l *Layer) createSQL() string {
	var b strings.Builder
	fmt.Fprintf(&b, "CREATE TABLE %s (fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL", quoted(l.Name))
	if l.Geometry != NoGeometry {
		fmt.Fprintf(&b, ", %s %s", geometryColumn, l.Geometry)
	}
	for _, c := range l.Columns {
		fmt.Fprintf(&b, ", %s %s", quoted(c.Name), c.Type)
	}
	return b.String() + ")"
}

func (l *Layer) insertSQL() string {
	names, marks := []string{"fid"}, []string{"?"}
	if l.Geometry != NoGeometry {
		names, marks = append(names, geometryColumn), append(marks, "?")
	}
	for _, c := range l.Columns {
		names, marks = append(names, quoted(c.Name)), append(marks, "?")
	}
	return fmt.Sprintf("INSERT INTO %s (%s) VALUES (%s)", quoted(l.Name), strings.Join(names, ", "), strings.Join(marks, ", "))
}
