package main

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A run stops where a file that a pattern found is not there any more, and the outputs stay: what the file held would seem to be gone, and what
// is left to be judged by the zones and crossings that are left. That goes for runs of some lines, for those that repeat the one before, and
// where the pattern is written otherwise. When the file is back, or its content under another name, all stands as it did; where the project file
// leaves it out, what it held is gone.
func TestRunStopsWhereAFileIsMissing(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, file string }{
		{"of the register", "Assemblies-2.csv.gz"}, {"of structures", "structures-2.geojson.gz"}, {"of zones", "zones-1.geojson"}, {"of crossings", "crossings-3.geojson.zst"},
	} {
		t.Run(c.name, func(t *testing.T) {
			project := inParts(t, filepath.Dir(demoProject), "assemblies.xlsx", 4, nil)
			folder := filepath.Dir(project)
			out, at := filepath.Join(folder, "out"), filepath.Join(folder, c.file)
			code, stderr := auditSince(t, project, out, "2026-01-01")
			require.Equal(t, exitDone, code, stderr)
			first, err := os.ReadFile(filepath.Join(out, "audit.json"))
			require.NoError(t, err)
			text, err := os.ReadFile(project)
			require.NoError(t, err)
			require.NoError(t, os.Rename(at, filepath.Join(folder, "away-"+c.file)))
			stops := func(day string, flags ...string) {
				t.Helper()
				code, stderr := auditSince(t, project, out, day, flags...)
				require.Equal(t, exitInputs, code, stderr)
				require.Contains(t, stderr, c.file+": is not there any more, though it was read in the run as of 2026-01-01, found by the pattern ")
				kept, err := os.ReadFile(filepath.Join(out, "audit.json"))
				require.NoError(t, err)
				require.Equal(t, string(first), string(kept))
			}
			stops("2026-01-02")
			stops("2026-01-01")
			stops("2026-01-02", "--lines", "SD-132")
			stops("2026-01-02", "--since", out)
			require.NoError(t, os.WriteFile(project, []byte(strings.ReplaceAll(string(text), `-*`, `*-*`)), 0o666))
			stops("2026-01-02")
			require.NoError(t, os.WriteFile(project, []byte(strings.ReplaceAll(strings.ReplaceAll(string(text), `"crossings-*`, `"./crossings-*`), `"zones-*`, `"./zones-*`)), 0o666))
			stops("2026-01-02")
			require.NoError(t, os.WriteFile(project, []byte(strings.ReplaceAll(string(text), `"`+strings.SplitAfter(c.file, "-")[0], `"`+filepath.ToSlash(folder)+"/"+strings.SplitAfter(c.file, "-")[0])), 0o666))
			stops("2026-01-02")
			require.NoError(t, os.WriteFile(project, text, 0o666))

			require.NoError(t, os.Rename(filepath.Join(folder, "away-"+c.file), filepath.Join(folder, strings.Replace(c.file, "-", "-a-", 1))))
			code, stderr = auditSince(t, project, out, "2026-01-02")
			require.Equal(t, exitDone, code, stderr)
			require.Contains(t, stderr, "nothing new, worse or cleared")
		})
	}
	t.Run("left out", func(t *testing.T) {
		project := inParts(t, filepath.Dir(demoProject), "assemblies.xlsx", 4, nil)
		folder := filepath.Dir(project)
		out := filepath.Join(folder, "out")
		auditSince(t, project, out, "2026-01-01")
		text, err := os.ReadFile(project)
		require.NoError(t, err)
		require.NoError(t, os.Remove(filepath.Join(folder, "crossings-1.geojson")))
		require.NoError(t, os.WriteFile(project, []byte(strings.Replace(string(text), `file: "crossings-*"`, `file: "crossings-*"`+"\n  without: [\"crossings-1.*\"]", 1)), 0o666))
		code, stderr := auditSince(t, project, out, "2026-01-02")
		require.Equal(t, exitDone, code, stderr)
	})
}

// What is told of files that are not read any more is what happened to them, and names them all.
func TestWhatBecameOfAFile(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		change func(at string) error
		told   string
	}{
		"renamed over another": {func(at string) error { return os.Rename(at+"-2.geojson.gz", at+"-1.geojson") }, "crossings-2.geojson.gz: is not there any more"},
		"a folder": {func(at string) error {
			return errors.Join(os.Remove(at+"-1.geojson"), os.Mkdir(at+"-1.geojson", 0o700))
		}, "crossings-1.geojson: is a folder and not read any more"},
		"a link to another": {func(at string) error {
			return errors.Join(os.Remove(at+"-1.geojson"), os.Symlink(at+"-2.geojson.gz", at+"-1.geojson"))
		}, "crossings-2.geojson.gz: is there and not read any more by itself"},
		"a total alone": {func(at string) error {
			name := filepath.Join(filepath.Dir(at), "Assemblies-1.csv")
			text, err := os.ReadFile(name)
			headings, _, _ := strings.Cut(string(text), "\n")
			return errors.Join(err, os.WriteFile(name, []byte(headings+"\nall of 18 rows\n"), 0o666))
		}, "Assemblies-1.csv: has fewer tables of Assemblies with rows that are used than before"},
		"two of them": {func(at string) error {
			return errors.Join(os.Remove(at+"-1.geojson"), os.Remove(at+"-2.geojson.gz"))
		}, "; nor are these as they were: crossings-2.geojson.gz\n"},
	} {
		t.Run(name, func(t *testing.T) {
			project := inParts(t, filepath.Dir(demoProject), "assemblies.xlsx", 4, nil)
			folder := filepath.Dir(project)
			out := filepath.Join(folder, "out")
			code, stderr := auditSince(t, project, out, "2026-01-01")
			require.Equal(t, exitDone, code, stderr)
			require.NoError(t, c.change(filepath.Join(folder, "crossings")))
			code, stderr = auditSince(t, project, out, "2026-01-02")
			require.Equal(t, exitInputs, code, stderr)
			require.Contains(t, stderr, c.told)
		})
	}
}

// A part that holds nothing, or what another holds, may have held something else before.
func TestPartsHoldSomethingOfTheirOwn(t *testing.T) {
	for name, c := range map[string]struct {
		change  func(t *testing.T, folder string)
		message string
	}{
		"crossings without any": {func(t *testing.T, folder string) {
			require.NoError(t, os.WriteFile(filepath.Join(folder, "crossings-1.geojson"), []byte(`{"type":"FeatureCollection","features":[]}`), 0o666))
		}, "crossings-1.geojson: holds no features, though the pattern "},
		"headings alone": {func(t *testing.T, folder string) {
			text, err := os.ReadFile(filepath.Join(folder, "Assemblies-1.csv"))
			require.NoError(t, err)
			headings, _, _ := strings.Cut(string(text), "\n")
			require.NoError(t, os.WriteFile(filepath.Join(folder, "Assemblies-1.csv"), []byte(headings+"\n"), 0o666))
		}, "Assemblies-1.csv: holds no rows under its headings, though the pattern "},
		"written over": {func(t *testing.T, folder string) {
			text, err := os.ReadFile(filepath.Join(folder, "Assemblies-1.csv"))
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(filepath.Join(folder, "Assemblies-9.csv"), text, 0o666))
		}, "Assemblies-9.csv: is the same as Assemblies-1.csv, byte for byte"},
	} {
		t.Run(name, func(t *testing.T) {
			project := inParts(t, filepath.Dir(demoProject), "assemblies.xlsx", 4, nil)
			c.change(t, filepath.Dir(project))
			code, stderr := auditSince(t, project, filepath.Join(filepath.Dir(project), "out"), "2026-01-01")
			require.Equal(t, exitInputs, code, stderr)
			require.Contains(t, stderr, c.message)
		})
	}
}
