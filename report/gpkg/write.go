package gpkg

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	_ "modernc.org/sqlite" // registers the driver "sqlite"
)

// Write writes layers as a GeoPackage. changed is the time that the file states as that of its last change. The file
// is made in the folder scratch, since SQLite has to seek, and then copied to w; an empty scratch is the system's folder
// for temporary files. Where ctx has ended its error is all that is returned: what a database says of a statement that was
// cut short depends on the moment.
func Write(ctx context.Context, w io.Writer, scratch string, changed time.Time, layers []Layer) (err error) {
	if scratch != "" { // the address of a database takes the first part of a relative path for a machine
		if scratch, err = filepath.Abs(scratch); err != nil {
			return err
		}
	}
	dir, err := os.MkdirTemp(scratch, fmt.Sprintf("dryarc-%d-gpkg-*", os.Getpid()))
	if err != nil {
		return err
	}
	path := filepath.Join(dir, "layers.gpkg")
	defer func() {
		if left := os.Remove(path); left != nil && !errors.Is(left, fs.ErrNotExist) {
			err = errors.Join(err, left)
		}
		err = errors.Join(err, os.Remove(dir))
	}()
	defer func() {
		if err != nil && ctx.Err() != nil {
			err = ctx.Err()
		}
	}()
	if err := build(ctx, path, changed, layers); err != nil {
		return err
	}
	file, err := os.Open(path)
	if err != nil {
		return err
	}
	_, err = io.Copy(w, file)
	return errors.Join(err, file.Close())
}

func build(ctx context.Context, path string, changed time.Time, layers []Layer) (err error) {
	db, err := sql.Open("sqlite", (&url.URL{Scheme: "file", Path: "/" + strings.TrimPrefix(filepath.ToSlash(path), "/")}).String()) // /C:/… of a drive
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	db.SetMaxOpenConns(1)
	// Nothing reads the file before it is whole, so it needs no journal.
	for _, pragma := range []string{"journal_mode = OFF", "synchronous = OFF", fmt.Sprintf("application_id = %d", applicationID),
		fmt.Sprintf("user_version = %d", version)} {
		if _, err := db.ExecContext(ctx, "PRAGMA "+pragma); err != nil {
			return err
		}
	}
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	for _, statement := range schema {
		if _, err := tx.ExecContext(ctx, statement); err != nil {
			return errors.Join(err, tx.Rollback())
		}
	}
	for i := range layers {
		l := layerWriter{Layer: &layers[i], tx: tx, changed: changed.UTC().Format(timeFormat), extent: emptyBox()}
		if err := l.write(ctx); err != nil {
			return errors.Join(fmt.Errorf("layer %s: %w", l.Name, err), tx.Rollback())
		}
	}
	if err := describe(ctx, tx, layers); err != nil {
		return errors.Join(fmt.Errorf("descriptions of columns: %w", err), tx.Rollback())
	}
	if err := keepStyles(ctx, tx, layers, changed.UTC().Format(timeFormat)); err != nil {
		return errors.Join(fmt.Errorf("styles: %w", err), tx.Rollback())
	}
	return tx.Commit()
}

// timeFormat is how the standard writes a moment.
const timeFormat = "2006-01-02T15:04:05.000Z"

// layerWriter writes one layer.
type layerWriter struct {
	*Layer
	tx      *sql.Tx
	changed string
	extent  box
}

func (l *layerWriter) write(ctx context.Context) error {
	if err := l.exec(ctx, l.createSQL()); err != nil {
		return err
	}
	if l.Geometry != NoGeometry {
		if err := l.exec(ctx, l.createIndexSQL()); err != nil {
			return err
		}
	}
	if err := l.fill(ctx); err != nil {
		return err
	}
	return l.register(ctx)
}

func (l *layerWriter) exec(ctx context.Context, statement string, values ...any) error {
	_, err := l.tx.ExecContext(ctx, statement, values...)
	return err
}

// fill inserts the rows and their extents.
func (l *layerWriter) fill(ctx context.Context) (err error) {
	insert, err := l.tx.PrepareContext(ctx, l.insertSQL())
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, insert.Close()) }()
	var index *sql.Stmt
	if l.Geometry != NoGeometry {
		index, err = l.tx.PrepareContext(ctx, "INSERT INTO "+quoted(l.indexName())+" VALUES (?, ?, ?, ?, ?)")
		if err != nil {
			return err
		}
		defer func() { err = errors.Join(err, index.Close()) }()
	}
	fid := int64(0)
	values := make([]any, 0, len(l.Columns)+2)
	for row := range l.Rows {
		fid++
		values = append(values[:0], fid)
		if l.Geometry != NoGeometry {
			geometry, err := l.place(ctx, index, fid, row)
			if err != nil {
				return err
			}
			values = append(values, geometry)
		}
		for _, value := range row.Values {
			if number, ok := value.(float64); ok && (math.IsNaN(number) || math.IsInf(number, 0)) {
				value = nil
			}
			values = append(values, value)
		}
		if _, err := insert.ExecContext(ctx, values...); err != nil {
			return fmt.Errorf("row %d: %w", fid, err)
		}
	}
	return nil
}

// place puts a geometry into the index and returns it as it is stored, nil for none.
func (l *layerWriter) place(ctx context.Context, index *sql.Stmt, fid int64, row Row) (any, error) {
	if row.Geometry == nil || row.Geometry.Empty() {
		return nil, nil
	}
	stored, extent, err := blob(row.Geometry)
	if err != nil {
		return nil, fmt.Errorf("row %d: %w", fid, err)
	}
	l.extent.extend(extent)
	if _, err := index.ExecContext(ctx, fid, extent.minX, extent.maxX, extent.minY, extent.maxY); err != nil {
		return nil, fmt.Errorf("index of row %d: %w", fid, err)
	}
	return stored, nil
}

// register names the layer in the tables of contents, and lets triggers keep its index from now on.
func (l *layerWriter) register(ctx context.Context) error {
	const contents = "INSERT INTO gpkg_contents (table_name, data_type, identifier, description, last_change, min_x, min_y, max_x, max_y, srs_id) " +
		"VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
	if l.Geometry == NoGeometry {
		return l.exec(ctx, contents, l.Name, "attributes", l.Name, l.Description, l.changed, nil, nil, nil, nil, nil)
	}
	values := []any{l.Name, "features", l.Name, l.Description, l.changed, nil, nil, nil, nil, wgs84}
	if !l.extent.isEmpty() {
		values[5], values[6], values[7], values[8] = l.extent.minX, l.extent.minY, l.extent.maxX, l.extent.maxY
	}
	if err := l.exec(ctx, contents, values...); err != nil {
		return err
	}
	if err := l.exec(ctx, "INSERT INTO gpkg_geometry_columns VALUES (?, ?, ?, ?, 0, 0)", l.Name, geometryColumn, l.Geometry, wgs84); err != nil {
		return err
	}
	if err := l.exec(ctx, "INSERT INTO gpkg_extensions VALUES (?, ?, 'gpkg_rtree_index', ?, 'write-only')", l.Name, geometryColumn, rtreeDefinition); err != nil {
		return err
	}
	for _, trigger := range l.triggersSQL() {
		if err := l.exec(ctx, trigger); err != nil {
			return err
		}
	}
	return nil
}
