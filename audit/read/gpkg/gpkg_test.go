package gpkg

import (
	"context"
	"database/sql"
	"encoding/hex"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit/read/gdaltest"

	"github.com/stretchr/testify/require"
	geom "github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/encoding/wkb"
)

// blob is a geometry as a GeoPackage stores it, without an envelope.
func blob(t require.TestingT, g geom.T) []byte {
	body, err := wkb.Marshal(g, wkb.NDR)
	require.NoError(t, err)
	return append([]byte{'G', 'P', 0, 1, 0xe6, 0x10, 0, 0}, body...)
}

// write makes a GeoPackage with the tables of the standard and more statements.
func write(t *testing.T, statements ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "a b#?.gpkg")
	db, err := sql.Open("sqlite", "file:"+strings.NewReplacer("#", "%23", "?", "%3f", " ", "%20").Replace(path))
	require.NoError(t, err)
	for _, statement := range append([]string{
		`CREATE TABLE gpkg_spatial_ref_sys (srs_name TEXT, srs_id INTEGER PRIMARY KEY, organization TEXT, organization_coordsys_id INTEGER, definition TEXT)`,
		`CREATE TABLE gpkg_contents (table_name TEXT PRIMARY KEY, data_type TEXT, srs_id INTEGER)`,
		`CREATE TABLE gpkg_geometry_columns (table_name TEXT, column_name TEXT, geometry_type_name TEXT, srs_id INTEGER)`,
		`INSERT INTO gpkg_spatial_ref_sys VALUES ('WGS 84', 4326, 'EPSG', 4326, ''), ('UTM', 32632, 'EPSG', 32632, ''), ('Undefined', -1, 'NONE', -1, '')`,
	}, statements...) {
		_, err := db.Exec(statement)
		require.NoError(t, err, statement)
	}
	require.NoError(t, db.Close())
	return path
}

func TestLayersAndFeatures(t *testing.T) {
	point := blob(t, geom.NewPointFlat(geom.XYZ, []float64{10, 50, 7}))
	path := write(t,
		`CREATE TABLE poles (fid INTEGER PRIMARY KEY, "pole ""no""" TEXT, height REAL, shape BLOB, built DATE, live BOOLEAN)`,
		`INSERT INTO gpkg_contents VALUES ('poles', 'features', 4326), ('areas', 'features', 32632), ('notes', 'attributes', NULL), ('odd', 'features', 7)`,
		`INSERT INTO gpkg_geometry_columns VALUES ('poles', 'shape', 'POINT', 4326), ('areas', 'geom', 'POLYGON', 32632), ('odd', 'geom', 'POINT', 7)`,
		`CREATE TABLE areas (geom BLOB)`,
		`INSERT INTO poles VALUES (7, 'B', 12.5, X'`+hex.EncodeToString(point)+`', NULL, 1), (3, NULL, 1, NULL, NULL, NULL), (4, 'x', 2, X'0102', NULL, 0)`,
	)
	f, err := Open(context.Background(), path)
	require.NoError(t, err)
	defer func() { require.NoError(t, f.Close()) }()
	layers, err := f.Layers(context.Background())
	require.NoError(t, err)
	require.Len(t, layers, 3)
	require.Equal(t, []string{"areas", "odd", "poles"}, []string{layers[0].Name, layers[1].Name, layers[2].Name})
	require.Equal(t, []string{"EPSG:32632", "undefined (0)", "EPSG:4326"}, []string{layers[0].System.String(), layers[1].System.String(), layers[2].System.String()})
	require.Equal(t, []bool{false, true, false}, []bool{layers[0].System.IsUndefined(), layers[1].System.IsUndefined(), layers[2].System.IsUndefined()})
	for i, want := range []int{32632, 0, 4326} {
		code, ok := layers[i].System.EPSG()
		require.Equal(t, want, code)
		require.Equal(t, want != 0, ok)
	}

	var got []Feature
	require.NoError(t, f.Features(context.Background(), layers[2], func(feature *Feature) error {
		got = append(got, *feature)
		return nil
	}))
	require.Len(t, got, 3)
	require.Equal(t, []int64{3, 4, 7}, []int64{got[0].ID, got[1].ID, got[2].ID}, "by primary key")
	require.Nil(t, got[0].Geometry)
	require.NoError(t, got[0].Problem)
	require.EqualError(t, got[1].Problem, "is no geometry of a GeoPackage")
	require.Equal(t, []float64{10, 50, 7}, got[2].Geometry.FlatCoords())
	require.Equal(t, []string{"fid", `pole "no"`, "height", "built", "live"}, got[2].Names)
	require.Equal(t, "B", got[2].Values[1])
	require.Equal(t, 12.5, got[2].Values[2])

	stop := errors.New("stop")
	require.Equal(t, stop, f.Features(context.Background(), layers[2], func(*Feature) error { return stop }))
	there, err := os.ReadDir(filepath.Dir(path))
	require.NoError(t, err)
	require.Len(t, there, 1, "nothing is written beside the file")
}

func TestUnusable(t *testing.T) {
	folder := t.TempDir()
	text := filepath.Join(folder, "text.gpkg")
	require.NoError(t, os.WriteFile(text, []byte(Magic+"and then nothing that is a database"), 0o600))
	f, err := Open(context.Background(), text)
	if err == nil {
		_, err = f.Layers(context.Background())
		require.NoError(t, f.Close())
	}
	require.Error(t, err)

	for _, beside := range [...]string{"-wal", "-journal"} {
		used := write(t)
		require.NoError(t, os.WriteFile(used+beside, nil, 0o600))
		file, err := Open(context.Background(), used)
		require.NoError(t, err, "an empty one is left by a program that has written everything")
		require.NoError(t, file.Close())
		require.NoError(t, os.WriteFile(used+beside, []byte("x"), 0o600))
		_, err = Open(context.Background(), used)
		require.ErrorIs(t, err, ErrInUse)
	}
}

func TestGeometry(t *testing.T) {
	line := geom.NewLineStringFlat(geom.XY, []float64{1, 2, 3, 4})
	plain := blob(t, line)
	enveloped := append([]byte{'G', 'P', 0, 3, 0, 0, 0, 0}, make([]byte, 32)...)
	enveloped = append(enveloped, plain[8:]...)
	for _, sound := range [][]byte{plain, enveloped} {
		shape, err := geometry(sound)
		require.NoError(t, err)
		require.Equal(t, line.FlatCoords(), shape.FlatCoords())
	}
	empty := append([]byte{}, plain...)
	empty[3] |= emptyFlag
	shape, err := geometry(empty)
	require.NoError(t, err)
	require.Nil(t, shape)
	for _, g := range []geom.T{
		geom.NewPointFlat(geom.XYZM, []float64{1, 2, 3, 4}), geom.NewMultiPointFlat(geom.XYM, []float64{1, 2, 3, 4, 5, 6}),
		geom.NewPolygonFlat(geom.XYZ, []float64{0, 0, 1, 1, 0, 1, 1, 1, 1, 0, 0, 1}, []int{12}),
		geom.NewMultiLineStringFlat(geom.XY, []float64{1, 2, 3, 4, 5, 6, 7, 8}, []int{4, 8}),
		geom.NewMultiPolygonFlat(geom.XY, []float64{0, 0, 1, 0, 1, 1, 0, 0, 5, 5, 6, 5, 6, 6, 5, 5}, [][]int{{8}, {16}}),
	} {
		shape, err := geometry(blob(t, g))
		require.NoError(t, err)
		require.Equal(t, g.FlatCoords(), shape.FlatCoords())
		require.Equal(t, g.Layout(), shape.Layout())
	}
	_, err = geometry(append([]byte("GP\x00\x01\x00\x00\x00\x00"), 1, 2, 0, 0, 0, 0xff, 0xff, 0xff, 0xff))
	require.EqualError(t, err, "cannot be decoded: its counts do not fit its length")
	_, err = geometry(append([]byte("GP\x00\x01\x00\x00\x00\x00"), 1, 10, 0, 0, 0, 0, 0, 0, 0))
	require.EqualError(t, err, "is a CurvePolygon, which is not read; turn it into straight pieces, in PostGIS by ST_CurveToLine")
	for _, broken := range []any{"text", []byte("GP"), plain[:12], enveloped[:20], append([]byte{'G', 'P', 0, 0x21}, plain[4:]...), append([]byte{'G', 'P', 0, 0x0f}, plain[4:]...)} {
		_, err := geometry(broken)
		require.Error(t, err)
	}
}

// TestLibraryOfTheGIS reads what the usual converter writes.
func TestLibraryOfTheGIS(t *testing.T) {
	folder := t.TempDir()
	source := filepath.Join(folder, "poles.geojson")
	require.NoError(t, os.WriteFile(source, []byte(`{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"line":"Ä 1","structure":12,"height":18.5,"live":true},"geometry":{"type":"Point","coordinates":[10.25,50.5,300]}}]}`), 0o600))
	gdaltest.Run(t, folder, "ogr2ogr", "-f", "GPKG", "poles.gpkg", source)
	f, err := Open(context.Background(), filepath.Join(folder, "poles.gpkg"))
	require.NoError(t, err)
	defer f.Close()
	layers, err := f.Layers(context.Background())
	require.NoError(t, err)
	require.Len(t, layers, 1)
	code, ok := layers[0].System.EPSG()
	require.True(t, ok)
	require.Equal(t, 4979, code, "WGS 84 with heights")
	require.NoError(t, f.Features(context.Background(), layers[0], func(feature *Feature) error {
		require.Equal(t, []float64{10.25, 50.5, 300}, feature.Geometry.FlatCoords())
		values := map[string]any{}
		for i, name := range feature.Names {
			values[name] = feature.Values[i]
		}
		require.Equal(t, "Ä 1", values["line"])
		require.Equal(t, int64(12), values["structure"])
		require.Equal(t, 18.5, values["height"])
		return nil
	}))
}

func FuzzGeometry(f *testing.F) {
	f.Add(blob(f, geom.NewPointFlat(geom.XY, []float64{1, 2})))
	f.Add(blob(f, geom.NewPolygonFlat(geom.XYZ, []float64{0, 0, 1, 1, 0, 1, 1, 1, 1, 0, 0, 1}, []int{12})))
	f.Add([]byte("GP\x00\x01\x00\x00\x00\x00\x01\x06\x00\x00\x00\xff\xff\xff\xff"))
	f.Fuzz(func(t *testing.T, content []byte) {
		shape, err := geometry(content)
		require.False(t, err != nil && shape != nil)
	})
}
