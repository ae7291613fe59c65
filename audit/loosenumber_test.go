package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A number in a cell has lost its zeros: where two structures may be meant the row is left out and may stand at either, unless the rows
// show the value in both ways.
func TestNumbersThatHaveLostTheirZeros(t *testing.T) {
	for name, c := range map[string]struct {
		structures []string
		rows       []string
		isText     bool
		at         []string // the structures on which the rows stand; empty for left out
		lost       []string // those at which a row may be lost
		taken      int
	}{
		"one or the other":         {structures: []string{"1.1", "1.10", "1.2"}, rows: []string{"1.1", "1.2"}, at: []string{"", "1.2"}, lost: []string{"1.1", "1.10"}},
		"shown as both":            {structures: []string{"1.1", "1.10", "1.2"}, rows: []string{"1.1", "1.10"}, at: []string{"1.1", "1.10"}},
		"always with two decimals": {structures: []string{"1.1", "1.10", "1.2"}, rows: []string{"1.10", "1.20"}, at: []string{"", "1.2"}, lost: []string{"1.1", "1.10"}, taken: 1},
		"texts":                    {structures: []string{"1.1", "1.10"}, rows: []string{"1.1"}, isText: true, at: []string{"1.1"}},
		"only one has the value":   {structures: []string{"1.10", "1.2"}, rows: []string{"1.1"}, at: []string{"1.10"}, taken: 1},
		"zeros before it":          {structures: []string{"7", "007", "8"}, rows: []string{"7", "8"}, at: []string{"", "8"}, lost: []string{"7", "007"}},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSketch(t)
			for i, number := range c.structures {
				s.structure("L", number, 10+0.004*float64(i), 50)
			}
			for i, number := range c.rows {
				s.assembly("L", number, "1", "", Suspension, NoSide).Source = Source{1, uint32(i + 2)}
				s.p.Assemblies.Row(i).Numeric = !c.isText
			}
			s.p.RowsRead = len(c.rows)
			n, err := Arrange(s.p)
			require.NoError(t, err)
			at := make([]string, len(c.rows))
			var lost []string
			for i := range n.StructureCount() {
				for _, row := range n.AssemblyRows(i) {
					at[row] = n.Number(i)
				}
				if n.Structure(0, i).RowsLost {
					lost = append(lost, n.Number(i))
				}
			}
			require.Equal(t, c.at, at)
			require.ElementsMatch(t, c.lost, lost)
			require.Len(t, n.Taken(), c.taken)
			require.Equal(t, min(len(c.lost), 1), s.p.Faults.Total(), "%v", s.p.Faults.List())
		})
	}
}
