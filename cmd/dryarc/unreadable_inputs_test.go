package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// inputs are the files of a project in a form in which one cell is cheap to change: sheets as tables of text, layers as
// decoded features.
type inputs struct {
	project string
	sheets  map[string][][]string // by name; the headings first
	layers  map[string]*layer
}

type layer struct {
	Type     string     `json:"type"`
	Features []*feature `json:"features"`
}

type feature struct {
	Type       string          `json:"type"`
	Properties map[string]any  `json:"properties"`
	Geometry   json.RawMessage `json:"geometry"`
}

func readLayer(t *testing.T, file string) *layer {
	t.Helper()
	raw, err := os.ReadFile(file)
	require.NoError(t, err)
	var read layer
	require.NoError(t, json.Unmarshal(raw, &read))
	return &read
}

// cell is one cell of a sheet or one property of a layer. table is Assemblies or structures, column a heading without
// its unit or the name of a property, row the number under which a fault names it.
type cell struct {
	table, column string
	row           int
}

func (c cell) String() string { return fmt.Sprintf("%s.%s row %d", c.table, c.column, c.row) }

// plainHeading is a heading without its unit.
func plainHeading(heading string) string {
	name, _, _ := strings.Cut(heading, " (")
	return name
}

// tables lists the sheets and layers in a fixed order.
func (in *inputs) tables() []string {
	return append(slices.Sorted(maps.Keys(in.sheets)), slices.Sorted(maps.Keys(in.layers))...)
}

// columns lists the columns of a table: those of a sheet from left to right, the properties of a layer by name.
func (in *inputs) columns(table string) (columns []string) {
	if sheet, ok := in.sheets[table]; ok {
		for _, heading := range sheet[0] {
			columns = append(columns, plainHeading(heading))
		}
		return columns
	}
	names := map[string]bool{}
	for _, f := range in.layers[table].Features {
		for name := range f.Properties {
			names[name] = true
		}
	}
	return slices.Sorted(maps.Keys(names))
}

// rows lists the rows of a column: those that hold something, or those that are blank.
func (in *inputs) rows(table, column string, filled bool) (rows []int) {
	if sheet, ok := in.sheets[table]; ok {
		at := slices.Index(in.columns(table), column)
		for i, row := range sheet[1:] {
			if (row[at] != "") == filled {
				rows = append(rows, i+2)
			}
		}
		return rows
	}
	for i, f := range in.layers[table].Features {
		if value, given := f.Properties[column]; (given && value != nil) == filled {
			rows = append(rows, i+1)
		}
	}
	return rows
}

// text is what a cell holds, blank where it holds nothing.
func (in *inputs) text(table, column string, row int) string {
	if sheet, ok := in.sheets[table]; ok {
		return sheet[row-1][slices.Index(in.columns(table), column)]
	}
	return fmt.Sprint(in.layers[table].Features[row-1].Properties[column])
}

// write puts a table into the folder as a file.
func (in *inputs) write(t *testing.T, folder, table string) {
	t.Helper()
	content, name := []byte(nil), table+".geojson"
	if sheet, ok := in.sheets[table]; ok {
		var text bytes.Buffer
		require.NoError(t, csv.NewWriter(&text).WriteAll(sheet))
		content, name = text.Bytes(), table+".csv"
	} else {
		var err error
		content, err = json.Marshal(in.layers[table])
		require.NoError(t, err)
	}
	require.NoError(t, os.WriteFile(filepath.Join(folder, name), content, 0o600))
}

func (in *inputs) writeAll(t *testing.T, folder string) {
	t.Helper()
	for _, table := range in.tables() {
		in.write(t, folder, table)
	}
	require.NoError(t, os.WriteFile(filepath.Join(folder, "audit.yaml"), []byte(in.project), 0o600))
}

// with runs do while a cell holds something else, and writes its file before and after.
func (in *inputs) with(t *testing.T, folder string, c cell, value any, do func()) {
	t.Helper()
	if sheet, ok := in.sheets[c.table]; ok {
		at := slices.Index(in.columns(c.table), c.column)
		row := sheet[c.row-1]
		was := row[at]
		row[at] = value.(string)
		defer func() { row[at] = was; in.write(t, folder, c.table) }()
	} else {
		properties := in.layers[c.table].Features[c.row-1].Properties
		was, given := properties[c.column]
		properties[c.column] = value
		defer func() {
			if properties[c.column] = was; !given {
				delete(properties, c.column)
			}
			in.write(t, folder, c.table)
		}()
	}
	in.write(t, folder, c.table)
	do()
}

// addColumn adds a blank column to a sheet.
func (in *inputs) addColumn(sheet, heading string) {
	rows := in.sheets[sheet]
	rows[0] = append(rows[0], heading)
	for i := range rows[1:] {
		rows[i+1] = append(rows[i+1], "")
	}
}

// state writes a value into a column of every row whose cells are those of where: "Line=SD-132, Structure=T-020".
func (in *inputs) state(t *testing.T, sheet, where, column, value string) {
	t.Helper()
	columns, stated := in.columns(sheet), 0
	for _, row := range in.sheets[sheet][1:] {
		fits := true
		for _, term := range strings.Split(where, ", ") {
			name, want, _ := strings.Cut(term, "=")
			fits = fits && row[slices.Index(columns, name)] == want
		}
		if fits {
			row[slices.Index(columns, column)] = value
			stated++
		}
	}
	require.Positive(t, stated, "%s has no row with %s", sheet, where)
}

// declare writes a property of one structure.
func (in *inputs) declare(t *testing.T, line, structure, property string, value any) {
	t.Helper()
	in.structure(t, line, structure).Properties[property] = value
}

func (in *inputs) structure(t *testing.T, line, structure string) *feature {
	t.Helper()
	for _, f := range in.layers["structures"].Features {
		if f.Properties["line"] == line && f.Properties["structure"] == structure {
			return f
		}
	}
	require.Fail(t, "no such structure", "%s %s", line, structure)
	return nil
}
