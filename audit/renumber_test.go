package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A prefix is suggested only where it keeps structures apart and rows where they are.
func TestRenumberingIsSuggested(t *testing.T) {
	for name, c := range map[string]struct {
		structures, rows []string // numbers
		want             string
	}{
		"structures have a prefix":    {[]string{"PB-001", "PB-002", "PB-010"}, []string{"1", "2", "10"}, `words: {Structure: [{match: '^(?:PB-)?0*(\d.*)$', as: '$1'}]}`},
		"rows have a prefix":          {[]string{"1", "2"}, []string{"T1", "T2"}, `words: {Structure: [{match: '^(?:T)?0*(\d.*)$', as: '$1'}]}`},
		"each has its own":            {[]string{"PB-1", "PB-2"}, []string{"T1", "T2"}, `words: {Structure: [{match: '^(?:T|PB-)?0*(\d.*)$', as: '$1'}]}`},
		"an apostrophe":               {[]string{"P'1", "P'2"}, []string{"1", "2"}, `words: {Structure: [{match: '^(?:P'')?0*(\d.*)$', as: '$1'}]}`},
		"two structures would be one": {[]string{"A1", "A2", "B1", "B2"}, []string{"1", "2"}, ""},
		"two of many would be one":    {[]string{"A1", "A2", "A3", "A4", "B4"}, []string{"1", "2", "3"}, ""},
		"few of the rows would stand": {[]string{"A1", "A2"}, []string{"1", "2", "7", "8"}, ""},
		"one row tells nothing":       {[]string{"A1", "A2"}, []string{"1"}, ""},
		"nothing in common":           {[]string{"A1", "A2"}, []string{"11", "12"}, ""},
		"all stand":                   {[]string{"A1", "A2"}, []string{"A1", "A2"}, ""},
		"names without numbers":       {[]string{"A", "B"}, []string{"1", "2"}, ""},
		"two numbers would be one":    {[]string{"A1", "A2", "A3"}, []string{"1", "2", "A3", "B 3"}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSketch(t)
			for i, number := range c.structures {
				s.structure("L", number, 10+0.004*float64(i), 50)
			}
			for i, number := range c.rows {
				s.assembly("L", number, "1", "", Suspension, NoSide).Source = Source{1, uint32(i + 2)}
			}
			s.p.RowsRead = len(c.rows)
			require.Equal(t, c.want, s.network().Renumbering)
		})
	}
}

// What is wrong with the line or the structure of a row that gives an assembly for each phase is said once.
func TestRowsOfPhasesAreFaultyOnce(t *testing.T) {
	s := newSketch(t)
	s.structure("L", "1", 10, 50)
	s.structure("L", "2", 10.01, 50)
	for _, phase := range []string{"A", "B", "C"} {
		s.assembly("M", "1", "1", phase, Suspension, NoSide).Source = Source{1, 2}
		s.assembly("L", "9", "1", phase, Suspension, NoSide).Source = Source{1, 3}
	}
	s.p.RowsRead, s.p.RowsMade = 2, 4
	n := s.network()
	counts := map[FaultKind]int{}
	for _, f := range s.p.Faults.List() {
		counts[f.Kind]++
	}
	require.Equal(t, []int{1, 1}, []int{counts[NoSuchLine], counts[NoSuchStructure]})
	require.Zero(t, n.RowsPlaced)
}
