package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// explain tells of a structure the same whether its inputs are whole or lists of files that patterns find; only where a row was read differs, and names
// the part.
func TestExplainOfPartsFoundByPatterns(t *testing.T) {
	t.Parallel()
	parts := inParts(t, filepath.Dir(demoProject), "assemblies.xlsx", 3, nil)
	files := regexp.MustCompile(`[^\s(]+\.(xlsx|csv|geojson)\S* row \d+`)
	explain := func(project, line, structure string) string {
		var stdout, stderr bytes.Buffer
		require.Equal(t, exitDone, run(context.Background(), []string{"explain", project, line, structure}, &stdout, &stderr), stderr.String())
		return stdout.String()
	}
	for _, at := range [][2]string{{"DP-33", "2"}, {"DP-33", "49"}, {"SD-132", "T-011"}, {"SD-132", "T-045"}} {
		whole, parted := explain(demoProject, at[0], at[1]), explain(parts, at[0], at[1])
		places := files.FindAllString(parted, -1)
		require.NotEmpty(t, places)
		for _, place := range places {
			name, _, _ := strings.Cut(place, " row ")
			require.FileExists(t, filepath.Join(filepath.Dir(parts), name))
		}
		require.Contains(t, parted, "Assemblies-", "a row of the register is told by its part")
		require.Equal(t, files.ReplaceAllString(whole, "FILE"), files.ReplaceAllString(parted, "FILE"), at)
	}
}

// The sheets that a scenario is written as have the same rows whether its inputs are whole or found by patterns, but for the id
// of the run.
func TestSheetsOfAScenarioOfPartsFoundByPatterns(t *testing.T) {
	t.Parallel()
	const scenario = "SD-132 to 220 kV"
	id := regexp.MustCompile("run [0-9a-f]{16}")
	parts := inParts(t, filepath.Dir(demoProject), "assemblies.xlsx", 3, nil)
	sheets := func(project string) map[string][][]string {
		out := t.TempDir()
		var said bytes.Buffer
		require.Equal(t, exitDone, run(context.Background(), []string{"scope", project, "--scenario", scenario, "--also", "register,lines", "--out", out, "--as-of", "2026-01-01"}, &said, &said), said.String())
		found := cellsOf(t, filepath.Join(out, "scope-register.xlsx"))
		found["Lines as it would be"] = cellsOf(t, filepath.Join(out, "scope-lines.xlsx"))["Lines"]
		return found
	}
	whole, parted := sheets(demoProject), sheets(parts)
	for name, rows := range whole {
		require.NotEmpty(t, rows, name)
		for _, of := range [][][]string{rows, parted[name]} {
			for _, row := range of {
				for i := range row {
					row[i] = id.ReplaceAllString(row[i], "run ID")
				}
			}
		}
		require.Equal(t, rows, parted[name], name)
	}
	require.Len(t, parted, len(whole))
}

// The sheets of a scenario that lie in the folder of the project are no inputs, though the pattern of its register would find them.
func TestPatternsPassOverTheSheetsOfAScenario(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Dir(demoProject))))
	project := filepath.Join(folder, "audit.yaml")
	text, err := os.ReadFile(project)
	require.NoError(t, err)
	require.Contains(t, string(text), "file: assemblies.xlsx")
	require.NoError(t, os.WriteFile(project, []byte(strings.Replace(string(text), "file: assemblies.xlsx", `file: ["*.xlsx"]`, 1)), 0o666))
	scope := func() (files map[string][]byte) {
		var said bytes.Buffer
		require.Equal(t, exitDone, run(context.Background(), []string{"scope", project, "--scenario", "DP-33 in the salt belt", "--also", "register,lines", "--out", folder, "--as-of", "2026-01-01"}, &said, &said), said.String())
		files = map[string][]byte{}
		for _, name := range []string{"scope-register.xlsx", "scope-lines.xlsx", "scope.json"} {
			files[name], err = os.ReadFile(filepath.Join(folder, name))
			require.NoError(t, err)
		}
		return files
	}
	require.Equal(t, scope(), scope())
	var explained, stderr bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"explain", project, "DP-33", "2"}, &explained, &stderr), stderr.String())
	require.NotContains(t, explained.String(), "scope-")
}
