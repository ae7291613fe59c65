package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A file that a pattern found and does not find any more is told, and nothing that it held is cleared, in this run and those that follow; when it is
// back all stands as it did. Where the project file leaves it out, what it held is gone.
func TestMissingFileIsLostAndNotGone(t *testing.T) {
	type said struct {
		told
		Run struct {
			Since *struct {
				Remarks []string
				Missing []struct {
					File, Pattern, Section string
					Since                  string `json:"missing_since"`
				} `json:"files_missing"`
			}
			Summary struct{ Headline string }
		}
	}
	for _, c := range []struct{ name, file string }{
		{"of the register", "Assemblies-2.csv.gz"}, {"of structures", "structures-2.geojson.gz"}, {"of zones", "zones-1.geojson"}, {"of crossings", "crossings-3.geojson.zst"},
	} {
		t.Run(c.name, func(t *testing.T) {
			project := inParts(t, filepath.Dir(demoProject), "assemblies.xlsx", 4, nil)
			folder := filepath.Dir(project)
			out := filepath.Join(folder, "out")
			night := func(day string, flags ...string) (s said, bytes []byte, stderr string) {
				code, stderr := auditSince(t, project, out, day, flags...)
				require.Equal(t, exitDone, code, stderr)
				raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
				require.NoError(t, err)
				require.NoError(t, json.Unmarshal(raw, &s))
				return s, raw, stderr
			}
			first, _, _ := night("2026-01-01")
			known := map[string]bool{}
			for _, e := range first.Exceptions {
				known[e.ID] = true
			}
			require.NoError(t, os.Rename(filepath.Join(folder, c.file), filepath.Join(folder, "away-"+c.file)))

			lost := 0
			for _, day := range []string{"2026-01-02", "2026-01-03"} {
				without, raw, stderr := night(day, "--quiet")
				require.Contains(t, stderr, "missing: "+c.file+" is missing since 2026-01-02, which the pattern ")
				require.Contains(t, without.Run.Summary.Headline, "1 file is missing that a pattern of the project file found")
				require.Len(t, without.Run.Since.Missing, 1)
				require.Equal(t, "2026-01-02", without.Run.Since.Missing[0].Since)
				for _, e := range without.Cleared {
					require.Equal(t, "not assessed", e.Why, "%s %s %s: %s", e.Check, e.Line, e.Structure, e.Detail)
				}
				if lost > 0 {
					require.Len(t, without.Cleared, lost, "kept")
				}
				lost = len(without.Cleared)
				require.NotZero(t, lost)
				_, again, _ := night(day)
				require.Equal(t, string(raw), string(again), "the same run again")
			}

			require.NoError(t, os.Rename(filepath.Join(folder, "away-"+c.file), filepath.Join(folder, c.file)))
			back, _, _ := night("2026-01-04")
			require.Empty(t, back.Run.Since.Missing)
			require.Contains(t, back.Run.Since.Remarks[0], "is there again; it was missing since 2026-01-02")
			found := map[string]bool{}
			for _, e := range back.Exceptions {
				found[e.ID] = true
				require.True(t, known[e.ID], "%s %s %s", e.Check, e.Line, e.Structure)
				require.NotEqual(t, "new", e.State, "%s %s %s", e.Check, e.Line, e.Structure)
				require.Equal(t, "2026-01-01", e.First, "%s %s %s", e.Check, e.Line, e.Structure)
			}
			require.Equal(t, known, found)
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
		require.NoError(t, os.WriteFile(project, []byte(strings.Replace(string(text), `file: "crossings-*"`, `file: "crossings-*"`+"\n  without: [crossings-1.geojson]", 1)), 0o666))
		code, stderr := auditSince(t, project, out, "2026-01-02")
		require.Equal(t, exitDone, code)
		require.NotContains(t, stderr, "is missing since")
	})
}

// A file that has another name, or whose place as many others take, so that no line lacks anything, is not missing.
func TestRenamedFileIsNotMissing(t *testing.T) {
	project := inParts(t, filepath.Dir(demoProject), "assemblies.xlsx", 4, nil)
	folder := filepath.Dir(project)
	out := filepath.Join(folder, "out")
	auditSince(t, project, out, "2026-01-01")
	require.NoError(t, os.Rename(filepath.Join(folder, "Assemblies-2.csv.gz"), filepath.Join(folder, "Assemblies-north.csv.gz")))
	_, stderr := auditSince(t, project, out, "2026-01-02")
	require.NotContains(t, stderr, "is missing since")
	require.Contains(t, stderr, "nothing new, worse or cleared")

	content, err := os.ReadFile(filepath.Join(folder, "Assemblies-1.csv"))
	require.NoError(t, err)
	require.NoError(t, os.Remove(filepath.Join(folder, "Assemblies-1.csv")))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "Assemblies-2026.csv"), append(content, '\n'), 0o666))
	_, stderr = auditSince(t, project, out, "2026-01-03")
	require.NotContains(t, stderr, "is missing since")
	raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
	require.NoError(t, err)
	require.Contains(t, string(raw), "Assemblies-1.csv, which the pattern Assemblies-*.csv* under register found, is not there any more, and other files that it finds now are")
	auditSince(t, project, out, "2026-01-03")
	again, err := os.ReadFile(filepath.Join(out, "audit.json"))
	require.NoError(t, err)
	require.Equal(t, string(raw), string(again))
}
