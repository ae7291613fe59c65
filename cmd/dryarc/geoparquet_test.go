package main

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// duckDB runs statements in DuckDB, another reader and writer of Parquet, in a folder; it returns the rows of the last one. DRYARC_DUCKDB
// names a folder in whose node_modules it is.
func duckDB(t *testing.T, folder string, statements ...string) (rows []map[string]any) {
	t.Helper()
	at := os.Getenv("DRYARC_DUCKDB")
	if at == "" {
		require.NotEqual(t, "true", os.Getenv("CI"), "DRYARC_DUCKDB must name a folder with DuckDB under CI")
		t.Skip("DRYARC_DUCKDB does not name a folder with node_modules/@duckdb/node-api, files in Parquet are not held against DuckDB")
	}
	const script = `
const {DuckDBInstance} = require(process.argv[1] + '/node_modules/@duckdb/node-api');
(async () => {
  const c = await (await DuckDBInstance.create(':memory:')).connect();
  let rows;
  for (const statement of process.argv.slice(2)) rows = (await c.runAndReadAll(statement)).getRowObjectsJson();
  console.log(JSON.stringify(rows));
})().catch(e => { console.error(e); process.exit(1); });`
	command := exec.Command(tool(t, "node"), append([]string{"-e", script, at}, statements...)...)
	command.Dir = folder
	command.Stderr = os.Stderr
	out, err := command.Output()
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(out, &rows))
	return rows
}

// TestGeoParquetInDuckDB holds the outputs in GeoParquet against the GeoJSON of the same run, by another reader: rows, values, metadata, and
// positions, which it reads from the bytes of the geometries: byte order and type, then longitude and latitude in eight bytes each.
//
// Source: OGC 06-103r4, clause 8.2 (well-known binary).
func TestGeoParquetInDuckDB(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	duckDB(t, folder, "select 1")
	var told bytes.Buffer
	code := run(t.Context(), []string{"audit", demoProject, "--out", folder, "--quiet", "--also", "geoparquet"}, io.Discard, &told)
	require.LessOrEqual(t, code, 1, told.String())
	// the lengths of GeoJSON are rounded to a decimetre
	const features = `create table f as select unnest(features) f from read_json('structures.geojson', maximum_object_size=100000000)`
	rows := duckDB(t, folder, features, `select count(*)::int as all,
		count(*) filter (where g.f.properties.line = p.line and g.f.properties.structure = p.structure
			and (g.f.properties.chainage_m is null and p.chainage_m is null or abs(g.f.properties.chainage_m::double - p.chainage_m) < 0.051))::int as values,
		count(*) filter (where hex(st_aswkb(p.geometry))[1:10] = '0101000000' and p.bbox.xmin = g.f.geometry.coordinates[1]::double and p.bbox.ymax = g.f.geometry.coordinates[2]::double)::int as places
		from (select f, row_number() over () as n from f) g join (select *, row_number() over () as n from 'structures.parquet') p using (n)`)
	require.NotZero(t, rows[0]["all"])
	require.Equal(t, map[string]any{"all": rows[0]["all"], "values": rows[0]["all"], "places": rows[0]["all"]}, rows[0])
	rows = duckDB(t, folder, features, `select (select count(*)::int from f) as want, (select count(*)::int from 'structures.parquet') as got`)
	require.Equal(t, rows[0]["want"], rows[0]["got"])

	var result struct{ Exceptions []struct{ ID string } }
	text, err := os.ReadFile(filepath.Join(folder, "audit.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &result))
	rows = duckDB(t, folder, `select id, hex(st_aswkb(geometry)) as shape from 'exceptions.parquet'`)
	require.Len(t, rows, len(result.Exceptions))
	for i, e := range result.Exceptions {
		require.Equal(t, e.ID, rows[i]["id"])
	}
	rows = duckDB(t, folder, `select decode(value) as geo from parquet_kv_metadata('spans.parquet') where decode(key) = 'geo'`)
	require.Contains(t, rows[0]["geo"], `"version":"1.1.0"`)
	rows = duckDB(t, folder, `select count(*)::int as spans, count(*) filter (where hex(st_aswkb(geometry))[1:10] = '0105000000' and length_m > 0)::int as lines from 'spans.parquet'`)
	require.NotZero(t, rows[0]["spans"])
	require.Equal(t, rows[0]["spans"], rows[0]["lines"])
}

// TestParquetOfDuckDB holds an audit of a project whose structures and register DuckDB wrote as Parquet to find what that of its GeoJSON and
// CSV finds.
func TestParquetOfDuckDB(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	duckDB(t, folder, "select 1")
	write := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
	}
	points, register := []string{"line,structure,sequence,longitude,latitude"}, []string{"Line,Structure,Phase,Duty,Unit,Units per string,Strings,Defective units,Installed"}
	for i, number := range []string{"1", "2", "3", "4"} {
		at := "50.00" + number
		if i == 2 {
			at = "50.0005"
		}
		points = append(points, strings.Join([]string{"L1", number, number, "10.00" + number, at}, ","))
		register = append(register, "L1,"+number+",ABC,suspension,U70BL,"+number+",1,0,1994-03-12")
	}
	write("structures.csv", strings.Join(points, "\n")+"\n")
	write("assemblies.csv", strings.Join(register, "\n")+"\n")
	write("lines.csv", "Line,Nominal voltage (kV),Highest voltage (kV)\nL1,66,72.5\n")
	project := func(end string) string {
		name := "audit-" + end + ".yaml"
		write(name, strings.ReplaceAll("structures: {file: structures.csv}\nregister: {file: [assemblies.csv, lines.csv]}\ncriteria: {default_class: c}\n", ".csv", "."+end))
		return filepath.Join(folder, name)
	}
	for _, name := range []string{"structures", "assemblies", "lines"} {
		duckDB(t, folder, "copy (select * from read_csv('"+name+".csv')) to '"+name+".parquet' (format parquet, compression zstd)")
	}
	want := auditInto(t, project("csv"), filepath.Join(folder, "csv"))
	require.NotEmpty(t, want.Exceptions)
	same := func(got auditJSON) {
		t.Helper()
		require.Equal(t, len(want.Faults), len(got.Faults))
		require.Len(t, got.Exceptions, len(want.Exceptions))
		for i := range want.Exceptions {
			a, b := want.Exceptions[i], got.Exceptions[i]
			require.Equal(t, []any{a.Check, a.Line, a.Structure, a.Reason}, []any{b.Check, b.Line, b.Structure, b.Reason})
		}
	}
	same(auditInto(t, project("parquet"), filepath.Join(folder, "parquet")))

	var told bytes.Buffer
	code := run(t.Context(), []string{"audit", project("csv"), "--out", filepath.Join(folder, "layers"), "--quiet", "--also", "geoparquet"}, io.Discard, &told)
	require.LessOrEqual(t, code, 1, told.String())
	for _, version := range []string{"V1", "V2", "BOTH", "NONE"} { // with metadata alone, with the type of the geometry, with both
		duckDB(t, folder, "copy (select line, structure, chainage_m as sequence, geometry from 'layers/structures.parquet') to 'structures.parquet' (format parquet, geoparquet_version '"+version+"')")
		same(auditInto(t, project("parquet"), filepath.Join(folder, "shapes-"+version)))
	}
}
