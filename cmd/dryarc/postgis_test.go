package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit/database/databasetest"

	"github.com/jackc/pgx/v5"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// loadLayer puts a layer into a table by GDAL, which knows nothing of this program.
func loadLayer(t *testing.T, table, file string, options ...string) {
	t.Helper()
	arguments := append([]string{"-f", "PostgreSQL", "PG:", file, "-nln", table, "-lco", "GEOMETRY_NAME=geom", "-lco", "FID=ogc_fid"}, options...)
	told, err := exec.Command(tool(t, "ogr2ogr"), arguments...).CombinedOutput()
	require.NoError(t, err, "%s", told)
}

// loadSheet puts a sheet of a workbook into a table of texts, with the number of the row.
func loadSheet(t *testing.T, s *databasetest.Server, table string, book *excelize.File, sheet string) {
	t.Helper()
	records, err := book.GetRows(sheet)
	require.NoError(t, err)
	columns, names := []string{"row int"}, []string{"row"}
	for _, heading := range records[0] {
		columns, names = append(columns, pgx.Identifier{heading}.Sanitize()+" text"), append(names, heading)
	}
	s.Run(t, fmt.Sprintf("create table %s (%s)", table, strings.Join(columns, ", ")))
	var rows [][]any
	for i, record := range records[1:] {
		row := make([]any, len(names))
		row[0] = i + 1
		for at, cell := range record {
			if cell != "" {
				row[at+1] = cell
			}
		}
		rows = append(rows, row)
	}
	_, err = s.Connect(t).CopyFrom(t.Context(), pgx.Identifier{table}, names, pgx.CopyFromRows(rows))
	require.NoError(t, err)
}

// The exceptions of the real case are those of its answer key from PostGIS, in degrees and in metres, as are its faults, whose rows count without
// one for the headings.
func TestAndesFromPostGIS(t *testing.T) {
	andes := andesCase(t)
	want, named := answerKey(t, filepath.Join(andes, "expected.csv"))
	server := databasetest.Start(t)
	book, err := excelize.OpenFile(filepath.Join(andes, "assemblies.xlsx"), excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	defer book.Close()
	for _, sheet := range []string{"Assemblies", "Lines", "Units"} {
		loadSheet(t, server, strings.ToLower(sheet), book, sheet)
	}
	faults := map[string]int{}
	for _, row := range readCSV(t, filepath.Join(andes, "expected_faults.csv")) {
		var number int
		fmt.Sscan(row["row"], &number)
		faults[fmt.Sprint(andesFaultKinds[row["fault"]], " ", number-1)]++
	}
	for _, system := range []string{"EPSG:4326", "EPSG:32719"} {
		for _, layer := range []string{"structures", "zones"} {
			loadLayer(t, layer, filepath.Join(andes, layer+".geojson"), "-overwrite", "-t_srs", system)
		}
		folder := t.TempDir()
		project := filepath.Join(folder, "audit.yaml")
		require.NoError(t, os.WriteFile(project, []byte(`structures:
  database: ""
  query: select line_id, tower_no, seq, ground_m, geom from structures order by ogc_fid
  properties: {line: line_id, structure: tower_no, sequence: seq, ground_m: ground_m}
zones:
  database: ""
  query: select sps, label, geom from zones order by ogc_fid
  properties: {class: sps, label: label}
register:
  - {database: "", query: select * from assemblies order by row, as: Assemblies}
  - {database: "", query: select * from lines order by row, as: Lines}
  - {database: "", query: select * from units order by row, as: Units}
criteria: {deviation_limit_deg: 2, default_class: b, position_accuracy_m: 0, creepage_basis: unified}
`), 0o600))
		result := auditInto(t, project, filepath.Join(folder, "out"))
		require.Equal(t, want, keysOf(result, named), system)
		got := map[string]int{}
		for _, f := range result.Faults {
			if f.File == "query Assemblies" {
				require.NotEmpty(t, f.Key)
				for _, row := range append([]int{f.Row}, f.OtherRows...) {
					got[fmt.Sprint(f.Kind, " ", row)]++
				}
			}
		}
		require.Equal(t, faults, got, system)
	}
}

// demoInto writes a project that reads the demo from its files and writes into a schema.
func demoInto(t *testing.T, write string) (project, folder string) {
	t.Helper()
	folder = t.TempDir()
	from, err := filepath.Abs(filepath.Dir(demoProject))
	require.NoError(t, err)
	text, err := os.ReadFile(demoProject)
	require.NoError(t, err)
	for _, name := range []string{"structures.geojson", "zones.geojson", "crossings.geojson", "places.geojson", "assemblies.xlsx"} {
		text = []byte(strings.Replace(string(text), "file: "+name, "file: "+filepath.Join(from, name), 1))
	}
	project = filepath.Join(folder, "audit.yaml")
	require.NoError(t, os.WriteFile(project, append(text, "\nwrite: "+write+"\n"...), 0o600))
	return project, folder
}

// The tables of a run hold what its files hold, and those of the runs before as far as they are kept; what cannot be written leaves them, and the
// files of the run, in place.
func TestTablesOfARun(t *testing.T) {
	server := databasetest.Start(t)
	conn := server.Connect(t)
	one := func(sql string) (value any) {
		t.Helper()
		require.NoError(t, conn.QueryRow(t.Context(), sql).Scan(&value), sql)
		return value
	}
	server.Run(t, `create role writer login`, `create schema "Audit ""s" authorization writer`, `create role gis login`, `grant usage on schema "Audit ""s" to gis`)
	project, folder := demoInto(t, `{database: "user=writer", schema: 'Audit "s', keep: 2}`)
	audit := func(code int, flags ...string) (auditJSON, string) {
		t.Helper()
		var told bytes.Buffer
		require.Equal(t, code, run(t.Context(), append([]string{"audit", project, "--out", filepath.Join(folder, "out"), "--quiet"}, flags...), io.Discard, &told), told.String())
		return readAuditJSON(t, filepath.Join(folder, "out")), told.String()
	}
	first, _ := audit(exitDone, "--as-of", "2026-01-01")
	require.EqualValues(t, len(first.Exceptions), one(`select count(*) from "Audit ""s".exceptions`))
	for _, e := range first.Exceptions {
		var line, structure, severity, reason string
		var place any
		require.NoError(t, conn.QueryRow(t.Context(), `select line, structure, severity, reason, st_astext(geom) from "Audit ""s".exceptions where id = $1 and run = $2`, e.ID, first.Run.ID).Scan(&line, &structure, &severity, &reason, &place))
		require.Equal(t, []string{e.Line, e.Structure, e.Severity, e.Reason}, []string{line, structure, severity, reason})
		require.NotNil(t, place)
	}
	features := func(name string) (collection struct {
		Features []struct {
			Properties struct {
				Line, Structure string
				ChainageM       *float64 `json:"chainage_m"`
			}
			Geometry struct{ Coordinates []float64 }
		}
	}) {
		text, err := os.ReadFile(filepath.Join(folder, "out", name))
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(text, &collection))
		return collection
	}
	structures := features("structures.geojson").Features
	require.EqualValues(t, len(structures), one(`select count(*) from "Audit ""s".structures`))
	for _, f := range structures {
		var lon, lat, chainage float64
		require.NoError(t, conn.QueryRow(t.Context(), `select st_x(geom), st_y(geom), chainage_m from "Audit ""s".structures where line = $1 and structure = $2`, f.Properties.Line, f.Properties.Structure).Scan(&lon, &lat, &chainage))
		require.Equal(t, f.Geometry.Coordinates[:2], []float64{lon, lat})
		require.InDelta(t, *f.Properties.ChainageM, chainage, 0.051)
	}
	require.EqualValues(t, 0, one(`select count(*) from "Audit ""s".structures s where st_srid(geom) <> 4326 or not exists (select from "Audit ""s".spans p where p.line = s.line and st_dwithin(p.geom, s.geom, 1e-9))`), "every structure is at a span")
	for _, c := range first.Coverage {
		var meets, short, not, lacking int
		require.NoError(t, conn.QueryRow(t.Context(), `select coalesce(sum(subjects) filter (where outcome = 'meets'), 0), coalesce(sum(subjects) filter (where outcome = 'falls short'), 0), coalesce(sum(subjects) filter (where outcome = 'not applicable'), 0),
			coalesce(sum(subjects) filter (where outcome in ('not assessed', 'not asked for')), 0) from "Audit ""s".coverage where "check" = $1`, c.Check).Scan(&meets, &short, &not, &lacking))
		require.Equal(t, []int{c.Meets, c.FallsShort, c.NotApplicable, c.NotAssessed}, []int{meets, short, not, lacking}, c.Check)
	}
	for _, table := range []string{"structures", "spans", "exceptions", "cleared", "coverage", "runs"} {
		require.Contains(t, one(`select obj_description('"Audit ""s".`+table+`'::regclass)`), "screening", table)
		require.EqualValues(t, 0, one(`select count(*) from pg_attribute where attrelid = '"Audit ""s".`+table+`'::regclass and attnum > 0 and coalesce(col_description(attrelid, attnum), '') = ''`), table)
	}
	require.Equal(t, "Chainage (m): Metres along the line from its first structure", one(`select col_description('"Audit ""s".structures'::regclass, attnum) from pg_attribute where attrelid = '"Audit ""s".structures'::regclass and attname = 'chainage_m'`))
	require.Contains(t, one(`select caution from "Audit ""s".runs`), "screening")
	require.EqualValues(t, 3, one(`select count(*) from pg_indexes where schemaname = 'Audit "s' and tablename in ('structures', 'spans', 'exceptions') and indexdef like '%gist%'`))

	// What others have been granted, and views that they made, outlive the next runs.
	server.Run(t, `grant select on "Audit ""s".exceptions to gis`, `create view worst as select * from "Audit ""s".exceptions where severity = 'shortfall'`)
	again, _ := audit(exitDone, "--as-of", "2026-01-01")
	require.Equal(t, first.Run.ID, again.Run.ID)
	require.EqualValues(t, len(first.Exceptions), one(`select count(*) from "Audit ""s".exceptions`), "the same run takes its own place")
	second, _ := audit(exitDone, "--as-of", "2026-01-02")
	third, _ := audit(exitDone, "--as-of", "2026-01-03")
	require.Equal(t, []any{second.Run.ID, third.Run.ID}, one(`select array_agg(run order by written) from "Audit ""s".runs`))
	require.EqualValues(t, 2*len(first.Exceptions), one(`select count(*) from "Audit ""s".exceptions`))
	require.Equal(t, true, one(`select has_table_privilege('gis', '"Audit ""s".exceptions', 'select')`))
	require.NotZero(t, one(`select count(*) from worst`))
	require.EqualValues(t, 0, one(`select count(*) from pg_class where relname like '%\_new' or relname like '%`+first.Run.ID+`'`), "nothing is left")

	before := one(`select array_agg(run order by written) from "Audit ""s".runs`)
	failing := func(day, says string) {
		t.Helper()
		result, told := audit(exitOutputs, "--as-of", day, "--wait", "300ms")
		require.Contains(t, told, says)
		require.NotEqual(t, third.Run.ID, result.Run.ID, "the files are those of this run")
		require.Equal(t, before, one(`select array_agg(run order by written) from "Audit ""s".runs`))
	}
	tx, err := conn.Begin(t.Context())
	require.NoError(t, err)
	_, err = tx.Exec(t.Context(), `select pg_advisory_xact_lock(hashtextextended('dryarc ' || 'Audit "s', 0))`)
	require.NoError(t, err)
	failing("2026-01-04", "another session holds a lock")
	require.NoError(t, tx.Rollback(t.Context()))
	server.Run(t, `alter table "Audit ""s".coverage rename column subjects to count`, `alter table "Audit ""s".coverage add column subjects text`)
	failing("2026-01-05", `the column "subjects" of its table coverage is of the type text, expected bigint`)
	server.Run(t, `alter table "Audit ""s".coverage drop column subjects`, `alter table "Audit ""s".coverage rename column count to subjects`)
	server.Run(t, `revoke create on schema "Audit ""s" from writer`, `alter schema "Audit ""s" owner to postgres`)
	failing("2026-01-06", "permission denied for schema")
	server.Run(t, `alter schema "Audit ""s" owner to writer`, `grant all on schema "Audit ""s" to writer`)
	fourth, _ := audit(exitDone, "--as-of", "2026-01-07")
	require.Equal(t, []any{third.Run.ID, fourth.Run.ID}, one(`select array_agg(run order by written) from "Audit ""s".runs`))

	t.Run("a table of somebody else", func(t *testing.T) {
		server.Run(t, `create schema own authorization writer`, `create table own.spans (mine text)`, `insert into own.spans values ('mine')`)
		project, folder := demoInto(t, `{database: "", schema: own}`)
		var told bytes.Buffer
		require.Equal(t, exitOutputs, run(t.Context(), []string{"audit", project, "--out", filepath.Join(folder, "out"), "--quiet"}, io.Discard, &told))
		require.Contains(t, told.String(), "its table spans was not made by this program")
		require.Equal(t, "mine", one(`select mine from own.spans`))
		require.FileExists(t, filepath.Join(folder, "out", "audit.json"))
	})
	t.Run("without PostGIS", func(t *testing.T) {
		server.Run(t, `create database plain`)
		project, folder := demoInto(t, `{database: plain}`)
		var told bytes.Buffer
		require.Equal(t, exitOutputs, run(t.Context(), []string{"audit", project, "--out", filepath.Join(folder, "out"), "--quiet"}, io.Discard, &told))
		require.Contains(t, told.String(), "has no PostGIS")
	})
}
