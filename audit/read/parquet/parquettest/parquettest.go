// Package parquettest makes files in Parquet for tests.
package parquettest

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"

	"github.com/parquet-go/parquet-go"
	"github.com/twpayne/go-geom/encoding/geojson"
	"github.com/twpayne/go-geom/encoding/wkb"
)

// Column is a column of a file.
type Column struct {
	Name string
	Node parquet.Node // optional or required
}

// File makes a file of some rows, whose values may be null where the column is optional. Its columns stand in the order of their names. The
// file has groups of so many rows, and is compressed by snappy unless an option says otherwise.
func File(columns []Column, rows [][]parquet.Value, metadata map[string]string, group int64, options ...parquet.WriterOption) ([]byte, error) {
	nodes := parquet.Group{}
	for _, c := range columns {
		nodes[c.Name] = c.Node
	}
	names := slices.Sorted(maps.Keys(nodes))
	var out bytes.Buffer
	options = append([]parquet.WriterOption{parquet.NewSchema("test", nodes), parquet.MaxRowsPerRowGroup(group), parquet.Compression(&parquet.Snappy)}, options...)
	w := parquet.NewWriter(&out, options...)
	for _, values := range rows {
		row := make(parquet.Row, len(columns))
		for i, c := range columns {
			at, level := slices.Index(names, c.Name), 0
			if c.Node.Optional() && !values[i].IsNull() {
				level = 1
			}
			row[at] = values[i].Level(0, level, at)
		}
		if _, err := w.WriteRows([]parquet.Row{row}); err != nil {
			return nil, err
		}
	}
	for _, key := range slices.Sorted(maps.Keys(metadata)) {
		w.SetKeyValueMetadata(key, metadata[key])
	}
	err := w.Close()
	return out.Bytes(), err
}

// Table makes a file of texts, the first record of which are the headings. Blank cells are null.
func Table(records [][]string) ([]byte, error) {
	var columns []Column
	for _, name := range records[0] {
		columns = append(columns, Column{name, parquet.Optional(parquet.String())})
	}
	var rows [][]parquet.Value
	for _, record := range records[1:] {
		row := make([]parquet.Value, len(columns))
		for i, text := range record {
			if text != "" {
				row[i] = parquet.ByteArrayValue([]byte(text))
			}
		}
		rows = append(rows, row)
	}
	return File(columns, rows, nil, 1000)
}

// Layer makes a file of GeoParquet from a layer of GeoJSON. geo are its metadata. A property that is a number in every feature that has it
// is a column of numbers.
func Layer(text []byte, geo string) ([]byte, error) {
	var collection struct {
		Features []struct {
			Properties map[string]any
			Geometry   json.RawMessage
		}
	}
	if err := json.Unmarshal(text, &collection); err != nil {
		return nil, err
	}
	isNumber := map[string]bool{}
	for _, f := range collection.Features {
		for name, value := range f.Properties {
			_, is := value.(float64)
			before, seen := isNumber[name]
			isNumber[name] = is && (before || !seen) || value == nil && before
		}
	}
	columns := []Column{{"geometry", parquet.Optional(parquet.Leaf(parquet.ByteArrayType))}}
	for _, name := range slices.Sorted(maps.Keys(isNumber)) {
		node := parquet.String()
		if isNumber[name] {
			node = parquet.Leaf(parquet.DoubleType)
		}
		columns = append(columns, Column{name, parquet.Optional(node)})
	}
	var rows [][]parquet.Value
	for _, f := range collection.Features {
		row := make([]parquet.Value, len(columns))
		var shape geojson.Geometry
		if err := json.Unmarshal(f.Geometry, &shape); err != nil {
			return nil, err
		}
		g, err := shape.Decode()
		if err != nil {
			return nil, err
		}
		body, err := wkb.Marshal(g, wkb.NDR)
		if err != nil {
			return nil, err
		}
		row[0] = parquet.ByteArrayValue(body)
		for i, c := range columns[1:] {
			switch value := f.Properties[c.Name].(type) {
			case nil:
			case float64:
				row[i+1] = parquet.DoubleValue(value)
				if !isNumber[c.Name] {
					number, err := json.Marshal(value)
					if err != nil {
						return nil, err
					}
					row[i+1] = parquet.ByteArrayValue(number)
				}
			case string:
				row[i+1] = parquet.ByteArrayValue([]byte(value))
			}
		}
		rows = append(rows, row)
	}
	return File(columns, rows, map[string]string{"geo": geo}, 7000)
}

// Geo are the metadata of a layer, of which more is what they say of its column besides the encoding: nothing, or members with a comma before.
func Geo(more string) string {
	return `{"version":"1.1.0","primary_column":"geometry","columns":{"geometry":{"encoding":"WKB","geometry_types":[]` + more + `}}}`
}
