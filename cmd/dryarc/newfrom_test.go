package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// newFrom writes a project for files that are there, and returns its path and text.
func newFrom(t *testing.T, files ...string) (project, text string) {
	t.Helper()
	project = filepath.Join(t.TempDir(), "mine", "audit.yaml")
	var stdout, stderr bytes.Buffer
	args := append([]string{"new", filepath.Dir(project), "--from"}, files...)
	require.Equal(t, exitDone, run(context.Background(), args, &stdout, &stderr), stderr.String())
	require.Equal(t, project+"\n", stdout.String())
	raw, err := os.ReadFile(project)
	require.NoError(t, err)
	return project, string(raw)
}

// edited makes one change of a project file: texts that stand there once are replaced.
func edited(t *testing.T, project string, replacements ...[2]string) {
	t.Helper()
	raw, err := os.ReadFile(project)
	require.NoError(t, err)
	text := string(raw)
	for _, r := range replacements {
		require.Equal(t, 1, strings.Count(text, r[0]), r[0])
		text = strings.Replace(text, r[0], r[1], 1)
	}
	require.NoError(t, os.WriteFile(project, []byte(text), 0o600))
}

// messyKeys are the exceptions of the checks that the answer key of the messy case has.
func messyKeys(result auditJSON) (keys []string) {
	for _, e := range result.Exceptions {
		if slices.Contains([]string{"creepage", "tension-at-deviation", "tension-at-terminal"}, e.Check) {
			keys = append(keys, strings.Join([]string{e.Check, e.Line, e.Structure, e.Circuit, e.Side}, "|"))
		}
	}
	slices.Sort(keys)
	return keys
}

// TestNewFromMessyFiles holds that a project written for the untouched exports gives their answer key after one edit, in which a person
// answers what the project file asks and states the rules; and that before it nothing is found that is not there.
func TestNewFromMessyFiles(t *testing.T) {
	t.Parallel()
	folder := filepath.Join(filepath.Dir(andesCase(t)), "messy")
	var expected []string
	for _, row := range readCSV(t, filepath.Join(folder, "expected.csv")) {
		expected = append(expected, strings.Join([]string{row["check"], row["line"], row["structure"], row["circuit"], row["side"]}, "|"))
	}
	slices.Sort(expected)
	require.Len(t, expected, 206)
	for _, form := range [...][2]string{
		{"Structures.gpkg", "400kV_bom.csv"}, {"Structures.gpkg", "400kV_cp1252.csv"}, {"Structures.gpkg", "400kV_utf16.csv"}, {"Structures_utm.geojson", "400kV_bom.csv"},
	} {
		t.Run(form[0]+" "+form[1], func(t *testing.T) {
			var files []string
			for _, name := range []string{form[1], "66kV_raw.xlsx", "lines.csv", "132kV_raw.xlsx", "Pollution.gpkg", form[0], "insulators.csv"} {
				files = append(files, filepath.Join(folder, name))
			}
			project, text := newFrom(t, files...)
			require.NotContains(t, text, "Open, before anything is read")
			untouched := auditInto(t, project, t.TempDir())
			require.Subset(t, expected, messyKeys(untouched))

			edited(t, project,
				[2]string{`# "Ostrey-Keldby 1": "?"`, `"Ostrey-Keldby 1": OSTREY - KELDBY 1 & 2`},
				[2]string{`# "Ostrey-Keldby 2": "?"`, `"Ostrey-Keldby 2": OSTREY - KELDBY 1 & 2`},
				[2]string{"# default_class: ", "default_class: "}, [2]string{"# pin_deviation_limit_deg: 5", "pin_deviation_limit_deg: 5"})
			result := auditInto(t, project, t.TempDir())
			require.Equal(t, expected, messyKeys(result))
			require.Equal(t, []int{254, 254, 0}, []int{result.Run.RowsRead, result.Run.RowsPlaced, result.Run.RowsLeftOut})
		})
	}
}

// criteriaOf is what a project file says from its criteria on.
func criteriaOf(t *testing.T, text string) string {
	t.Helper()
	at := strings.Index(text, "\ncriteria:\n")
	require.Positive(t, at)
	return text[at:]
}

// TestNewFromFilesThatNeedNothing holds that a project written for the inputs of the demo, and of a new project, gives the same
// exceptions as theirs under the same criteria, without an edit of anything else.
func TestNewFromFilesThatNeedNothing(t *testing.T) {
	t.Parallel()
	fresh := filepath.Join(t.TempDir(), "fresh")
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"new", fresh}, &stdout, &stderr), stderr.String())
	for name, of := range map[string]struct {
		folder, register string
		more             []string
		exceptions       bool
	}{
		"demo":        {filepath.Join("..", "..", "testdata", "demo"), "assemblies.xlsx", []string{"inspections.csv"}, true},
		"new project": {fresh, "register.xlsx", nil, false},
	} {
		t.Run(name, func(t *testing.T) {
			var files []string
			for _, name := range append([]string{of.register, "crossings.geojson", "structures.geojson", "zones.geojson"}, of.more...) {
				files = append(files, filepath.Join(of.folder, name))
			}
			theirs := filepath.Join(of.folder, "audit.yaml")
			raw, err := os.ReadFile(theirs)
			require.NoError(t, err)
			project, text := newFrom(t, files...)
			edited(t, project, [2]string{criteriaOf(t, text), criteriaOf(t, string(raw))})
			want, got := auditInto(t, theirs, t.TempDir()), auditInto(t, project, t.TempDir())
			require.Equal(t, want.Exceptions, got.Exceptions)
			require.Equal(t, of.exceptions, len(got.Exceptions) > 0)
			require.Equal(t, want.Run.RowsPlaced, got.Run.RowsPlaced)
			require.Len(t, got.Faults, len(want.Faults))
		})
	}
}

// TestNewFromChangesNothing holds that inputs stay as they are, that nothing is overwritten, and that nothing is written where a file
// cannot be looked at.
func TestNewFromChangesNothing(t *testing.T) {
	inputs := filepath.Join(t.TempDir(), "inputs")
	require.Equal(t, exitDone, run(context.Background(), []string{"new", inputs}, &bytes.Buffer{}, &bytes.Buffer{}))
	before := snapshot(t, inputs)
	structures, register := filepath.Join(inputs, "structures.geojson"), filepath.Join(inputs, "register.xlsx")
	project, _ := newFrom(t, structures, register)
	require.Equal(t, before, snapshot(t, inputs))

	for name, c := range map[string]struct {
		args []string
		code int
		says string
	}{
		"is there already":    {[]string{filepath.Dir(project), "--from", structures}, exitOutputs, "is there already"},
		"a file is not there": {[]string{"new", "--from", structures, "nothing.csv"}, exitInputs, "nothing.csv"},
		"the standard input":  {[]string{"new", "--from", "-"}, exitInputs, "expected a file"},
		"no files":            {[]string{"new", "--from"}, exitUsage, "--from takes files"},
		"files without it":    {[]string{"new", structures}, exitUsage, "with --from"},
	} {
		t.Run(name, func(t *testing.T) {
			if c.args[0] == "new" {
				c.args[0] = filepath.Join(t.TempDir(), "new")
			}
			kept := snapshot(t, filepath.Dir(project))
			var stdout, stderr bytes.Buffer
			require.Equal(t, c.code, run(context.Background(), append([]string{"new"}, c.args...), &stdout, &stderr), stderr.String())
			require.Contains(t, stderr.String(), c.says)
			require.Empty(t, stdout.String())
			require.Equal(t, kept, snapshot(t, filepath.Dir(project)))
			if c.args[0] != filepath.Dir(project) {
				require.NoDirExists(t, c.args[0])
			}
		})
	}
}

// TestReadTellsTheWorstFirst holds the order in which read tells faults: those that matter, of the most rows first, whatever their kind.
func TestReadTellsTheWorstFirst(t *testing.T) {
	folder := t.TempDir()
	require.Equal(t, exitDone, run(context.Background(), []string{"new", filepath.Join(folder, "p")}, &bytes.Buffer{}, &bytes.Buffer{}))
	table := "Line,Structure,Duty,Unit,Units per string,Installed\n"
	for range 4 {
		table += "L-1,1,Zugseil,U120B,9,soon\nL-1,2,suspension,U120B,9,soon\n"
	}
	require.NoError(t, os.WriteFile(filepath.Join(folder, "a.csv"), []byte(table+"L-1,1,tension,U12,9,\nM,1,tension,U120B,9,\nN,1,tension,U120B,9,\nM,2,tension,U120B,9,\n"), 0o600))
	project, _ := newFrom(t, filepath.Join(folder, "p", "structures.geojson"), filepath.Join(folder, "a.csv"))
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"read", project}, &stdout, &stderr), stderr.String())
	var order []string
	for line := range strings.Lines(stdout.String()) {
		if before, after, is := strings.Cut(line, " × "); is && !strings.HasPrefix(line, " ") {
			order = append(order, before+" "+strings.TrimSpace(after))
		}
	}
	require.Equal(t, []string{"1 unknown-word in Duty", "3 no-such-line in Line", "1 missing-value in Phase", "1 unknown-unit in Unit", "8 not-a-number in Installed (by the way)"}, order)
	require.Contains(t, stdout.String(), "\n  where they are lines of the structures under other names, write in the project file: words: {Line: {\"M\": …, \"N\": …}}\n")
}
