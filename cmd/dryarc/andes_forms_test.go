package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// andesForm audits the real case from a folder that holds other forms of its inputs.
func andesForm(t *testing.T, folder, structures, zones, register string) auditJSON {
	t.Helper()
	project := filepath.Join(folder, "audit.yaml")
	text := fmt.Sprintf(`structures:
  file: %q
  properties: {line: line_id, structure: tower_no, sequence: seq, ground_m: ground_m}
zones:
  file: %q
  properties: {class: sps, label: label}
register: {file: %s}
criteria: {deviation_limit_deg: 2, default_class: b, position_accuracy_m: 0, creepage_basis: unified}
`, structures, zones, register)
	require.NoError(t, os.WriteFile(project, []byte(text), 0o600))
	return auditInto(t, project, filepath.Join(folder, "out"))
}

// The exceptions and faults of the real case are those of its answer key from a register of CSV files that LibreOffice
// made, and from GeoPackages that GDAL made.
func TestAndesForms(t *testing.T) {
	andes := andesCase(t)
	want, named := answerKey(t, filepath.Join(andes, "expected.csv"))
	at := func(name string) string { return filepath.Join(andes, name) }

	t.Run("csv", func(t *testing.T) {
		office, folder := tool(t, "soffice"), t.TempDir()
		// comma, quotation mark, UTF-8, from the first line; values as they are stored; every sheet
		const filter = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1"
		convert := exec.Command(office, "-env:UserInstallation=file://"+t.TempDir(), "--headless", "--convert-to", filter, "--outdir", folder, at("assemblies.xlsx"))
		told, err := convert.CombinedOutput()
		require.NoError(t, err, "%s", told)
		files := "[assemblies-Assemblies.csv, assemblies-Lines.csv, assemblies-Units.csv], " +
			"sheets: {assemblies-Assemblies.csv: Assemblies, assemblies-Lines.csv: Lines, assemblies-Units.csv: Units}"
		result := andesForm(t, folder, at("structures.geojson"), at("zones.geojson"), files)
		require.Equal(t, want, keysOf(result, named))
		requireRegisterFaults(t, andes, result, "assemblies-Assemblies.csv")
	})
	t.Run("geopackage", func(t *testing.T) {
		gdal, folder := tool(t, "ogr2ogr"), t.TempDir()
		for _, layer := range []string{"structures", "zones"} {
			told, err := exec.Command(gdal, "-f", "GPKG", filepath.Join(folder, layer+".gpkg"), at(layer+".geojson")).CombinedOutput()
			require.NoError(t, err, "%s", told)
		}
		result := andesForm(t, folder, "structures.gpkg", "zones.gpkg", at("assemblies.xlsx"))
		require.Equal(t, want, keysOf(result, named))
		requireRegisterFaults(t, andes, result, at("assemblies.xlsx"))
	})
}

// requireRegisterFaults compares kinds and rows with the faults of the answer key.
func requireRegisterFaults(t *testing.T, andes string, result auditJSON, file string) {
	t.Helper()
	var want, got []string
	for _, row := range readCSV(t, filepath.Join(andes, "expected_faults.csv")) {
		want = append(want, andesFaultKinds[row["fault"]]+" "+row["row"])
	}
	for _, f := range result.Faults {
		if f.File == file {
			for _, row := range append([]int{f.Row}, f.OtherRows...) {
				got = append(got, fmt.Sprint(f.Kind, " ", row))
			}
		}
	}
	slices.Sort(want)
	slices.Sort(got)
	require.Equal(t, want, got)
}
