package checks_test

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// A string of which neither its creepage nor how many there are can be read may outweigh the four that tell what is usual: as many may hang there as
// any row of the line has.
func TestStringsThatCannotBeReadMayBeMany(t *testing.T) {
	for name, c := range map[string]struct {
		unread  audit.Cells
		outcome audit.Outcome
	}{
		"creepage":                       {audit.Cells(0).With(audit.CellCreepage), audit.FallsShort}, // one against four
		"creepage and number of strings": {audit.Cells(0).With(audit.CellCreepage).With(audit.CellStrings), audit.NotAssessed},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase(t)
			first, second := b.rows(2)[0].Number, b.rows(3)[0].Number
			phase := b.rows(2)[0].Phase
			b.drop(func(row *audit.AssemblyRow) bool {
				return row.Duty == audit.Suspension && !((row.Number == first || row.Number == second) && row.Phase == phase)
			})
			b.rows(2)[0].Strings, b.rows(2)[0].Arrangement, b.rows(2)[0].UnitsPerString = 4, audit.Parallel, 10
			b.rows(3)[0].Faulty = c.unread
			b.rows(1)[0].UnitsPerString = 9
			v := b.verdict("tension-fewer-units", 1, "A")
			require.Equal(t, c.outcome, v.Outcome, "%s", v.Reason)
		})
	}
}
