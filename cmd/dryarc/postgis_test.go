package main

import (
	"fmt"
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
