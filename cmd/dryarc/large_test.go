package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// A network of more than 100 000 structures has no structures.geojson unless it is asked for, the earlier one goes with its set, and the
// terminal, the workbook and audit.json say so.
func TestLargeNetworkLeavesStructuresOut(t *testing.T) {
	if os.Getenv("CI") != "true" && os.Getenv("DRYARC_HARD") == "" {
		t.Skip("100 001 structures, with CI=true or DRYARC_HARD=1 alone")
	}
	in := t.TempDir()
	out := filepath.Join(in, "out")
	layer := filepath.Join(in, "structures.geojson")
	put := func(structures int) {
		var b bytes.Buffer
		for i := range structures {
			fmt.Fprintf(&b, `{"type":"Feature","properties":{"line":"L%d","structure":"%d"},"geometry":{"type":"Point","coordinates":[%.4f,%.4f]}}`+"\n", i/1000, i%1000, 5+0.003*float64(i%1000), 45+0.01*float64(i/1000))
		}
		require.NoError(t, os.WriteFile(layer, b.Bytes(), 0o666))
	}
	project := filepath.Join(in, "audit.yaml")
	require.NoError(t, os.WriteFile(project, []byte("structures: {file: structures.geojson}\n"), 0o666))
	audit := func(also ...string) (told string) {
		var stdout, stderr bytes.Buffer
		code := run(t.Context(), append([]string{"audit", project, "--out", out, "--as-of", "2026-11-24"}, also...), &stdout, &stderr)
		require.Equal(t, exitDone, code, stderr.String())
		stdout.Reset()
		require.Equal(t, exitDone, run(t.Context(), []string{"verify", out}, &stdout, &bytes.Buffer{}), stdout.String())
		return strings.Join(strings.Fields(stderr.String()), " ")
	}
	put(10)
	told := audit()
	require.NotContains(t, told, "left out, of")
	require.FileExists(t, filepath.Join(out, "structures.geojson"))

	put(100_001)
	told = audit()
	require.Contains(t, told, "structures.geojson of an earlier run is gone from "+out+" with its set, since this run leaves it out")
	require.Contains(t, told, "structures.geojson (--also gpkg writes them as a layer of audit.gpkg or --also geoparquet as structures.parquet, which are recommended at this size, --also structures the file itself)")
	require.NoFileExists(t, filepath.Join(out, "structures.geojson"))
	require.Contains(t, first(t, filepath.Join(out, "audit.json"), 1<<14), `"left_out":[{"file":"structures.geojson","also":"structures"}]`)
	book, err := excelize.OpenFile(filepath.Join(out, "exceptions.xlsx"))
	require.NoError(t, err)
	defer book.Close()
	for _, sheet := range []string{"Overview", "Run"} {
		rows, err := book.GetRows(sheet)
		require.NoError(t, err)
		require.Contains(t, fmt.Sprint(rows), "structures.geojson is left out, as there are more than", sheet)
		require.Contains(t, fmt.Sprint(rows), "Sheet Structures holds 0 of", sheet)
	}

	told = audit("--also", "structures")
	require.NotContains(t, told, "--also gpkg writes them")
	require.Contains(t, told, "those without exceptions from sheet Structures of exceptions.xlsx")
	require.FileExists(t, filepath.Join(out, "structures.geojson"))
	require.NotContains(t, first(t, filepath.Join(out, "audit.json"), 1<<14), `"left_out"`)
}

// first is the beginning of a file.
func first(t *testing.T, path string, bytes int) string {
	t.Helper()
	content, err := os.ReadFile(path)
	require.NoError(t, err)
	return string(content[:min(len(content), bytes)])
}
