package parquet

import (
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/parquet-go/parquet-go"
	"github.com/parquet-go/parquet-go/format"
)

// Geometry is what a file says of its geometries.
type Geometry struct {
	Column  string // its name
	System  System
	Edges   string // how positions are joined where it is not by straight lines; else empty
	extents string // the column with the extents of each; empty for none
	leaf    int
}

// System is the reference system of the geometries. Whatever order the system has for its axes, positions have longitude or easting first.
type System struct {
	Name      string // such as EPSG:32719 or OGC:CRS84; of one without a number what it is called
	Undefined bool   // the file says that it does not know it
}

// crs84 is the system of a file that names none: longitude and latitude in WGS 84.
const crs84 = "OGC:CRS84"

// fileMetadata is the text geo of a file.
//
// Source: OGC GeoParquet 1.1.0, File metadata and Column metadata.
type fileMetadata struct {
	Version string                    `json:"version"`
	Primary string                    `json:"primary_column"`
	Columns map[string]columnMetadata `json:"columns"`
}

type columnMetadata struct {
	Encoding string          `json:"encoding"`
	CRS      json.RawMessage `json:"crs"`
	Edges    string          `json:"edges"`
	Covering struct {
		Bbox struct {
			XMin []string `json:"xmin"`
		} `json:"bbox"`
	} `json:"covering"`
}

// geometryOf finds the geometry of a file: what its metadata name, and where there are none the first column of a type of geometry.
func geometryOf(file *parquet.File) (*Geometry, error) {
	text, is := file.Lookup("geo")
	if !is {
		return typedGeometry(file)
	}
	var told fileMetadata
	if err := json.Unmarshal([]byte(text), &told); err != nil {
		return nil, fmt.Errorf("its metadata of GeoParquet (geo) are no JSON that is known: %w", err)
	}
	if strings.HasPrefix(told.Version, "0.") || told.Version == "" {
		return nil, fmt.Errorf("its metadata are of version %q of GeoParquet, expected 1.0.0 or newer", told.Version)
	}
	of, is := told.Columns[told.Primary]
	if !is {
		return nil, fmt.Errorf("its metadata of GeoParquet (geo) say nothing of the primary column %q", told.Primary)
	}
	column := file.Root().Column(told.Primary)
	switch {
	case column == nil:
		return nil, fmt.Errorf("it has no column %q, which its metadata name as that of the geometry", told.Primary)
	case of.Encoding != "WKB":
		return nil, fmt.Errorf("its geometries are encoded as %q, expected WKB", of.Encoding)
	case !isBytes(column):
		return nil, fmt.Errorf("its column %q holds no bytes, expected geometries as WKB", told.Primary)
	}
	g := &Geometry{Column: told.Primary, leaf: column.Index()}
	if of.Edges != "planar" {
		g.Edges = of.Edges
	}
	if path := of.Covering.Bbox.XMin; len(path) > 1 && isExtents(file.Root().Column(path[0])) {
		g.extents = path[0]
	}
	var err error
	if g.System, err = systemOf(of.CRS); err != nil {
		return nil, err
	}
	return g, agree(file, column, g.System)
}

// isExtents tells whether a column groups the sides of extents, as numbers.
//
// Source: OGC GeoParquet 1.1.0, Bounding Box Columns.
func isExtents(c *parquet.Column) bool {
	if c == nil || c.Leaf() || c.Repeated() {
		return false
	}
	for _, name := range []string{"xmin", "ymin", "xmax", "ymax"} {
		side := c.Column(name)
		if side == nil || !side.Leaf() || side.Repeated() || side.Type().Kind() != parquet.Float && side.Type().Kind() != parquet.Double {
			return false
		}
	}
	return true
}

// agree holds the system that the metadata tell against that of the type of the column, which may have one too.
func agree(file *parquet.File, column *parquet.Column, told System) error {
	name, _, is := typeOf(column)
	if !is || name == "" {
		return nil
	}
	typed, err := namedSystem(file, name)
	if err != nil || typed.is(told) {
		return err
	}
	return fmt.Errorf("its column %q has the reference system %s by its metadata of GeoParquet (geo), but %s by its type, expected one", column.Name(), told, typed)
}

// is tells whether two systems are one; EPSG:4326 differs from OGC:CRS84 by the order of its axes only, which says nothing here.
func (s System) is(other System) bool {
	plain := func(name string) string {
		if strings.EqualFold(name, "EPSG:4326") {
			return crs84
		}
		return name
	}
	return s.Undefined == other.Undefined && strings.EqualFold(plain(s.Name), plain(other.Name))
}

func (s System) String() string {
	if s.Undefined {
		return "that is not known"
	}
	return strconv.Quote(s.Name)
}

func isBytes(c *parquet.Column) bool {
	return c.Leaf() && !c.Repeated() && c.Type().Kind() == parquet.ByteArray
}

// typedGeometry is the first column whose type is that of geometries; nil where there is none.
func typedGeometry(file *parquet.File) (*Geometry, error) {
	for _, c := range file.Root().Columns() {
		name, edges, is := typeOf(c)
		if !is {
			continue
		}
		system, err := namedSystem(file, name)
		return &Geometry{Column: c.Name(), System: system, Edges: edges, leaf: c.Index()}, err
	}
	return nil, nil
}

// typeOf is the system and the edges that the type of a column names, if that is one of geometries.
//
// Source: Apache Parquet, Geospatial logical types: WKB, and a system by its name, by default longitude and latitude.
func typeOf(c *parquet.Column) (system, edges string, is bool) {
	if !isBytes(c) || c.Type().LogicalType() == nil {
		return "", "", false
	}
	switch of := c.Type().LogicalType().Value.(type) {
	case *format.GeometryType:
		return of.CRS, "", true
	case *format.GeographyType:
		return of.CRS, "spherical", true
	}
	return "", "", false
}

// namedSystem is the system that a type names: by a code, by a number, by the key of a text beside, or as that text itself.
func namedSystem(file *parquet.File, name string) (System, error) {
	if key, is := strings.CutPrefix(name, "projjson:"); is {
		text, _ := file.Lookup(key)
		if text = strings.TrimSpace(text); text == "" || text == "null" {
			return System{}, fmt.Errorf("the type of its geometry names the reference system %q, but its metadata have nothing under %q, expected PROJJSON", name, key)
		}
		return systemOf(json.RawMessage(text))
	}
	if code, is := strings.CutPrefix(name, "srid:"); is {
		if code == "0" {
			return System{Undefined: true}, nil
		}
		return System{Name: "EPSG:" + code}, nil
	}
	if strings.HasPrefix(strings.TrimSpace(name), "{") {
		return systemOf(json.RawMessage(name))
	}
	if name == "" {
		name = crs84
	}
	return System{Name: name}, nil
}

// systemOf reads a reference system as PROJJSON has it: none is longitude and latitude, null one that is not known.
func systemOf(text json.RawMessage) (System, error) {
	switch string(text) {
	case "":
		return System{Name: crs84}, nil
	case "null":
		return System{Undefined: true}, nil
	}
	var told struct {
		Name string `json:"name"`
		ID   struct {
			Authority string          `json:"authority"`
			Code      json.RawMessage `json:"code"`
		} `json:"id"`
	}
	if err := json.Unmarshal(text, &told); err != nil {
		return System{}, errors.New("its reference system (crs) is no PROJJSON")
	}
	if code := strings.Trim(string(told.ID.Code), `"`); told.ID.Authority != "" && code != "" {
		return System{Name: strings.ToUpper(told.ID.Authority) + ":" + code}, nil
	}
	return System{Name: told.Name}, nil
}
