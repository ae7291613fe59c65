package main

import (
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// move is a change of the verdicts of one check, in the words of the relations.
type move struct {
	how           disturbance
	column, check string
	what          string
}

// What stands for a check where the run as a whole is meant, and where an assembly is gone with all its verdicts.
const (
	wholeRun     = "run"
	assemblyLost = "assembly"
)

// broken is a move that breaks the rule, with an example of it.
type broken struct {
	move
	row     int
	example string
}

// line is a move as the file of known breaks has it.
func (m broken) line() string {
	return fmt.Sprintf("%s\t%s\t%d\t%s\t%s", m.how, m.column, m.row, m.check, m.what)
}

// knownBreaks are the ways to a verdict that was not earned which are there today, each with a row of the island that shows
// it, 0 where only the real case does. Whoever mends one strikes its line; a line is added only for what cannot be mended
// at once.
type knownBreaks []broken

var knownBreaksFile = filepath.Join("..", "..", "testdata", "unreadable", "known.tsv")

func readKnownBreaks(t *testing.T) (known knownBreaks) {
	t.Helper()
	raw, err := os.ReadFile(knownBreaksFile)
	require.NoError(t, err)
	for i, line := range strings.Split(string(raw), "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		parts := strings.Split(line, "\t")
		require.Len(t, parts, 5, "line %d", i+1)
		row, err := strconv.Atoi(parts[2])
		require.NoError(t, err)
		known = append(known, broken{move{disturbance(parts[0]), parts[1], parts[3], parts[4]}, row, ""})
	}
	return known
}

// witnesses are the rows that show the known breaks, by disturbance and column.
func (k knownBreaks) witnesses() map[string][]int {
	rows := map[string][]int{}
	for _, m := range k {
		at := string(m.how) + " " + m.column
		if m.row > 0 {
			rows[at] = append(rows[at], m.row)
		}
	}
	return rows
}

// require fails on every break that is not known, and where all must show on every known one that is mended.
// DRYARC_UPDATE=1 strikes the mended ones.
func (k knownBreaks) require(t *testing.T, found *discoveries, all bool) {
	t.Helper()
	listed := map[move]bool{}
	var mended []string
	for _, m := range k {
		listed[m.move] = true
		if _, still := found.breaks[m.move]; !still && m.row > 0 {
			mended = append(mended, m.line())
		}
	}
	var fresh []broken
	for _, m := range found.breaks {
		if !listed[m.move] {
			fresh = append(fresh, m)
		}
	}
	slices.SortFunc(fresh, func(a, b broken) int { return cmp.Compare(a.line(), b.line()) })
	for _, m := range fresh {
		t.Errorf("a new way to a verdict that was not earned:\n%s\n%s", m.line(), m.example)
	}
	if !all || len(mended) == 0 {
		return
	}
	if os.Getenv("DRYARC_UPDATE") != "1" {
		t.Fatalf("%d known breaks are mended, strike them from %s or run the test with DRYARC_UPDATE=1:\n%s", len(mended), knownBreaksFile, strings.Join(mended, "\n"))
	}
	raw, err := os.ReadFile(knownBreaksFile)
	require.NoError(t, err)
	left := slices.DeleteFunc(strings.Split(string(raw), "\n"), func(line string) bool { return slices.Contains(mended, line) })
	require.NoError(t, os.WriteFile(knownBreaksFile, []byte(strings.Join(left, "\n")), 0o644))
}
