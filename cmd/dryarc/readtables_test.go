package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestReadListsWhatInputsMayHold(t *testing.T) {
	var out, talk bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"read", "--systems", "--columns"}, &out, &talk), talk.String())
	for _, want := range []string{"EPSG:32601 to 32660: WGS 84 / UTM: easting and northing, transformed to WGS 84\n", "EPSG:4258: ETRS89: longitude and latitude, taken as WGS 84\n",
		"Assemblies: one row for each assembly and phase, or phases\n", "  Creepage (mm): creepage distance of one whole string; wins over the unit's\n    units: mm, cm, m, in, ft\n",
		"  Duty, required: what the assembly is there to do\n    words: suspension, tension, pin,"} {
		require.Contains(t, out.String(), want)
	}
	require.Equal(t, exitUsage, run(context.Background(), []string{"read"}, &out, &talk))
	require.Contains(t, talk.String(), "hint: dryarc read audit.yaml")
}

// TestEveryErrorOfInputsIsTold holds that one run tells what is wrong with several files, each with its hint, and that the
// faults of a column which is not there at all are withdrawn.
func TestEveryErrorOfInputsIsTold(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "audit.yaml")
	require.NoError(t, os.WriteFile(path, []byte("structures: {file: s.geojson}\nzones: {file: z.geojson}\nregister: [{file: a.csv}, {file: b.csv, sheets: {c: Lines}}]\n"), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "s.geojson"), []byte(`{"type":"Feature","properties":{"mark":1,"line":"L"},"geometry":{"type":"Point","coordinates":[1,2]}}`), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "b.csv"), []byte("Line,Voltage\nL,110\n"), 0o600))
	var out, talk bytes.Buffer
	require.Equal(t, exitInputs, run(context.Background(), []string{"read", path}, &out, &talk))
	require.Equal(t, `dryarc: s.geojson: no feature has the property "structure"; the properties there are "line", "mark"
  hint: name the property under structures in the project file: properties: {structure: …}
dryarc: z.geojson: does not exist
  hint: paths in the project file are relative to the folder it is in
dryarc: a.csv: does not exist
  hint: paths in the project file are relative to the folder it is in
dryarc: b.csv: may be any of the sheets "Assemblies", "Lines", "Units", "Conductors", expected a name with one of them in it
  hint: say which under register in the project file: sheets: {b.csv: Assemblies}
`, talk.String())
	require.Contains(t, out.String(), "faults: 0\n")
}

func TestFailOnFaultsThatMatter(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "audit.yaml")
	write := func(name, content string) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(content), 0o600))
	}
	write("audit.yaml", "structures: {file: s.geojson}\nregister: {file: assemblies.csv}\n")
	write("s.geojson", `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"structure":1,"line":"L"},"geometry":{"type":"Point","coordinates":[1,2]}},`+
		`{"type":"Feature","properties":{"structure":2,"line":"L"},"geometry":{"type":"Point","coordinates":[1,2.001]}}]}`)
	const rows = "Line,Structure,Duty,Unit,Units per string,Installed\nL,1,tension,U120B,9,%s\nL,2,tension,U120B,9,2001-01-01\n"
	audited := func(installed string) int {
		write("assemblies.csv", string(bytes.ReplaceAll([]byte(rows), []byte("%s"), []byte(installed))))
		var out, talk bytes.Buffer
		return run(context.Background(), []string{"audit", path, "--out", filepath.Join(folder, "out"), "--fail-on", "fault", "--quiet"}, &out, &talk)
	}
	require.Equal(t, exitDone, audited("someday"), "a date that cannot be read is by the way")
	write("s.geojson", `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"structure":1,"line":"L","ground_m":"high"},"geometry":{"type":"Point","coordinates":[1,2]}},`+
		`{"type":"Feature","properties":{"structure":2,"line":"L"},"geometry":{"type":"Point","coordinates":[1,2.001]}}]}`)
	require.Equal(t, exitFound, audited("2001-01-01"))
}

// Of a heading over others that name columns together with it, the hint maps those, and what is not mapped resembles them.
func TestHeadingOverThoseOfColumns(t *testing.T) {
	folder := t.TempDir()
	project := filepath.Join(folder, "audit.yaml")
	write := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o666))
	}
	write("towers.csv", "line,structure,lon,lat\nL1,1,10,50\nL1,2,10.003,50\n")
	write("assemblies.csv", "Line;Structure;Duty;Unit;Units per string;Rating (kN);;\n;;;;;Clamp;Yoke;Ball and socket\nL1;1;tension;U120B;10;70;120;100\n")
	read := func(more string) string {
		write("audit.yaml", "structures: {file: towers.csv}\nregister:\n  - {file: assemblies.csv"+more+"}\ncriteria: {default_class: c}\n")
		var said bytes.Buffer
		run(context.Background(), []string{"read", project}, &said, &said)
		return said.String()
	}
	require.Contains(t, read(""), `columns: {Clamp rating: "Rating (kN) Clamp", Yoke rating: "Rating (kN) Yoke", Ball and socket rating: "Rating (kN) Ball and socket"}`)
	both := read(", headings: [1, 2]")
	for _, column := range []string{"Clamp rating", "Yoke rating", "Ball and socket rating"} {
		require.Contains(t, both, "perhaps \""+column+"\"")
	}
}

// What the project file says of every row may have its unit, as cells have.
func TestFixedWithItsUnit(t *testing.T) {
	for fixed, wrong := range map[string]string{"3 m": "", "3000": "", "300 cm": "", "3 kg": "is no number with a unit of this column", "3.1 m": "contradicts the project file", "wide": "is not a number"} {
		folder := t.TempDir()
		for name, text := range map[string]string{
			"towers.csv":     "line,structure,lon,lat\nL1,1,10,50\nL1,2,10.003,50\n",
			"assemblies.csv": "Line,Structure,Duty,Unit,Units per string\nL1,1,tension,U120B,10\n",
			"lines.csv":      "Line,Nominal voltage (kV),Wall distance (mm)\nL1,132,3000\nL2,132,\n",
			"audit.yaml":     "structures: {file: towers.csv}\nregister:\n  - {file: assemblies.csv}\n  - {file: lines.csv, fixed: {Wall distance: " + fixed + "}}\ncriteria: {default_class: c}\n",
		} {
			require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o666))
		}
		var said bytes.Buffer
		run(context.Background(), []string{"audit", filepath.Join(folder, "audit.yaml"), "--out", filepath.Join(folder, "out")}, &said, &said)
		if text, err := os.ReadFile(filepath.Join(folder, "out", "audit.json")); err == nil {
			said.Write(text)
		}
		if wrong != "" {
			require.Contains(t, said.String(), wrong, fixed)
			continue
		}
		require.NotContains(t, said.String(), "contradicts", fixed)
		require.NotContains(t, said.String(), "project file fixes", fixed)
	}
}
