package checks_test

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// A blank circuit is 1, but not on a line of several circuits beside a row that says 1, nor where circuits go by letters: then it is not
// known, each row is judged, and no circuit lacks a phase for it.
func TestOverlaysOfABlankCircuit(t *testing.T) {
	blank := func(b *base, row *audit.AssemblyRow) {
		row.Circuit, row.Blank = b.Symbols.Number("1"), row.Blank|audit.BlankCircuit
	}
	const open = "3 not assessed a field it needs is faulty, see Faults"
	for _, c := range []struct {
		name          string
		first, second string
		circuits      int // that the sheet Lines states, below 0 for none
		blanks        []int
		missing       []string // phase-missing at 3
		fault         bool
	}{
		{"of the second", "1", "2", 2, []int{5}, []string{open, open}, true},
		{"of the second, nobody counts them", "1", "2", -1, []int{5}, []string{open, open}, true},
		{"of one row of the first", "1", "2", 2, []int{0}, []string{open, open}, true},
		{"all of the first", "1", "2", 2, []int{0, 1, 2}, []string{"3 meets", "3 meets"}, false},
		{"all of the second", "1", "2", 2, []int{3, 4, 5}, []string{open, open}, true},
		{"of both", "1", "2", 2, []int{0, 1, 2, 3, 4, 5}, []string{open, open}, true},
		{"of both, nobody counts them", "1", "2", -1, []int{0, 1, 2, 3, 4, 5}, []string{open, open}, true},
		{"of a phase of both", "1", "2", 2, []int{1, 4}, []string{open, open}, true},
		{"beside letters", "A", "B", -1, []int{5}, []string{open, open}, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBase(t)
			b.Lines[0].Circuits = c.circuits
			for i := range b.Assemblies.Len() {
				row := b.Assemblies.At(i)
				row.Circuit = b.Symbols.Number(c.second)
				row.Source.Row += 1000
				b.Assemblies.Row(i).Circuit = b.Symbols.Number(c.first)
				b.Assemblies.Append(row)
			}
			b.RowsRead = b.Assemblies.Len()
			rows := b.rows(3)
			for _, i := range c.blanks {
				blank(b, rows[i])
			}
			require.Equal(t, c.missing, at(3, b.told("phase-missing")))
			require.Len(t, at(3, b.told("creepage")), 6)
			require.Equal(t, c.fault, b.Faults.Total() == 1)
			if c.fault {
				require.Contains(t, b.Faults.List()[0].Message(), `circuit is blank, and line "L" has other circuits`)
				require.Equal(t, len(c.blanks), b.Faults.List()[0].Rows)
			} else {
				require.Zero(t, b.Faults.Total())
			}
		})
	}
}
