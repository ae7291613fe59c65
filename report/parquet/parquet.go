// Package parquet writes layers as GeoParquet. A layer enters, with its rows one by one; a file leaves. It knows nothing of what they mean.
package parquet

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"iter"
	"maps"
	"math"
	"slices"

	"github.com/parquet-go/parquet-go"
	geom "github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"
)

// Type is what a column holds.
type Type int

// The types of column.
const (
	Text Type = iota
	Integer
	Real
	Boolean
)

// Column is one column of values, of which any may be missing.
type Column struct {
	Name        string `json:"name"`
	Title       string `json:"title,omitempty"`
	Description string `json:"description,omitempty"`
	Type        Type   `json:"-"`
}

// Layer is what one file holds. Geometries are in longitude and latitude of WGS 84.
type Layer struct {
	Description string
	Version     string // of the program
	Columns     []Column
	Rows        iter.Seq[Row]
}

// Row is one row of a layer: a geometry, nil where the position is not known, and a value for each column. A value is nil, string, int64,
// float64 or bool; NaN is written as no value.
type Row struct {
	Geometry geom.T
	Values   []any
}

const (
	geometryColumn = "geometry"
	extentColumn   = "bbox"
	groupRows      = 1 << 15 // which are held at a time (a choice of this program)
)

// extentSides are the columns of an extent.
var extentSides = [...]string{"xmin", "ymin", "xmax", "ymax"}

// ordered is a group of columns in the order in which they are given.
type ordered struct {
	parquet.Group
	order []string
}

func (o ordered) Fields() []parquet.Field {
	at := map[string]int{}
	for i, name := range o.order {
		at[name] = i
	}
	fields := o.Group.Fields()
	slices.SortFunc(fields, func(a, b parquet.Field) int { return at[a.Name()] - at[b.Name()] })
	return fields
}

// schema has the columns, then the geometry and its extent.
func (l *Layer) schema() *parquet.Schema {
	sides := ordered{Group: parquet.Group{}, order: extentSides[:]}
	for _, side := range extentSides {
		sides.Group[side] = parquet.Leaf(parquet.DoubleType)
	}
	all := ordered{Group: parquet.Group{}}
	for _, c := range l.Columns {
		var node parquet.Node
		switch c.Type {
		case Integer:
			node = parquet.Int(64)
		case Real:
			node = parquet.Leaf(parquet.DoubleType)
		case Boolean:
			node = parquet.Leaf(parquet.BooleanType)
		default:
			node = parquet.Encoded(parquet.String(), &parquet.RLEDictionary)
		}
		all.Group[c.Name] = parquet.Optional(node)
		all.order = append(all.order, c.Name)
	}
	all.Group[geometryColumn], all.Group[extentColumn] = parquet.Optional(parquet.Leaf(parquet.ByteArrayType)), parquet.Optional(sides)
	all.order = append(all.order, geometryColumn, extentColumn)
	return parquet.NewSchema("layer", all)
}

// Write writes a layer.
func Write(ctx context.Context, w io.Writer, l Layer) error {
	taken := map[string]bool{geometryColumn: true, extentColumn: true}
	for _, c := range l.Columns {
		if taken[c.Name] {
			return fmt.Errorf("two columns %q", c.Name)
		}
		taken[c.Name] = true
	}
	to := parquet.NewWriter(w, l.schema(), parquet.Compression(&parquet.Zstd), parquet.MaxRowsPerRowGroup(groupRows), parquet.CreatedBy("dryarc", l.Version, ""))
	told := newTold()
	count := 0
	for row := range l.Rows {
		if count++; count%1024 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		values, err := l.row(row, told)
		if err != nil {
			return err
		}
		if _, err := to.WriteRows([]parquet.Row{values}); err != nil {
			return err
		}
	}
	columns, err := json.Marshal(l.Columns)
	if err != nil {
		return err
	}
	geo, err := json.Marshal(told.metadata())
	if err != nil {
		return err
	}
	to.SetKeyValueMetadata("geo", string(geo))
	to.SetKeyValueMetadata("description", l.Description)
	to.SetKeyValueMetadata("columns", string(columns))
	return to.Close()
}

// row is a row as the library takes it: each value with its level, 1 where it is there, and its column.
func (l *Layer) row(row Row, told *told) (parquet.Row, error) {
	out := make(parquet.Row, 0, len(l.Columns)+1+len(extentSides))
	add := func(v parquet.Value) {
		level := 1
		if v.IsNull() {
			level = 0
		}
		out = append(out, v.Level(0, level, len(out)))
	}
	if len(row.Values) != len(l.Columns) {
		return nil, fmt.Errorf("%d values for %d columns", len(row.Values), len(l.Columns))
	}
	for i, value := range row.Values {
		v, err := valueOf(l.Columns[i].Type, value)
		if err != nil {
			return nil, fmt.Errorf("column %q: %w", l.Columns[i].Name, err)
		}
		add(v)
	}
	if row.Geometry == nil {
		for range 1 + len(extentSides) {
			add(parquet.NullValue())
		}
		return out, nil
	}
	body, err := wkb.Marshal(row.Geometry, wkb.NDR)
	if err != nil {
		return nil, err
	}
	add(parquet.ByteArrayValue(body))
	for _, side := range told.note(row.Geometry) {
		add(parquet.DoubleValue(side))
	}
	return out, nil
}

func valueOf(t Type, value any) (parquet.Value, error) {
	switch v := value.(type) {
	case nil:
		return parquet.NullValue(), nil
	case string:
		if t == Text {
			return parquet.ByteArrayValue([]byte(v)), nil
		}
	case int64:
		if t == Integer {
			return parquet.Int64Value(v), nil
		}
	case float64:
		if math.IsNaN(v) {
			return parquet.NullValue(), nil
		}
		if t == Real {
			return parquet.DoubleValue(v), nil
		}
	case bool:
		if t == Boolean {
			return parquet.BooleanValue(v), nil
		}
	}
	return parquet.Value{}, fmt.Errorf("a value of %T", value)
}

// told is what the rows say for the metadata.
type told struct {
	types  map[string]bool
	extent [4]float64
}

func newTold() *told {
	return &told{map[string]bool{}, [4]float64{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}}
}

// note takes up a geometry and returns its extent.
func (t *told) note(g geom.T) [4]float64 {
	switch g.(type) {
	case *geom.Point:
		t.types["Point"] = true
	case *geom.LineString:
		t.types["LineString"] = true
	case *geom.MultiLineString:
		t.types["MultiLineString"] = true
	case *geom.Polygon:
		t.types["Polygon"] = true
	case *geom.MultiPolygon:
		t.types["MultiPolygon"] = true
	}
	b := g.Bounds()
	at := [4]float64{b.Min(0), b.Min(1), b.Max(0), b.Max(1)}
	for i := range 2 {
		t.extent[i], t.extent[i+2] = min(t.extent[i], at[i]), max(t.extent[i+2], at[i+2])
	}
	return at
}

// metadata is the text geo of a file. Its system is the default of the standard, longitude and latitude in WGS 84.
//
// Source: OGC GeoParquet 1.1.0, File metadata and Column metadata.
func (t *told) metadata() any {
	covering := map[string][]string{}
	for _, side := range extentSides {
		covering[side] = []string{extentColumn, side}
	}
	column := map[string]any{"encoding": "WKB", "geometry_types": slices.AppendSeq([]string{}, slices.Values(slices.Sorted(maps.Keys(t.types)))),
		"covering": map[string]any{extentColumn: covering}}
	if t.extent[0] <= t.extent[2] {
		column["bbox"] = t.extent
	}
	return map[string]any{"version": "1.1.0", "primary_column": geometryColumn, "columns": map[string]any{geometryColumn: column}}
}
