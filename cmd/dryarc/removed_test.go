package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A decision that stands on no row of the workbook, since it lapsed, is cut from the file between two runs: the next run says so, as often
// as it is repeated, and the one after that does not. One that was withdrawn is not missed.
func TestADecisionIsCutFromTheFile(t *testing.T) {
	t.Parallel()
	const heading = "exception,line,structure,check,decision,until,by,reason,decided,ended,was\n"
	y := yearOfOneLine(t)
	y.lines[0].towers[2].units[0] = 8
	y.lines[0].towers[4].units[0] = 8
	y.write()
	type said struct {
		Exceptions []struct{ ID, Structure string }
		Faults     []struct {
			File, Column, Value, Message string
			Row                          int
		}
		Run struct {
			Decisions struct {
				Lapsed  int
				Removed []struct{ Exception, Structure, Decision, By string }
			}
		}
	}
	audited := func(day string) (s said, stderr string) {
		y.asOf = day
		command := y.command(y.lines)
		command.Quiet = false
		var errs bytes.Buffer
		require.NoError(t, command.audit(surroundingsOf(context.Background(), &ending{}, io.Discard, &errs), yearChecks()))
		raw, err := os.ReadFile(filepath.Join(y.folder, "out", "audit.json"))
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(raw, &s))
		return s, errs.String()
	}
	first, _ := audited("2026-03-01")
	require.Len(t, first.Exceptions, 2)
	cut, kept := first.Exceptions[0], first.Exceptions[1]
	y.put("decisions.csv", heading+cut.ID+",,,,accept,2026-02-01,Kim,dry place\n"+kept.ID+",,,,plan,03/04/2027,Lee\n")
	second, stderr := audited("2026-03-02")
	require.Equal(t, 2, second.Run.Decisions.Lapsed)
	require.NotContains(t, stderr, "was removed")
	require.Len(t, second.Faults, 1)
	f := second.Faults[0]
	require.Equal(t, []any{"decisions.csv", 3, "until", "03/04/2027"}, []any{f.File, f.Row, f.Column, f.Value})
	require.Contains(t, f.Message, "may be 3 April 2027 or 4 March 2027: expected year, month and day, 2027-04-03 or 2027-03-04")

	text, err := os.ReadFile(filepath.Join(y.folder, "decisions.csv"))
	require.NoError(t, err)
	rows := strings.SplitAfter(string(text), "\n")
	require.Contains(t, rows[1], "Kim")
	y.put("decisions.csv", rows[0]+rows[2])
	third, stderr := audited("2026-03-03")
	const removed = `The decision "accept until 2026-02-01, Kim: dry place" of line L0, structure 3, creepage was removed from the file of decisions since the run of 2026-03-02.`
	require.Contains(t, stderr, removed)
	require.Contains(t, stderr, "1 not in the file any more since the last run")
	require.Len(t, third.Run.Decisions.Removed, 1)
	require.Equal(t, []string{cut.ID, "3", "accept", "Kim"}, []string{third.Run.Decisions.Removed[0].Exception, third.Run.Decisions.Removed[0].Structure,
		third.Run.Decisions.Removed[0].Decision, third.Run.Decisions.Removed[0].By})
	before := snapshot(t, filepath.Join(y.folder, "out"))
	_, stderr = audited("2026-03-03")
	require.Contains(t, stderr, removed, "repeated")
	require.Equal(t, before, snapshot(t, filepath.Join(y.folder, "out")), "repeated")
	_, stderr = audited("2026-03-04")
	require.NotContains(t, stderr, "removed from the file", "it is said once")

	withdrawn := strings.Split(strings.TrimSuffix(rows[2], "\n"), ",")
	withdrawn[9] = "withdrawn 2026-03-05"
	y.put("decisions.csv", rows[0]+strings.Join(withdrawn, ",")+"\n")
	fifth, stderr := audited("2026-03-05")
	require.NotContains(t, stderr, "removed from the file")
	require.Empty(t, fifth.Faults, "the date of one that is over is no fault")
}

// A line gets another name in the night in which two of its numbers trade places: what was decided follows, and none of it is missed.
func TestNoDecisionIsMissedWhereLineAndNumbersAreRenamed(t *testing.T) {
	t.Parallel()
	y := yearOfOneLine(t)
	towers := y.lines[0].towers
	for k := range 5 {
		towers[k].units[0] = 5 + k
	}
	y.asOf = "2026-03-01"
	y.write()
	decisions := "exception,line,structure,check,decision,until,by,reason,decided,ended,was\n"
	for _, e := range y.audit(y.lines).Exceptions {
		decisions += e.ID + ",,,,done\n"
	}
	y.put("decisions.csv", decisions)
	y.asOf = "2026-03-02"
	y.audit(y.lines)
	y.lines[0].name = "M0"
	towers[1].number, towers[2].number = towers[2].number, towers[1].number
	y.write()
	y.asOf = "2026-03-03"
	said := y.audit(y.lines)
	require.Len(t, said.Exceptions, 5)
	require.Empty(t, said.Run.Decisions.Removed)
}

// A decision that lapsed is cut from the file after a run that left its line out, or in which what it is of could not be judged: the next run of
// all lines misses it, once, and one that is not cut is not missed.
func TestADecisionIsCutAfterARunThatKeptIt(t *testing.T) {
	t.Parallel()
	for name, between := range map[string]func(y *year) []*yearLine{
		"left out": func(y *year) []*yearLine { return y.lines[1:] },
		"not assessed": func(y *year) []*yearLine {
			y.lines[0].towers[2].unread[0] = true
			return y.lines
		},
	} {
		t.Run(name, func(t *testing.T) {
			y := newYear(t)
			y.lines = y.lines[:2]
			for _, line := range y.lines {
				for _, tw := range line.towers {
					tw.units = [3]int{14, 14, 14}
				}
			}
			y.lines[0].towers[2].units[0], y.lines[0].towers[4].units[0] = 8, 8
			run := func(day string, chosen []*yearLine) (said told) {
				y.asOf = day
				y.write()
				return y.audit(chosen)
			}
			first := run("2026-03-01", y.lines)
			require.Len(t, first.Exceptions, 2)
			decisions := "exception,line,structure,check,decision,until,by,reason,decided,ended,was\n"
			for _, e := range first.Exceptions {
				decisions += e.ID + ",,,,accept,2026-02-01,Kim\n"
			}
			y.put("decisions.csv", decisions)
			require.Empty(t, run("2026-03-02", y.lines).Run.Decisions.Removed)
			chosen := between(y)
			require.Empty(t, run("2026-03-03", chosen).Run.Decisions.Removed)
			require.Empty(t, run("2026-03-03", chosen).Run.Decisions.Removed, "repeated")
			require.Empty(t, run("2026-03-04", chosen).Run.Decisions.Removed, "once more")
			text, err := os.ReadFile(filepath.Join(y.folder, "decisions.csv"))
			require.NoError(t, err)
			rows := strings.SplitAfter(string(text), "\n")
			require.Contains(t, rows[1], first.Exceptions[0].ID)
			y.put("decisions.csv", rows[0]+rows[2])
			y.lines[0].towers[2].unread[0] = false
			require.Len(t, run("2026-03-05", y.lines).Run.Decisions.Removed, 1)
			require.Empty(t, run("2026-03-06", y.lines).Run.Decisions.Removed)
		})
	}
}
