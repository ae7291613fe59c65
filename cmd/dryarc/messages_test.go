package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// Inputs that cannot be used give one clear message with a hint, the right exit code and no output.
func TestUnusableInputs(t *testing.T) {
	const (
		project = "title: T\nstructures: {file: s.geojson}\nregister: {file: r.xlsx}\n"
		point   = `{"type":"Feature","properties":{"line":"L","structure":"%n"},"geometry":{"type":"Point","coordinates":[%c]}}`
	)
	collection := func(coordinates ...string) string {
		var features []string
		for i, c := range coordinates {
			features = append(features, strings.NewReplacer("%n", string(rune('1'+i)), "%c", c).Replace(point))
		}
		return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`
	}
	sound := collection("-19.5,41.5", "-19.49,41.5", "-19.48,41.5")
	headings := []string{"Line", "Structure", "Duty", "Unit", "Units per string"}
	for _, c := range []struct {
		name, yaml, structures string
		register               func(t *testing.T, file string)
		code                   int
		says                   []string
	}{
		{"no project file", "", sound, sheet("Assemblies", headings), exitUsage, []string{"audit.yaml"}},
		{"unknown key", project + "critera: {}\n", sound, sheet("Assemblies", headings), exitUsage, []string{"critera", "criteria", "4"}},
		{"broken YAML", "title: [\n", sound, sheet("Assemblies", headings), exitUsage, []string{"audit.yaml"}},
		{"missing sheet", project, sound, sheet("Insulators", headings), exitInputs, []string{"r.xlsx", "Assemblies", "Insulators"}},
		{"missing column", project, sound, sheet("Assemblies", []string{"Line", "Structure", "Duty", "Unit"}), exitInputs, []string{"r.xlsx", "Units per string"}},
		{"empty collection", project, collection(), sheet("Assemblies", headings), exitInputs, []string{"s.geojson"}},
		{"projected", project, collection("512000,4596000", "512300,4596000"), sheet("Assemblies", headings), exitInputs, []string{"s.geojson", "EPSG:4326"}},
		{"swapped axes", project, collection("41.5,-119.5", "41.6,-119.49"), sheet("Assemblies", headings), exitInputs, []string{"s.geojson", "longitude"}},
		{"text named xlsx", project, sound, text("Line,Structure\n"), exitInputs, []string{"r.xlsx", "workbook"}},
		{"missing file", project, sound, func(*testing.T, string) {}, exitInputs, []string{"r.xlsx"}},
		{"nothing matches", project, sound, sheet("Assemblies", headings, []string{"M", "1", "tension", "U70BL", "9"}), exitInputs, []string{"none of 1 register rows", "M"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder := t.TempDir()
			if c.yaml != "" {
				require.NoError(t, os.WriteFile(filepath.Join(folder, "audit.yaml"), []byte(c.yaml), 0o644))
			}
			require.NoError(t, os.WriteFile(filepath.Join(folder, "s.geojson"), []byte(c.structures), 0o644))
			c.register(t, filepath.Join(folder, "r.xlsx"))
			out := filepath.Join(folder, "out")
			var stdout, stderr bytes.Buffer
			code := run(context.Background(), []string{"audit", filepath.Join(folder, "audit.yaml"), "--out", out}, &stdout, &stderr)
			require.Equal(t, c.code, code, stderr.String())
			for _, part := range c.says {
				require.Contains(t, stderr.String(), part)
			}
			require.Contains(t, stderr.String(), "hint: ")
			require.LessOrEqual(t, strings.Count(stderr.String(), "\n"), 6, stderr.String())
			require.Empty(t, stdout.String())
			require.Empty(t, snapshot(t, out))
			t.Log(stderr.String())
		})
	}
}

// sheet writes a workbook of one sheet.
func sheet(name string, rows ...[]string) func(t *testing.T, file string) {
	return func(t *testing.T, file string) {
		f := excelize.NewFile()
		defer f.Close()
		require.NoError(t, f.SetSheetName("Sheet1", name))
		for i, row := range rows {
			cell, err := excelize.CoordinatesToCellName(1, i+1)
			require.NoError(t, err)
			require.NoError(t, f.SetSheetRow(name, cell, &row))
		}
		require.NoError(t, f.SaveAs(file))
	}
}

func text(content string) func(t *testing.T, file string) {
	return func(t *testing.T, file string) {
		require.NoError(t, os.WriteFile(file, []byte(content), 0o644))
	}
}
