package main

import (
	"cmp"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
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

// A string and a jumper string of one phase have one key, and are told apart by a number behind their ids: what was accepted of the one does not
// cover the other, whichever of them is mended or comes.
func TestAcceptedOfTheOneAndNotTheOther(t *testing.T) {
	t.Parallel()
	const hung, jumper = 'h', 'j'
	for name, c := range map[string]struct {
		accepted rune
		nights   [][2]int // units of the string and of the jumper string, 0 for none
		want     []string // what is said of each exception on the last night, the string before the jumper string
	}{
		"nothing changes":           {hung, [][2]int{{7, 8}, {7, 8}}, []string{"standing in force", "standing"}},
		"the accepted one mended":   {hung, [][2]int{{7, 8}, {14, 8}}, []string{"standing lapsed"}},
		"a night later":             {hung, [][2]int{{7, 8}, {14, 8}, {14, 8}}, []string{"standing lapsed"}},
		"mended, and back":          {hung, [][2]int{{7, 8}, {14, 8}, {7, 8}}, []string{"new", "standing lapsed"}},
		"the other one mended":      {hung, [][2]int{{7, 8}, {7, 14}}, []string{"standing in force"}},
		"the other one accepted":    {jumper, [][2]int{{7, 8}, {14, 8}}, []string{"standing in force"}},
		"another instead":           {hung, [][2]int{{8, 0}, {14, 8}}, []string{"new lapsed"}},
		"another beside":            {hung, [][2]int{{8, 0}, {8, 8}}, []string{"standing in force", "new"}},
		"the jumper alone, it goes": {jumper, [][2]int{{0, 8}, {8, 0}}, []string{"new lapsed"}},
	} {
		t.Run(name, func(t *testing.T) {
			y := yearOfOneLine(t)
			y.asOf = "2026-03-01"
			night := func(units [2]int, day string) (found []toldException) {
				y.asOf = day
				y.lines[0].towers[2].units[0] = units[0]
				y.write()
				if units[1] > 0 {
					y.put("Assemblies.csv", y.get("Assemblies.csv")+fmt.Sprintf("L0,3,1,A,jumper,U120B,%d\n", units[1]))
				}
				for _, e := range y.audit(y.lines).Exceptions {
					if e.Check == "creepage" && e.Structure == "3" {
						found = append(found, e)
					}
				}
				slices.SortFunc(found, func(a, b toldException) int { return cmp.Compare(a.ID, b.ID) })
				return found
			}
			first := night(c.nights[0], "2026-03-02")
			decided := first[0]
			if c.accepted == jumper {
				decided = first[len(first)-1]
			}
			y.put("decisions.csv", "exception,line,structure,check,decision,until,by,reason,decided,ended,was\n"+decided.ID+",,,,accept,2027-12-31,N,seen,,,\n")
			night(c.nights[0], "2026-03-03")
			var told []string
			for k, units := range c.nights[1:] {
				for range 2 { // repeated
					told = nil
					for _, e := range night(units, fmt.Sprintf("2026-03-%02d", k+4)) {
						text := e.State
						if e.Decision != nil {
							text += " " + e.Decision.Status
						}
						told = append(told, text)
					}
				}
			}
			require.ElementsMatch(t, c.want, told)
		})
	}
}
