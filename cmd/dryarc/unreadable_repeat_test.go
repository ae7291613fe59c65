package main

import (
	"fmt"
	"slices"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// Of two rows of one assembly, of which one says that nobody knows a cell or what nobody can read, both are judged: which comes first changes no
// verdict.
func TestUnreadableCellsOfRepeatedRows(t *testing.T) {
	t.Parallel()
	keys := []string{"Line", "Structure", "Circuit", "Phase", "Side", "Duty"}
	in := island(t)
	rows := in.sheets["Assemblies"]
	folder := t.TempDir()
	in.writeAll(t, folder)
	moved := map[string]bool{}
	judged := func(said ...[]string) map[string]int {
		in.sheets["Assemblies"] = append(slices.Clone(rows[:1]), said...)
		in.write(t, folder, "Assemblies")
		r, err := runInFolder(folder, nil)
		require.NoError(t, err)
		found := map[string]int{}
		for _, f := range r.findings {
			if f.outcome == audit.NotAssessed {
				f.severity = 0
			}
			found[fmt.Sprintln(f.check, f.line, f.structure, f.to, f.circuit, f.side, f.outcome, f.severity, f.observed, f.required)]++
		}
		return found
	}
	whole := judged(rows[1:]...)
	for k, column := range rows[0] {
		if slices.Contains(keys, column) {
			continue
		}
		at := max(1+slices.IndexFunc(rows[1:], func(row []string) bool { return row[k] == "" }), 1) // a blank one, where there is one
		for _, text := range []string{"?", "x?"} {
			spoilt := slices.Clone(rows[at])
			spoilt[k] = text
			rest := slices.Delete(slices.Clone(rows[1:]), at-1, at)
			later := judged(append(slices.Clone(rest), rows[at], spoilt)...)
			first := judged(append(slices.Clone(rest), spoilt, rows[at])...)
			for verdict, count := range later {
				if first[verdict] != count {
					t.Errorf("%s as %q: %d times, and %d times with that row first: %s", column, text, count, first[verdict], verdict)
				}
			}
			moved[column] = moved[column] || fmt.Sprint(later) != fmt.Sprint(whole)
		}
	}
	for _, column := range []string{"Creepage (mm)", "Rating (kN)", "Units per string"} {
		require.True(t, moved[column], "%s moves no verdict", column)
	}
}
