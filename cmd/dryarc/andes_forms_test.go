package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"unicode/utf16"

	"dryarc/audit/read/parquet/parquettest"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
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
// made, as UTF-8 and as UTF-16, and from GeoPackages, shapefiles and tables of points that GDAL made.
func TestAndesForms(t *testing.T) {
	t.Parallel()
	andes := andesCase(t)
	want, named := answerKey(t, filepath.Join(andes, "expected.csv"))
	at := func(name string) string { return filepath.Join(andes, name) }

	t.Run("csv", func(t *testing.T) {
		office, folder := tool(t, "soffice"), t.TempDir()
		convert := exec.Command(office, "-env:UserInstallation=file://"+t.TempDir(), "--headless", "--convert-to", valuesOfSheet(everySheet), "--outdir", folder, at("assemblies.xlsx"))
		told, err := convert.CombinedOutput()
		require.NoError(t, err, "%s", told)
		files := "[assemblies-Assemblies.csv, assemblies-Lines.csv, assemblies-Units.csv], " +
			"sheets: {assemblies-Assemblies.csv: Assemblies, assemblies-Lines.csv: Lines, assemblies-Units.csv: Units}"
		result := andesForm(t, folder, at("structures.geojson"), at("zones.geojson"), files)
		require.Equal(t, want, keysOf(result, named))
		requireRegisterFaults(t, andes, result, "assemblies-Assemblies.csv")

		for _, name := range []string{"assemblies-Assemblies.csv", "assemblies-Lines.csv", "assemblies-Units.csv"} {
			file := filepath.Join(folder, name)
			content, err := os.ReadFile(file)
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(file, inUTF16(string(content)), 0o600))
		}
		result = andesForm(t, folder, at("structures.geojson"), at("zones.geojson"), files)
		require.Equal(t, want, keysOf(result, named), "in UTF-16")
		requireRegisterFaults(t, andes, result, "assemblies-Assemblies.csv")
	})
	t.Run("shapefile", func(t *testing.T) {
		gdal := tool(t, "ogr2ogr")
		for form, options := range map[string][]string{"degrees": nil, "metres": {"-t_srs", "EPSG:32719"}} {
			folder := t.TempDir()
			for _, layer := range []string{"structures", "zones"} {
				arguments := append([]string{"-f", "ESRI Shapefile", filepath.Join(folder, layer+".shp"), at(layer + ".geojson")}, options...)
				told, err := exec.Command(gdal, arguments...).CombinedOutput()
				require.NoError(t, err, "%s", told)
			}
			result := andesForm(t, folder, "structures.shp", "zones.shp", at("assemblies.xlsx"))
			require.Equal(t, want, keysOf(result, named), form)
			requireRegisterFaults(t, andes, result, at("assemblies.xlsx"))
		}
	})
	t.Run("points", func(t *testing.T) {
		gdal, folder := tool(t, "ogr2ogr"), t.TempDir()
		told, err := exec.Command(gdal, "-f", "CSV", "-lco", "GEOMETRY=AS_XY", "-lco", "SEPARATOR=SEMICOLON", filepath.Join(folder, "structures.csv"), at("structures.geojson")).CombinedOutput()
		require.NoError(t, err, "%s", told)
		result := andesForm(t, folder, "structures.csv", at("zones.geojson"), at("assemblies.xlsx"))
		require.Equal(t, want, keysOf(result, named))
		requireRegisterFaults(t, andes, result, at("assemblies.xlsx"))
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
	t.Run("geoparquet", func(t *testing.T) {
		folder := t.TempDir()
		put := func(name string, content []byte, err error) {
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(filepath.Join(folder, name), content, 0o600))
		}
		for _, layer := range []string{"structures", "zones"} {
			text, err := os.ReadFile(at(layer + ".geojson"))
			require.NoError(t, err)
			content, err := parquettest.Layer(text, parquettest.Geo(""))
			put(layer+".parquet", content, err)
		}
		result := andesForm(t, folder, "structures.parquet", "zones.parquet", at("assemblies.xlsx"))
		require.Equal(t, want, keysOf(result, named))
		requireRegisterFaults(t, andes, result, at("assemblies.xlsx"))
		book, err := excelize.OpenFile(at("assemblies.xlsx"), excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		defer book.Close()
		for _, sheet := range []string{"Assemblies", "Lines", "Units"} {
			records, err := book.GetRows(sheet)
			require.NoError(t, err)
			content, err := parquettest.Table(records)
			put(sheet+".parquet", content, err)
		}
		result = andesForm(t, folder, "structures.parquet", "zones.parquet", "[Assemblies.parquet, Lines.parquet, Units.parquet]")
		require.Equal(t, want, keysOf(result, named), "with the register in Parquet")
	})
}

// valuesOfSheet has LibreOffice write a sheet, counted from one, as text: comma, quotation mark, UTF-8, from the first line, values as they are
// stored.
func valuesOfSheet(number int) string {
	return fmt.Sprintf("csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,%d", number)
}

const everySheet = -1

// inUTF16 is a text as spreadsheet programs save it as Unicode.
func inUTF16(text string) []byte {
	out := []byte("\xff\xfe")
	for _, unit := range utf16.Encode([]rune(text)) {
		out = append(out, byte(unit), byte(unit>>8))
	}
	return out
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
