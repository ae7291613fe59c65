package read

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"dryarc/audit/read/parquet/parquettest"

	"github.com/parquet-go/parquet-go"
	"github.com/stretchr/testify/require"
)

// asParquet writes the base with its layers as GeoParquet, whose metadata say more of the column, and returns the project file.
func asParquet(t *testing.T, b base, more string) string {
	t.Helper()
	b.project = strings.ReplaceAll(b.project, ".geojson", ".parquet")
	path := b.write(t)
	for _, name := range []string{"structures", "zones"} {
		at := filepath.Join(filepath.Dir(path), name)
		text, err := os.ReadFile(at + ".geojson")
		require.NoError(t, err)
		content, err := parquettest.Layer(text, parquettest.Geo(more))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(at+".parquet", content, 0o600))
	}
	return path
}

// TestGeoParquet holds the layers of GeoParquet to be read as those of GeoJSON, whatever their metadata leave out.
func TestGeoParquet(t *testing.T) {
	want := newBase().mustRead(t)
	for name, more := range map[string]string{
		"no system": "", "CRS84": `,"crs":{"type":"GeographicCRS","name":"WGS 84 (CRS84)","id":{"authority":"OGC","code":"CRS84"}}`,
		"EPSG": `,"crs":{"type":"GeographicCRS","name":"WGS 84","id":{"authority":"EPSG","code":4326}},"orientation":"counterclockwise","epoch":2020.5`,
	} {
		t.Run(name, func(t *testing.T) {
			p, understood, err := Understood(context.Background(), asParquet(t, newBase(), more))
			require.NoError(t, err)
			require.Empty(t, faultsOf(p))
			require.Equal(t, "GeoParquet", understood[0].Format)
			require.Equal(t, 3, understood[0].Rows)
			requireSameLayers(t, want, p)
		})
	}
	t.Run("compressed", func(t *testing.T) {
		path := asParquet(t, newBase(), "")
		at := filepath.Join(filepath.Dir(path), "structures.parquet")
		content, err := os.ReadFile(at)
		require.NoError(t, err)
		writeGzip(t, at, content)
		p, err := Project(context.Background(), path)
		require.NoError(t, err)
		requireSameLayers(t, want, p)
	})
	t.Run("spherical edges", func(t *testing.T) {
		_, understood, err := Understood(context.Background(), asParquet(t, newBase(), `,"edges":"spherical"`))
		require.NoError(t, err)
		require.Contains(t, strings.Join(understood[0].Notes, "\n"), "joined by edges that are spherical")
	})
	t.Run("looked at", func(t *testing.T) {
		path := asParquet(t, newBase(), "")
		seen, err := LookAt(context.Background(), filepath.Join(filepath.Dir(path), "structures.parquet"))
		require.NoError(t, err)
		require.Equal(t, "Parquet", seen.Format)
		require.Len(t, seen.Layers, 1)
		require.Equal(t, 3, seen.Layers[0].Points)
		require.Equal(t, []string{"line"}, seen.Layers[0].Meant("structures", "line"))
	})
}

// TestGeoParquetUnusable holds what cannot be read to be refused with a word.
func TestGeoParquetUnusable(t *testing.T) {
	for name, c := range map[string]struct {
		more    string
		project string // in place of structures.parquet
		message string
	}{
		"unknown system": {`,"crs":null`, "", `structures.parquet: says that the reference system of its geometry "geometry" is not known`},
		"another system": {`,"crs":{"name":"RGF93","id":{"authority":"EPSG","code":2154}}`, "", `its geometry "geometry" has the reference system "EPSG:2154", which is neither`},
		"no number":      {`,"crs":{"name":"Our own"}`, "", `has the reference system "Our own", which is neither`},
		"two systems":    {`,"crs":{"name":"UTM","id":{"authority":"EPSG","code":32632}}`, "structures.parquet, crs: EPSG:32633", `the reference system of its geometry "geometry" is EPSG:32632`},
		"layer":          {"", "structures.parquet, layer: x", "is no GeoPackage, expected one with the layer"},
		"encoding":       {"", "structures.parquet, encoding: UTF-8", "is in Parquet, for which encoding means nothing"},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			if c.project != "" {
				b.project = strings.Replace(b.project, "structures.geojson", c.project, 1)
			}
			_, err := Project(context.Background(), asParquet(t, b, c.more))
			require.ErrorContains(t, err, c.message)
		})
	}
	t.Run("native encoding", func(t *testing.T) {
		path := asParquet(t, newBase(), "")
		content, err := parquettest.Layer([]byte(newBase().structures), strings.Replace(parquettest.Geo(""), "WKB", "point", 1))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), "structures.parquet"), content, 0o600))
		_, err = Project(context.Background(), path)
		require.ErrorContains(t, err, `structures.parquet: cannot be read as Parquet: its geometries are encoded as "point", expected WKB`)
	})
}

// registerAsParquet writes the sheets of the base as files in Parquet.
func registerAsParquet(t *testing.T, b base, files map[string]grid) string {
	t.Helper()
	b.project = strings.Replace(b.project, "register: {file: register.xlsx}", "register: {file: [\"assemblies*.parquet\", lines.parquet, units.parquet]}", 1)
	path := b.write(t)
	for name, sheet := range files {
		content, err := parquettest.Table(textsOf(sheet))
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), name), content, 0o600))
	}
	return path
}

func textsOf(sheet grid) (records [][]string) {
	for _, row := range sheet {
		record := make([]string, len(row))
		for i, value := range row {
			switch v := value.(type) {
			case string:
				record[i] = v
			case int:
				record[i] = strconv.Itoa(v)
			}
		}
		records = append(records, record)
	}
	return records
}

// TestRegisterInParquet holds a register of tables in Parquet, one of them by a pattern, to be read as the workbook.
func TestRegisterInParquet(t *testing.T) {
	b := newBase()
	want := b.mustRead(t)
	path := registerAsParquet(t, b, map[string]grid{"assemblies-1.parquet": b.assemblies[:2], "assemblies-2.parquet": {b.assemblies[0], b.assemblies[2]}, "lines.parquet": b.lines, "units.parquet": b.units})
	p, understood, err := Understood(context.Background(), path)
	require.NoError(t, err)
	require.Empty(t, faultsOf(p))
	require.Equal(t, want.RowsRead, p.RowsRead)
	require.Equal(t, "table in Parquet", understood[len(understood)-1].Format)
	b.assemblies[2][7] = "eight"
	path = registerAsParquet(t, b, map[string]grid{"assemblies.parquet": b.assemblies, "lines.parquet": b.lines, "units.parquet": b.units})
	p, err = Project(context.Background(), path)
	require.NoError(t, err)
	require.Len(t, faultsOf(p), 1)
	require.Contains(t, faultsOf(p)[0], "assemblies.parquet row 2")
	require.Contains(t, faultsOf(p)[0], `"eight"`)
}

// TestPointsInParquet holds a table of points without a geometry to be read as one of text, and a nested column that is read to be a fault.
func TestPointsInParquet(t *testing.T) {
	b := newBase()
	b.project = strings.Replace(b.project, "structures.geojson", "structures.parquet", 1)
	path := b.write(t)
	write := func(line parquet.Node, value parquet.Value) {
		content, err := parquettest.File([]parquettest.Column{{Name: "Line", Node: line}, {Name: "Structure", Node: parquet.Int(64)}, {Name: "Longitude", Node: parquet.Leaf(parquet.DoubleType)}, {Name: "Latitude", Node: parquet.Leaf(parquet.DoubleType)}},
			[][]parquet.Value{{value, parquet.Int64Value(1), parquet.DoubleValue(10), parquet.DoubleValue(50)}, {value, parquet.Int64Value(2), parquet.DoubleValue(10.003), parquet.DoubleValue(50)},
				{value, parquet.Int64Value(3), parquet.DoubleValue(10.006), parquet.DoubleValue(50)}}, nil, 2)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(path), "structures.parquet"), content, 0o600))
	}
	write(parquet.String(), parquet.ByteArrayValue([]byte("L1")))
	p, understood, err := Understood(context.Background(), path)
	require.NoError(t, err)
	require.Empty(t, faultsOf(p))
	require.Equal(t, 3, p.Structures.Len())
	require.Equal(t, "table of points in Parquet", understood[0].Format)
	want := newBase().mustRead(t)
	for i := range want.Structures.Len() {
		require.Equal(t, []float64{want.Structures.At(i).Lon, want.Structures.At(i).Lat}, []float64{p.Structures.At(i).Lon, p.Structures.At(i).Lat})
	}
	write(parquet.Leaf(parquet.ByteArrayType), parquet.ByteArrayValue([]byte("L1")))
	_, err = Project(context.Background(), path)
	requireInputError(t, err, `structures.parquet: column "Line" holds neither texts, numbers nor dates, but BYTE_ARRAY, expected texts, numbers or dates`, "export it again with plain columns")
}
