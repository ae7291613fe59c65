package remedy_test

import (
	"fmt"
	"slices"
	"testing"

	"dryarc/audit"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// Rows that contradict each other leave it unknown what hangs there, whichever comes first.
func TestRowsThatContradictAreLookedAtFirst(t *testing.T) {
	for name, c := range map[string]struct {
		units, others int16
		other         string
		from          string
		fewer         []remedy.Count
		uncounted     []string
	}{
		"a string too long or too short": {13, 8, "U120B", "A: 13 × U120B or 8 × U120B (rows contradict each other); B,C: 10 × U120B", []remedy.Count{{Unit: "U120B", Count: 10}}, []string{"U120B"}},
		"too short or too long":          {8, 13, "U120B", "A: 8 × U120B or 13 × U120B (rows contradict each other); B,C: 10 × U120B", []remedy.Count{{Unit: "U120B", Count: 10}}, []string{"U120B"}},
		"too long or right":              {13, 10, "U120B", "A: 13 × U120B or 10 × U120B (rows contradict each other); B,C: 10 × U120B", []remedy.Count{{Unit: "U120B", Count: 10}}, []string{"U120B"}},
		"one of another unit":            {8, 8, "U70BL", "A: 8 × U120B or 8 × U70BL (rows contradict each other); B,C: 10 × U120B", nil, []string{"U120B", "U70BL"}},
	} {
		t.Run(name, func(t *testing.T) {
			p := sample(t)
			stocked(p, 10, "U120B")
			p.Lines[0].LongestStringMM = 1500
			row := rowsAt(p, "3")[0]
			row.UnitsPerString = c.units
			alsoSaid(p, row, func(other *audit.AssemblyRow) { other.UnitsPerString, other.Makeup = c.others, makeupOf(p, c.other) })
			r, jobs := searched(t, p)
			require.Len(t, jobs, 1)
			require.Len(t, jobs[0].Remedies, 1)
			x := &jobs[0].Remedies[0]
			require.Equal(t, c.from, x.From)
			require.Equal(t, "10 × U120B", x.To.String())
			require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 10}}, x.Fit)
			require.Empty(t, x.Remove)
			require.True(t, x.RemoveUnknown)
			require.Equal(t, c.fewer, x.Fewer)
			require.Len(t, x.Changes, 1)
			require.True(t, x.Changes[0].RowsContradict)
			require.Equal(t, c.uncounted, x.Changes[0].Uncounted)
			require.True(t, slices.ContainsFunc(jobs[0].Open, func(o remedy.Open) bool { return o.RowsContradict }))
			requireLoop(t, r, jobs)
		})
	}
}

// A row whose unit cannot be read, or that states none, says as little of what hangs there as one that contradicts the other, whichever comes first.
func TestRowsOfUnknownUnitsAreLookedAtFirst(t *testing.T) {
	for name, change := range map[string]func(row *audit.AssemblyRow){
		"a misspelt unit": func(row *audit.AssemblyRow) { row.Makeup, row.UnitsPerString = 0, 9; unreadable(row, audit.CellUnit) },
		"no unit":         func(row *audit.AssemblyRow) { row.Makeup = 0 },
		"neither unit nor number": func(row *audit.AssemblyRow) {
			row.Makeup = 0
			unreadable(row, audit.CellUnit, audit.CellUnitsPerString)
		},
	} {
		for _, first := range [...]bool{true, false} {
			t.Run(fmt.Sprint(name, ", first ", first), func(t *testing.T) {
				p := sample(t)
				stocked(p, 10, "U120B")
				row := rowsAt(p, "3")[0]
				if first {
					alsoSaid(p, row, func(other *audit.AssemblyRow) { other.UnitsPerString = 6 })
					change(rowsAt(p, "3")[0])
				} else {
					row.UnitsPerString = 6
					alsoSaid(p, row, change)
				}
				r, jobs := searched(t, p)
				require.Len(t, jobs, 1)
				require.Empty(t, jobs[0].Remedies) // nothing tells the rating of what hangs there
				require.Len(t, jobs[0].StoppedBy, 1)
				require.Contains(t, jobs[0].StoppedBy[0].Sentence, "unit not known")
				require.True(t, slices.ContainsFunc(jobs[0].Open, func(o remedy.Open) bool { return o.Exception == jobs[0].Exceptions[0] }))
				requireLoop(t, r, jobs)
			})
		}
	}
}
