package remedy_test

import (
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
