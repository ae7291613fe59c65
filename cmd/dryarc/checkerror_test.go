package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// failing are all checks, one of which panics on some subjects.
func failing(id string, where func(s *audit.Subject, t *audit.Trace) bool) []*audit.Check {
	list := checks.All()
	i := slices.IndexFunc(list, func(c *audit.Check) bool { return c.ID == id })
	changed := *list[i]
	changed.Judge = func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		if where(s, t) {
			panic("ill-judged")
		}
		return list[i].Judge(s, t)
	}
	others := slices.Clone(list)
	others[i] = &changed
	return others
}

// auditFailing audits the demo with a check that panics, and returns what was said and with which code it would end.
func auditFailing(t *testing.T, out string, list []*audit.Check) (said string, code int) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	command := auditCommand{Project: demoProject, Out: out, AsOf: "2026-01-01", Format: "text", Log: "text", Quiet: true, FailOn: new("shortfall")}
	err := command.audit(surroundingsOf(context.Background(), &ending{}, &stdout, &stderr), list)
	require.Empty(t, stdout.String())
	code = tell(&stderr, err, exitCode(err))
	return stderr.String(), code
}

// rowOf is the register row of an exception.
func rowOf(t *testing.T, out string, exception int) uint32 {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
	require.NoError(t, err)
	var result struct {
		Exceptions []struct{ At struct{ Row uint32 } }
	}
	require.NoError(t, json.Unmarshal(raw, &result))
	return result.Exceptions[exception].At.Row
}

// The first exception of creepage in the demo, by its row, is what the check fails on: every output is written, all say
// so, and the run ends with 2, whatever else it found.
func TestARunWithACheckThatPanics(t *testing.T) {
	whole, out := t.TempDir(), t.TempDir()
	want := auditInto(t, demoProject, whole)
	first := 0
	for want.Exceptions[first].Check != "creepage" {
		first++
	}
	hit, row := want.Exceptions[first], rowOf(t, whole, first)
	said, code := auditFailing(t, out, failing("creepage", func(s *audit.Subject, _ *audit.Trace) bool { return s.Assembly.Source.Row == row }))
	require.Equal(t, exitFailed, code)
	require.Contains(t, said, "check creepage failed: line "+hit.Line+", structure "+hit.Structure+", circuit "+hit.Circuit)
	require.Contains(t, said, "(not assessed): ill-judged (checkerror_test.go:")

	got := readAuditJSON(t, out)
	require.Equal(t, slices.Delete(slices.Clone(want.Exceptions), first, first+1), got.Exceptions)
	for i, c := range got.Coverage {
		was := want.Coverage[i]
		if c.Check == "creepage" {
			require.Equal(t, was.NotAssessed+1, c.NotAssessed)
			c.NotAssessed, c.FallsShort, c.Reasons = was.NotAssessed, c.FallsShort+1, was.Reasons
		}
		require.Equal(t, was, c)
	}
	raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
	require.NoError(t, err)
	var told struct {
		Run struct {
			Count  int                 `json:"check_error_count"`
			Errors []map[string]string `json:"check_errors"`
		} `json:"run"`
	}
	require.NoError(t, json.Unmarshal(raw, &told))
	require.Equal(t, told.Run.Count, len(told.Run.Errors))
	require.Equal(t, map[string]string{"check": "creepage", "line": hit.Line, "structure": hit.Structure, "structure_to": "", "circuit": hit.Circuit,
		"phase": hit.Phase, "side": hit.Side, "trial": "", "error": told.Run.Errors[0]["error"]}, told.Run.Errors[0])
	run := cellsOf(t, filepath.Join(out, "exceptions.xlsx"))["Run"]
	require.True(t, slices.ContainsFunc(run, func(cells []string) bool {
		return len(cells) == 4 && cells[0] == "creepage" && strings.Contains(cells[1], "structure "+hit.Structure) && strings.HasPrefix(cells[3], "ill-judged")
	}), run)
	for _, name := range []string{"audit.html", "exceptions.geojson", "structures.geojson"} {
		require.FileExists(t, filepath.Join(out, name))
	}
}

// A check that fails only when an output puts it to its subjects again leaves every verdict, and is told all the same.
func TestAnOutputSurvivesACheckThatPanics(t *testing.T) {
	t.Parallel()
	whole, out := t.TempDir(), t.TempDir()
	want := auditInto(t, demoProject, whole)
	said, code := auditFailing(t, out, failing("creepage", func(s *audit.Subject, t *audit.Trace) bool { return t.On() }))
	require.Equal(t, exitFailed, code)
	require.Contains(t, said, "(tried for an output): ill-judged")
	got := readAuditJSON(t, out)
	require.Equal(t, want.Exceptions, got.Exceptions)
	require.Equal(t, want.Coverage, got.Coverage)
	sheets, before := cellsOf(t, filepath.Join(out, "exceptions.xlsx")), cellsOf(t, filepath.Join(whole, "exceptions.xlsx"))
	heading := func(rows [][]string, check string) bool {
		return slices.ContainsFunc(rows, func(cells []string) bool { return len(cells) > 0 && strings.HasPrefix(cells[0], check+": ") })
	}
	require.True(t, heading(before["Working"], "creepage"))
	require.False(t, heading(sheets["Working"], "creepage"))
	require.True(t, heading(sheets["Working"], "swing"))
}

func TestExplainWithACheckThatPanics(t *testing.T) {
	var stdout, stderr bytes.Buffer
	out := t.TempDir()
	e := auditInto(t, demoProject, out).Exceptions[0]
	command := explainCommand{Project: demoProject, Line: e.Line, Structure: e.Structure}
	err := command.explain(surroundingsOf(context.Background(), &ending{}, &stdout, &stderr), failing("creepage", func(*audit.Subject, *audit.Trace) bool { return true }))
	require.Equal(t, exitFailed, exitCode(err))
	require.Contains(t, stdout.String(), "creepage: not assessed: the check failed, an error of the program, see Run\n    ill-judged (checkerror_test.go:")
	require.Contains(t, stdout.String(), e.Check+": falls short")
	require.Contains(t, stderr.String(), "check creepage failed: ill-judged")
}
