package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// An acceptance of seven discs does not cover the seven that hang there after nine did: the gates count them, and the outputs say why.
func TestAcceptedAndMendedAndShortAgain(t *testing.T) {
	t.Parallel()
	y := yearOfOneLine(t)
	y.asOf = "2026-03-01"
	project, out := filepath.Join(y.folder, "audit.yaml"), filepath.Join(y.folder, "out")
	night := func(units int) (code int, said string) {
		y.asOf = y.dayFromNow(1)
		y.lines[0].towers[2].units[0] = units
		y.write()
		return auditSince(t, project, out, y.asOf, "--fail-on", "new-shortfall", "--notify", filepath.Join(y.folder, "news.txt"))
	}
	found := func() (of []toldException) { // that seven discs are too short
		raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
		require.NoError(t, err)
		var told told
		require.NoError(t, json.Unmarshal(raw, &told))
		for _, e := range told.Exceptions {
			if e.Check == "creepage" && e.Structure == "3" {
				of = append(of, e)
			}
		}
		return of
	}
	code, said := night(7)
	require.Equal(t, exitFound, code, said)
	id := found()[0].ID
	y.put("decisions.csv", fmt.Sprintf("exception,line,structure,check,decision,until,by,reason,decided,ended,was\n%s,,,,accept,2027-12-31,N,seen,,,\n", id))
	for _, c := range []struct {
		units, code int
		state       string // empty where it is not there
		worth       string
		file        string // what the file of decisions notes of it
	}{
		{7, exitDone, "standing", "in force", ""},
		{14, exitDone, "", "", " met=2026-03-04"},
		{14, exitDone, "", "", " met=2026-03-04"},
		{7, exitFound, "new", "lapsed", " met=2026-03-04"},
		{7, exitDone, "standing", "lapsed", " met=2026-03-04"},
	} {
		code, said := night(c.units)
		require.Equal(t, c.code, code, said)
		require.Equal(t, c.file != "", strings.Contains(y.get("decisions.csv"), " met="))
		require.Contains(t, y.get("decisions.csv"), c.file)
		exceptions := found()
		require.Equal(t, c.state != "", len(exceptions) > 0)
		for _, e := range exceptions {
			require.Equal(t, []string{c.state, c.worth}, []string{e.State, e.Decision.Status})
		}
		require.Equal(t, c.worth == "lapsed", strings.Contains(y.get("news.txt"), "met on 2026-03-04, and what falls short since is another"))
	}
	code, said = auditSince(t, project, out, y.asOf, "--fail-on", "lapsed")
	require.Equal(t, exitFound, code, said)
}
