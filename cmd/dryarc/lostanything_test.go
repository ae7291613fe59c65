package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/history"
	"dryarc/audit/read"
	"dryarc/report"

	"github.com/stretchr/testify/require"
)

// Whatever is lost on the second day - a cell that is blank or that nobody can read, a row, a position, a layer, the lines that a run leaves out -
// nothing that fell short on the first is cleared as what meets.
func TestNothingLostClearsAsMeets(t *testing.T) {
	t.Parallel()
	in, folder := island(t), t.TempDir()
	in.writeAll(t, folder)
	judged := func(asOf string, lines ...string) (*audit.Result, error) {
		project, err := read.Project(context.Background(), filepath.Join(folder, "audit.yaml"))
		if err != nil {
			return nil, err
		}
		network, err := audit.Arrange(project)
		if err != nil {
			return nil, err
		}
		if err := audit.Derive(context.Background(), network, 1); err != nil {
			return nil, err
		}
		return audit.Assess(context.Background(), network, checks.All(), audit.Options{Version: version, AsOf: asOf, Workers: 1, Lines: lines})
	}
	first, err := judged("2026-11-01")
	require.NoError(t, err)
	require.Greater(t, len(first.Exceptions), 50)
	var out bytes.Buffer
	require.NoError(t, report.JSON(context.Background(), &out, first, nil, history.Alone(first), nil))
	runs, refused := 0, 0
	whys := map[history.Why]int{}
	then := func(what string, lines ...string) {
		second, err := judged("2026-11-02", lines...)
		if err != nil { // the project is refused, and nothing is told of it
			refused++
			return
		}
		earlier, err := history.Read(bytes.NewReader(out.Bytes()))
		require.NoError(t, err)
		changes, err := history.Compare(context.Background(), second, earlier, false)
		require.NoError(t, err)
		runs++
		for i := range changes.Cleared {
			c := &changes.Cleared[i]
			if whys[c.Why]++; c.Why == history.Meets {
				t.Errorf("%s: %s of line %s, structure %s, circuit %s, phase %s: %s", what, c.Check, c.Line, c.Structure, c.Circuit, c.Phase, c.Detail)
			}
		}
	}
	each, rowsEach := 4, 2 // which of the cells of a column, and how many rows of it there are
	if hard() {
		each, rowsEach = 1, manyRows
	}
	for _, table := range in.tables() {
		for _, column := range in.columns(table) {
			for k, d := range sample(in, table, column, rowsEach, nil) {
				if k%each == 0 {
					in.with(t, folder, d.cell, d.value, func() { then(fmt.Sprintf("%s.%s row %d as %q", table, column, d.row, fmt.Sprint(d.value))) })
				}
			}
		}
	}
	rows := in.sheets["Assemblies"]
	for k := 1; k < len(rows); k += 16 * each {
		in.sheets["Assemblies"] = slices.Delete(slices.Clone(rows), k, k+1)
		in.write(t, folder, "Assemblies")
		then(fmt.Sprintf("row %d of Assemblies taken out", k+1))
	}
	in.sheets["Assemblies"] = rows
	in.write(t, folder, "Assemblies")
	for k := 0; k < len(in.layers["structures"].Features); k += 4 * each {
		f := in.layers["structures"].Features[k]
		was := f.Geometry
		f.Geometry = nil
		in.write(t, folder, "structures")
		then(fmt.Sprintf("structure %d without a position", k+1))
		f.Geometry = was
	}
	in.write(t, folder, "structures")
	require.Positive(t, whys[history.Gone])
	for _, line := range []string{"zones: {file: zones.geojson}\n", "crossings: {file: crossings.geojson}\n", "routes: {file: routes.geojson}\n"} {
		require.Contains(t, in.project, line)
		require.NoError(t, os.WriteFile(filepath.Join(folder, "audit.yaml"), []byte(strings.Replace(in.project, line, "", 1)), 0o600))
		then("without " + line)
	}
	in.writeAll(t, folder)
	then("some lines", "DP-33")
	require.Positive(t, whys[history.NotInRun])
	t.Logf("runs: %d, refused: %d; why cleared: %v", runs, refused, whys)
	require.Greater(t, runs, 100)
	require.Greater(t, whys[history.NotAssessed], 100)
}
