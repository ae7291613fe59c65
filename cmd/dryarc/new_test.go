package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// A new project audits as it stands, and is never overwritten.
func TestNewProjectAudits(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "mine")
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"new", folder}, &stdout, &stderr), stderr.String())
	project := filepath.Join(folder, "audit.yaml")
	require.Contains(t, stdout.String(), project+"\n")

	out := t.TempDir()
	require.Equal(t, exitDone, run(context.Background(), []string{"audit", project, "--out", out, "--fail-on", "note"}, &stdout, &stderr), stderr.String())
	raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
	require.NoError(t, err)
	var result struct {
		Exceptions, Faults []any
		Run                struct {
			Placed int `json:"rows_placed"`
		}
	}
	require.NoError(t, json.Unmarshal(raw, &result))
	require.Empty(t, result.Exceptions)
	require.Empty(t, result.Faults)
	require.Equal(t, 6, result.Run.Placed)

	before := snapshot(t, folder)
	stderr.Reset()
	require.Equal(t, exitOutputs, run(context.Background(), []string{"new", folder}, &stdout, &stderr))
	require.Contains(t, stderr.String(), "is there already")
	require.Equal(t, before, snapshot(t, folder))
}

func TestReadTellsHowInputsAreUnderstood(t *testing.T) {
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"read", filepath.Join("..", "..", "testdata", "demo", "audit.yaml")}, &stdout, &stderr), stderr.String())
	for _, part := range []string{
		"structures.geojson: structures, GeoJSON, features: 166 = 166 used + 0 left out\n",
		"\n  \"ground_m\"      is ground_m      m\n",
		"\n  \"label\"  is not used\n",
		"assemblies.xlsx!Assemblies: register, workbook, rows: 675 = 673 used + 2 left out\n",
		"lines: 4; structures: 166; rows of assemblies: 675 = 673 placed + 2 left out\n",
		"1 × unknown-unit in Unit\n  assemblies.xlsx!Assemblies!J308: unit \"U70LB\" is no unit of the catalogue or of the Units sheet, perhaps \"U70BL\"; say what it means in the project file: words: {Unit: {\"U70LB\": …}}\n",
		"\ninspections: 5 read = 4 joined + 1 proposed + 0 not joined; 3 of them decide; 1 row with broken units not joined, of which nothing is judged but what they leave open\n",
		"\nfaults: 5\n",
	} {
		require.Contains(t, stdout.String(), part)
	}
	require.Empty(t, stderr.String())
}
