package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// yearOfOneLine is a year of one line, on which nothing falls short.
func yearOfOneLine(t *testing.T) *year {
	y := newYear(t)
	y.lines = y.lines[:1]
	for _, tw := range y.lines[0].towers {
		tw.units = [3]int{14, 14, 14}
	}
	return y
}

// get is the text of a file of the project.
func (y *year) get(name string) string {
	text, err := os.ReadFile(filepath.Join(y.folder, name))
	require.NoError(y.t, err)
	return string(text)
}

// edit writes a file anew with another text where one stands first.
func (y *year) edit(name, from, to string) {
	text := y.get(name)
	require.Contains(y.t, text, from)
	y.put(name, strings.Replace(text, from, to, 1))
}

// saidOf is what a run says of a structure: its exceptions, and what is there no more.
func (y *year) saidOf(structure string) (list []string) {
	said := y.audit(y.lines)
	for _, e := range said.Exceptions {
		if e.Structure == structure {
			list = append(list, strings.Join([]string{e.Check, e.Phase, e.State, e.First}, " "))
		}
	}
	for _, e := range said.Cleared {
		if e.Structure == structure {
			list = append(list, strings.Join([]string{e.Check, e.Phase, e.Why, e.Detail}, " "))
		}
	}
	return list
}

// lostAndFound is what audit.json says of exceptions and decisions.
type lostAndFound struct {
	Exceptions, Cleared []struct {
		ID, State, Why string
		First          string `json:"first_seen"`
		Lost           string `json:"lost_on"`
	}
	Run struct{ Decisions map[string]any }
}

// auditBy runs one check on a day of March.
func (y *year) auditBy(check string, day int) (said lostAndFound) {
	y.asOf = fmt.Sprintf("2026-03-%02d", day)
	judging := slices.DeleteFunc(checks.All(), func(c *audit.Check) bool { return c.ID != check })
	require.NoError(y.t, y.command(y.lines).audit(surroundingsOf(context.Background(), &ending{}, io.Discard, io.Discard), judging))
	require.NoError(y.t, json.Unmarshal([]byte(y.get("out/audit.json")), &said))
	return said
}

// reportDone writes the file of decisions in which the one exception is reported done.
func (y *year) reportDone(said lostAndFound) {
	require.Len(y.t, said.Exceptions, 1)
	y.put("decisions.csv", "exception,line,structure,check,decision,until,by,reason,decided,ended,was\n"+said.Exceptions[0].ID+",,,,done\n")
}

// inWords is what is said of the one exception, there or not, and of the one decision.
func (l *lostAndFound) inWords() string {
	var parts []string
	for _, e := range l.Exceptions {
		parts = append(parts, e.State+" "+e.First)
	}
	for _, e := range l.Cleared {
		parts = append(parts, strings.TrimSpace(e.Why+" "+e.Lost))
	}
	for _, status := range [][2]string{{"still_there", "still there though reported done"}, {"not_assessed", "not assessed"}, {"settled", "settled"}} {
		if l.Run.Decisions[status[0]] == 1.0 {
			parts = append(parts, status[1])
		}
	}
	return strings.Join(parts, ", ")
}
