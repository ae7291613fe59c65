package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Ages that the project states ask for notes; what has no date is counted as not assessed, and is no fault. Without them nothing is asked for.
func TestAgesAskForNotes(t *testing.T) {
	t.Parallel()
	type coverage struct {
		Check       string
		Meets       int
		FallsShort  int `json:"falls_short"`
		NotAssessed int `json:"not_assessed"`
		NotAsked    int `json:"not_asked"`
	}
	project := cohortProject(t)
	plain, err := os.ReadFile(project)
	require.NoError(t, err)
	for criteria, want := range map[string]coverage{
		"":                      {"past-stated-age", 0, 0, 60, 60},
		", ageing: {U70BL: 30}": {"past-stated-age", 15, 30, 15, 0}, // to 1995 above it to the last day, 1996 on either side, ten without a date
	} {
		require.NoError(t, os.WriteFile(project, []byte(strings.Replace(string(plain), "cohort_years: 5", "cohort_years: 5"+criteria, 1)), 0o666))
		out := t.TempDir()
		auditInto(t, project, out)
		var told struct {
			Coverage   []coverage
			Exceptions []struct{ Check, Severity, Reason, Structure string }
			Faults     []struct{ Column string }
		}
		raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(raw, &told))
		require.Contains(t, told.Coverage, want)
		notes := 0
		for _, e := range told.Exceptions {
			if e.Check != "past-stated-age" {
				continue
			}
			notes++
			require.Equal(t, "note", e.Severity)
			require.Regexp(t, `^Something that hangs here was installed on 199[0-5], 3\d\.\d years ago; the project asks for a note from 30 years on\.$`, e.Reason)
		}
		require.Equal(t, want.FallsShort, notes)
		for _, f := range told.Faults {
			require.NotEqual(t, "Installed", f.Column)
		}
	}
}
