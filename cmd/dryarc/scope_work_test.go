package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// hamlet is a line of four structures of 132 kV in a straight row, tension assemblies at its ends; scenarios of it are class d in place of c.
func hamlet() map[string]string {
	return map[string]string{
		"towers.csv": "Line,Structure,Longitude,Latitude,Ground (m)\nL1,1,76.100,12.9,100\nL1,2,76.103,12.9,100\nL1,3,76.106,12.9,100\nL1,4,76.109,12.9,100\n",
		"lines.csv":  "Line,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV),Circuits,System\nL1,132,145,550,1,earthed\n",
		"audit.yaml": "structures: {file: towers.csv}\nregister: {file: [assemblies.csv, lines.csv]}\ncriteria: {default_class: c, creepage_basis: unified}\n" +
			"scenarios:\n  - {name: d, lines: [L1], criteria: {default_class: d}}\n",
	}
}

// scopeOfFiles writes the files of a project and looks at its scenarios.
func scopeOfFiles(t *testing.T, files map[string]string, args ...string) (out string, ended int, said string) {
	t.Helper()
	folder := t.TempDir()
	for name, content := range files {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(content), 0o600))
	}
	out = filepath.Join(folder, "out")
	var told bytes.Buffer
	ended = run(context.Background(), append([]string{"scope", filepath.Join(folder, "audit.yaml"), "--out", out, "--as-of", "2026-01-01"}, args...), &told, &told)
	return out, ended, told.String()
}

// What is an advisory today and a shortfall in a scenario is new; what falls short no more gravely than today is not.
func TestAnAdvisoryThatBecomesAShortfallIsNew(t *testing.T) {
	for name, c := range map[string]struct {
		highest string
		ended   int
		newly   int
	}{
		"more gravely": {"155", exitFound, 4},
		"as gravely":   {"147.4", exitDone, 0},
	} {
		t.Run(name, func(t *testing.T) {
			files := hamlet()
			files["lines.csv"] = strings.Replace(files["lines.csv"], "145", "147.4", 1)
			files["assemblies.csv"] = "Line,Structure,Circuit,Phase,Side,Duty,Unit,Units per string,Strings\n" +
				"L1,1,1,\"A,B,C\",both,tension,U120B,10,1\nL1,2,1,\"A,B,C\",,suspension,U120B,10,1\nL1,3,1,\"A,B,C\",,suspension,U120B,10,1\nL1,4,1,\"A,B,C\",both,tension,U120B,10,1\n"
			files["audit.yaml"] = "structures: {file: towers.csv}\nregister: {file: [assemblies.csv, lines.csv]}\ncriteria: {default_class: c}\n" +
				"scenarios:\n  - {name: worse, lines: [L1], set: {highest_voltage_kV: " + c.highest + "}}\n"
			out, ended, said := scopeOfFiles(t, files, "--fail-on", "shortfall")
			require.Equal(t, c.ended, ended, said)
			s := scopeOf(t, out).Scenarios[0]
			require.Len(t, s.Exceptions, 4)
			require.Len(t, s.New, c.newly)
			require.Empty(t, s.Mended)
		})
	}
}

// Units that the register counts as defective are none to use again, whatever is done to their strings.
func TestDefectiveUnitsAreNotUsedAgain(t *testing.T) {
	for name, c := range map[string]struct {
		defective, criteria string
		remove, reuse       int
	}{
		"more units":                   {"2", "{default_class: d}", 6, 0},
		"more units, none defective":   {"0", "{default_class: d}", 0, 0},
		"sound units in the old place": {"2", "{default_class: c}", 6, 0},
	} {
		t.Run(name, func(t *testing.T) {
			files := hamlet()
			files["assemblies.csv"] = "Line,Structure,Circuit,Phase,Side,Duty,Unit,Units per string,Strings,Defective units\n" +
				"L1,1,1,\"A,B,C\",both,tension,U120B,14,1,\nL1,2,1,\"A,B,C\",,suspension,U120B,10,1," + c.defective + "\nL1,3,1,\"A,B,C\",,suspension,U120B,13,1,\nL1,4,1,\"A,B,C\",both,tension,U120B,14,1,\n"
			files["audit.yaml"] = strings.Replace(files["audit.yaml"], "{default_class: d}", c.criteria, 1)
			out, ended, said := scopeOfFiles(t, files)
			require.Equal(t, exitDone, ended, said)
			m := scopeOf(t, out).Scenarios[0].Material[0]
			require.Equal(t, "U120B", m.Unit)
			require.Equal(t, []int{c.remove, c.reuse}, []int{m.Remove, m.Reuse})
		})
	}
}

// What work takes only after a look, and by how much less it may be, stands in the sums, the material, the sentence, the sheets and the layer.
func TestScopeTellsWhatRestsOnALook(t *testing.T) {
	const headings, ends = "Line,Structure,Circuit,Phase,Side,Duty,Unit,Units per string,Strings\n",
		"L1,1,1,\"A,B,C\",both,tension,U120B,14,1\nL1,4,1,\"A,B,C\",both,tension,U120B,14,1\n"
	type figures struct{ units, fewer, look, sets, materialLook, materialFewer, uncounted int }
	for name, c := range map[string]struct {
		rows string
		want figures
		says string
		cell map[string]string
	}{
		"nothing registered": {"L1,2,1,\"A,B,C\",,suspension,U120B,10,1\n", figures{9, 0, 39, 3, 39, 0, 0},
			"(9 units to fit, and 39 more with 3 sets if a look shows that nothing hangs; today ", map[string]string{"Changes": "39 × U120B", "Material": "39"}},
		"rows contradict each other": {"L1,2,1,\"A,B,C\",,suspension,U120B,10,1\nL1,3,1,\"A,B\",,suspension,U120B,13,1\nL1,3,1,C,,suspension,U120B,9,1\nL1,3,1,C,,suspension,U120B,10,1\n",
			figures{9, 0, 13, 0, 13, 0, 1},
			"(9 units to fit, and 0 to 13 more if a look asks for them; today ", map[string]string{"Changes": "0 to 13 × U120B", "Material": "count not known at 1 structure"}},
		"a count is not known": {"L1,2,1,\"A,B\",,suspension,U120B,10,1\nL1,2,1,C,,suspension,U120B,,1\nL1,3,1,\"A,B,C\",,suspension,U120B,13,1\n", figures{19, 13, 0, 0, 0, 13, 1},
			"(6 to 19 units to fit; today none)", map[string]string{"Changes": "6 to 19 × U120B", "Material": "to fit: 6 to 19"}},
	} {
		t.Run(name, func(t *testing.T) {
			files := hamlet()
			files["assemblies.csv"] = headings + ends + c.rows
			out, ended, said := scopeOfFiles(t, files)
			require.Equal(t, exitDone, ended, said)
			s := scopeOf(t, out).Scenarios[0]
			sum, m := s.Sums[0], s.Material[0]
			require.Equal(t, c.want, figures{sum.Units, sum.Fewer, sum.AfterLook, sum.SetsLook, m.AfterLook, m.Fewer, m.Uncounted}, s.InWords[0])
			require.Contains(t, s.InWords[0], c.says)
			require.Contains(t, said, c.says)
			for _, sheet := range [...]string{"Changes", "Material"} {
				require.Contains(t, textOfSheet(t, filepath.Join(out, "scope.xlsx"), sheet), c.cell[sheet])
			}
		})
	}
}

// textOfSheet is all that a sheet shows, a cell a line.
func textOfSheet(t *testing.T, path, sheet string) string {
	t.Helper()
	book, err := excelize.OpenFile(path)
	require.NoError(t, err)
	rows, err := book.GetRows(sheet)
	require.NoError(t, err)
	require.NoError(t, book.Close())
	var cells []string
	for _, row := range rows {
		cells = append(cells, row...)
	}
	return strings.Join(cells, "\n")
}

// Thirteen discs are enough in class d: three more are 438 mm, whatever fittings a stated length tells of and however long the other strings are.
func TestHowMuchLongerAndLowerIsToldOfTheString(t *testing.T) {
	const heading = "Line,Structure,Circuit,Phase,Side,Duty,Unit,Units per string,Strings,Length (mm)\n"
	for name, rows := range map[string]string{
		"a length with fittings":     "L1,2,1,\"A,B,C\",,suspension,U120B,10,1,1700\n",
		"another string gets longer": "L1,2,1,A,,suspension,U120B,12,1,\nL1,2,1,\"B,C\",,suspension,U120B,10,1,\n",
	} {
		t.Run(name, func(t *testing.T) {
			files := hamlet()
			files["assemblies.csv"] = heading + "L1,1,1,\"A,B,C\",both,tension,U120B,14,1,\nL1,4,1,\"A,B,C\",both,tension,U120B,14,1,\nL1,3,1,\"A,B,C\",,suspension,U120B,13,1,\n" + rows
			out, ended, said := scopeOfFiles(t, files)
			require.Equal(t, exitDone, ended, said)
			changes := textOfSheet(t, filepath.Join(out, "scope.xlsx"), "Changes")
			require.Contains(t, changes, "\n438\n438\n")
			layer, err := os.ReadFile(filepath.Join(out, "scope.geojson"))
			require.NoError(t, err)
			require.Contains(t, string(layer), `"longer_mm":438,`)
		})
	}
}

// A site of class f has no figure, so that what serves there is not known: no limit, whatever a circuit that is not registered is to get beside it.
func TestASiteWithoutAFigureIsNoLimit(t *testing.T) {
	t.Parallel()
	files := hamlet()
	files["lines.csv"] = "Line,Circuits,Phases,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV)\nL1,2,ABC,110,123,550\n"
	files["assemblies.csv"] = "Line,Structure,Circuit,Phase,Duty,Unit,Units per string\n" +
		"L1,1,1,ABC,tension,U70BL,9\nL1,2,1,ABC,suspension,U70BL,8\nL1,3,1,ABC,suspension,U70BL,8\nL1,4,1,ABC,tension,U70BL,9\n" +
		"L1,1,2,ABC,tension,U70BL,9\nL1,3,2,ABC,suspension,U70BL,8\nL1,4,2,ABC,tension,U70BL,9\n"
	files["audit.yaml"] = strings.NewReplacer("default_class: c, creepage_basis: unified", "default_class: b", "criteria: {default_class: d}", "classes: {b: f}").Replace(files["audit.yaml"])
	out, ended, said := scopeOfFiles(t, files)
	require.Equal(t, exitDone, ended, said)
	content, err := os.ReadFile(filepath.Join(out, "scope.json"))
	require.NoError(t, err)
	var told scopeOut
	require.NoError(t, json.Unmarshal(content, &told))
	require.Empty(t, told.Scenarios[0].Stopped, said)
	require.Contains(t, said, "it cannot be judged what serves 4 of 4 structures")
	require.NotContains(t, said, "no remedy serves")
}

// The layer tells what falls short under a name that says so, and the first sheet that what a scenario does not concern counts as mended.
func TestLayerTellsWhatFallsShortByThatName(t *testing.T) {
	t.Parallel()
	files := hamlet()
	files["assemblies.csv"] = "Line,Structure,Circuit,Phase,Side,Duty,Unit,Units per string,Strings\nL1,2,1,\"A,B,C\",,suspension,U120B,10,1\n"
	out, ended, said := scopeOfFiles(t, files)
	require.Equal(t, exitDone, ended, said)
	content, err := os.ReadFile(filepath.Join(out, "scope.geojson"))
	require.NoError(t, err)
	var layer struct {
		Features []struct{ Properties map[string]any }
	}
	require.NoError(t, json.Unmarshal(content, &layer))
	require.NotEmpty(t, layer.Features)
	for _, f := range layer.Features {
		require.NotEmpty(t, f.Properties["falls_short"])
		require.NotContains(t, f.Properties, "needed")
	}
	for _, sheet := range []string{"Scenarios", "Side by side"} {
		require.Contains(t, textOfSheet(t, filepath.Join(out, "scope.xlsx"), sheet), "or that it does not concern any more")
	}
}
