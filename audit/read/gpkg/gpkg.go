// Package gpkg reads the layers of OGC GeoPackages. A file enters; features leave one by one, each with its geometry and
// its columns. It knows nothing of what they mean.
package gpkg

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	geom "github.com/twpayne/go-geom"
	_ "modernc.org/sqlite" // the driver
)

// Magic is how the bytes of a GeoPackage start, as those of any SQLite database.
const Magic = "SQLite format 3\x00"

// File is an open GeoPackage. It is read only, and nothing is written beside it.
type File struct{ db *sql.DB }

// Layer is a layer of features.
type Layer struct {
	Name     string
	Geometry string // its column
	System   System
}

// System is the reference system of a layer as the file declares it.
type System struct {
	ID           int64
	Organization string // such as EPSG
	Code         int64
	Name         string
}

// EPSG returns the code of the system in the EPSG dataset; ok is false where it has none there. Whatever order the system
// has for its axes, a GeoPackage always has longitude or easting first.
func (s System) EPSG() (code int, ok bool) {
	const wgs84 = 4326
	switch {
	case strings.EqualFold(s.Organization, "EPSG"):
		return int(s.Code), true
	case strings.EqualFold(s.Organization, "OGC") && (strings.EqualFold(s.Name, "CRS84") || s.Code == 84):
		return wgs84, true
	}
	return 0, false
}

// IsUndefined tells whether the file leaves open what the system is.
func (s System) IsUndefined() bool {
	return s.Organization == "" || strings.EqualFold(s.Organization, "NONE")
}

func (s System) String() string {
	if s.IsUndefined() {
		return fmt.Sprintf("undefined (%d)", s.ID)
	}
	return fmt.Sprintf("%s:%d", strings.ToUpper(s.Organization), s.Code)
}

// Feature is a row of a layer.
type Feature struct {
	ID       int64  // its primary key; where the layer has none, its place counted from 1
	Geometry geom.T // nil where there is none or it cannot be used
	Problem  error  // why the geometry cannot be used
	Names    []string
	Values   []any // int64, float64, string, bool, []byte, time.Time or nil
}

// ErrInUse says that another program is writing to the file.
var ErrInUse = errors.New("is open in another program, which has not yet written everything into it")

// Open opens the file at a path.
func Open(ctx context.Context, path string) (*File, error) {
	for _, beside := range [...]string{"-wal", "-journal"} { // what is not yet in the file, or is to be taken back
		if info, err := os.Stat(path + beside); err == nil && info.Size() > 0 {
			return nil, ErrInUse
		}
	}
	absolute, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	if err := checkLength(path); err != nil {
		return nil, err
	}
	source := url.URL{Scheme: "file", Path: addressPath(absolute), RawQuery: "mode=ro&immutable=1"}
	db, err := sql.Open("sqlite", source.String())
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(1)
	if err := db.PingContext(ctx); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return &File{db}, nil
}

// addressPath is an absolute path as an address has it: /C:/lines/towers.gpkg of a drive, //server/lines/towers.gpkg of a share.
func addressPath(absolute string) string {
	return "/" + strings.TrimPrefix(filepath.ToSlash(absolute), "/")
}

// checkLength finds a file that is cut short, of which SQLite may read what is left without a word.
//
// Source: SQLite database file format, clauses 1.3.2 and 1.3.7 (page size, size in pages).
func checkLength(path string) error {
	file, err := os.Open(path)
	if err != nil {
		return err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return err
	}
	var head [100]byte
	if _, err := io.ReadFull(file, head[:]); err != nil {
		return nil // SQLite says what it is
	}
	pageSize := int64(binary.BigEndian.Uint16(head[16:]))
	if pageSize == 1 {
		pageSize = 1 << 16
	}
	length := pageSize * int64(binary.BigEndian.Uint32(head[28:]))
	if changes, counted := head[24:28], head[92:96]; bytes.Equal(changes, counted) && info.Size() < length {
		return fmt.Errorf("it is cut short, to %d of %d bytes", info.Size(), length)
	}
	return nil
}

// Close closes the file.
func (f *File) Close() error { return f.db.Close() }

// Layers lists the layers of features in the order of their names.
func (f *File) Layers(ctx context.Context) ([]Layer, error) {
	rows, err := f.db.QueryContext(ctx, `SELECT c.table_name, g.column_name, s.srs_id, s.organization, s.organization_coordsys_id, s.srs_name
FROM gpkg_contents c JOIN gpkg_geometry_columns g ON g.table_name = c.table_name LEFT JOIN gpkg_spatial_ref_sys s ON s.srs_id = g.srs_id
WHERE c.data_type = 'features' ORDER BY c.table_name`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var layers []Layer
	for rows.Next() {
		var l Layer
		var id, code sql.NullInt64
		var organization, name sql.NullString
		if err := rows.Scan(&l.Name, &l.Geometry, &id, &organization, &code, &name); err != nil {
			return nil, err
		}
		l.System = System{id.Int64, organization.String, code.Int64, name.String}
		layers = append(layers, l)
	}
	return layers, rows.Err()
}

// Features calls each for every feature of a layer in the order of the primary key. A feature is good until the next.
func (f *File) Features(ctx context.Context, l Layer, each func(*Feature) error) error {
	key, err := f.key(ctx, l)
	if err != nil {
		return err
	}
	query := "SELECT * FROM " + quoted(l.Name)
	if key != "" {
		query += " ORDER BY " + quoted(key)
	}
	rows, err := f.db.QueryContext(ctx, query)
	if err != nil {
		return err
	}
	defer rows.Close()
	names, err := rows.Columns()
	if err != nil {
		return err
	}
	values, places := make([]any, len(names)), make([]any, len(names))
	for i := range values {
		places[i] = &values[i]
	}
	for count := int64(1); rows.Next(); count++ {
		if err := rows.Scan(places...); err != nil {
			return err
		}
		feature := Feature{ID: count}
		for i, name := range names {
			switch {
			case strings.EqualFold(name, l.Geometry):
				feature.Geometry, feature.Problem = geometry(values[i])
				continue
			case strings.EqualFold(name, key):
				if id, ok := values[i].(int64); ok {
					feature.ID = id
				}
			}
			feature.Names = append(feature.Names, name)
			feature.Values = append(feature.Values, values[i])
		}
		if err := each(&feature); err != nil {
			return err
		}
	}
	return rows.Err()
}

// key finds the integer primary key of a layer, empty where it has none, as a view.
func (f *File) key(ctx context.Context, l Layer) (key string, err error) {
	err = f.db.QueryRowContext(ctx, `SELECT name FROM pragma_table_info(?) WHERE pk = 1 AND upper(type) LIKE '%INT%'`, l.Name).Scan(&key)
	if errors.Is(err, sql.ErrNoRows) {
		return "", nil
	}
	return key, err
}

// quoted is a name as SQL takes it.
func quoted(name string) string { return `"` + strings.ReplaceAll(name, `"`, `""`) + `"` }
