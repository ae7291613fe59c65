package gpkg

import (
	"bytes"
	"context"
	"database/sql"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// openedWith is a file of some layers.
func openedWith(t *testing.T, layers ...Layer) *sql.DB {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Write(context.Background(), &b, "", day, layers))
	path := filepath.Join(t.TempDir(), "a.gpkg")
	require.NoError(t, os.WriteFile(path, b.Bytes(), 0o666))
	db, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, db.Close()) })
	return db
}

func texts(t *testing.T, db *sql.DB, query string) (out []string) {
	t.Helper()
	rows, err := db.Query(query)
	require.NoError(t, err)
	for rows.Next() {
		var text string
		require.NoError(t, rows.Scan(&text))
		out = append(out, text)
	}
	require.NoError(t, rows.Err())
	return out
}

// Two columns may have one heading, as what inputs bring may be called anything; their short names stay apart.
func TestColumnsOfOneHeading(t *testing.T) {
	severity := Column{Name: "severity", Type: Text, Title: "Severity", Values: []Value{{"note", "A note"}}}
	layer := func(name string) Layer {
		return Layer{Name: name, Geometry: Point, Rows: slices.Values([]Row(nil)), Columns: []Column{severity,
			{Name: "line", Type: Text, Title: "Line", Description: "Its name"}, {Name: "line (carried)", Type: Text, Title: "Line"}, {Name: "untold", Type: Text}}}
	}
	db := openedWith(t, layer("a"), layer("b"))
	require.Equal(t, []string{"Severity", "line", "line (carried)"}, texts(t, db, "SELECT name FROM gpkg_data_columns WHERE table_name = 'b' ORDER BY rowid"))
	require.Equal(t, []string{"Severity", "Line", "Line"}, texts(t, db, "SELECT title FROM gpkg_data_columns WHERE table_name = 'a' ORDER BY rowid"))
	require.Equal(t, []string{"A note"}, texts(t, db, "SELECT description FROM gpkg_data_column_constraints"), "once for both")
	require.Equal(t, []string{"gpkg_data_columns", "gpkg_data_column_constraints"}, texts(t, db, "SELECT table_name FROM gpkg_extensions WHERE extension_name = 'gpkg_schema' ORDER BY rowid"))
	require.Empty(t, texts(t, db, "SELECT name FROM sqlite_master WHERE name = 'layer_styles'"), "no layer has a style")
}

func TestStylesOfLayers(t *testing.T) {
	db := openedWith(t,
		Layer{Name: "a", Geometry: Point, Rows: slices.Values([]Row(nil)), Style: Style{Name: "by age", QML: "<qgis/>", SLD: "<sld/>"}},
		Layer{Name: "plain", Geometry: Point, Rows: slices.Values([]Row(nil))})
	require.Equal(t, []string{"a|geom|by age|<qgis/>|<sld/>|1||"}, texts(t, db,
		"SELECT f_table_name || '|' || f_geometry_column || '|' || styleName || '|' || styleQML || '|' || styleSLD || '|' || useAsDefault || '|' || f_table_catalog || '|' || f_table_schema FROM layer_styles"))
	require.Equal(t, []string{"2026-03-31T00:00:00.000Z"}, texts(t, db, "SELECT CAST(update_time AS TEXT) FROM layer_styles"), "no other clock")
}
