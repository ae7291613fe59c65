package audit

import (
	"strconv"
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// counting is so many rows of a line that count alike.
type counting struct {
	rows    int
	phases  string
	duty    Duty
	units   int16
	strings int16
}

// doubtedOf lays the rows out on a line of 33 kV and tells how many are doubted in a column, and what the fault says.
func doubtedOf(t *testing.T, all []counting, cell Cell, column string) (doubted int, fault Fault) {
	s := newSketch(t)
	s.p.Units[0].SpacingMM, s.p.Units[0].CreepageMM, s.p.Units[0].Kind = 146, 295, basis.CapAndPin
	s.straight("L", 70)
	s.line("L").NominalKV = 33
	at := 0
	for _, c := range all {
		for range c.rows {
			at++
			row := s.assembly("L", strconv.Itoa(at), "1", c.phases, c.duty, NoSide)
			row.Source, row.UnitsPerString, row.Strings, row.Makeup = Source{1, uint32(at + 1)}, c.units, c.strings, 1
		}
	}
	s.network()
	for _, row := range s.p.Assemblies.All() {
		if row.Faulty.Has(cell) {
			doubted++
		}
	}
	for _, f := range s.p.Faults.List() {
		if f.Column == column {
			require.Zero(t, fault.Rows, "one fault")
			fault = f
		}
	}
	require.Equal(t, doubted, fault.Rows)
	return doubted, fault
}

// Strings that nearly every row counts over all phases are doubted, of ten rows nine (a choice of this program). What shows that the line has such sets takes the doubt from all: a number
// of several strings that is none of all phases, and on two phases a single one, since double strings are common.
func TestNearlyEveryRowCountsStringsOverThePhases(t *testing.T) {
	of := func(rows int, duty Duty, strings int16) counting { return counting{rows, "ABC", duty, 3, strings} }
	for name, c := range map[string]struct {
		rows    []counting
		doubted int
		on      string
	}{
		"every row":                         {[]counting{of(9, Suspension, 3)}, 9, "on this as on every row"},
		"nine of ten":                       {[]counting{of(9, Suspension, 3), of(1, Suspension, 1)}, 9, "on this as on nearly every row"},
		"eight of nine":                     {[]counting{of(8, Suspension, 3), of(1, Suspension, 1)}, 0, ""},
		"two of twenty":                     {[]counting{of(16, Suspension, 3), of(2, Tension, 6), of(2, Suspension, 1)}, 18, "or a multiple of it, on this as on nearly every row"},
		"three of twenty":                   {[]counting{of(17, Suspension, 3), of(3, Suspension, 1)}, 0, ""},
		"tension in double strings":         {[]counting{of(40, Suspension, 3), of(1, Tension, 2)}, 0, ""},
		"tension in four strings":           {[]counting{of(40, Suspension, 3), of(1, Tension, 4)}, 0, ""},
		"rows of one phase tell nothing":    {[]counting{of(9, Suspension, 3), {20, "A", Tension, 3, 1}}, 9, "on this as on every row"},
		"double strings on two phases":      {[]counting{{40, "AB", Suspension, 3, 2}, {1, "AB", Suspension, 3, 1}}, 0, ""},
		"double strings on three phases":    {[]counting{of(40, Suspension, 2)}, 0, ""},
		"triple strings at a few crossings": {[]counting{of(40, Suspension, 1), of(6, Suspension, 3)}, 0, ""},
	} {
		t.Run(name, func(t *testing.T) {
			doubted, fault := doubtedOf(t, c.rows, CellStrings, "Strings")
			require.Equal(t, c.doubted, doubted)
			require.Contains(t, fault.Expected, c.on)
		})
	}
}

// Units likewise. At Um 36 kV class e asks for 53.7·36/√3 = 1116 mm, 4 discs of 295 mm, and beyond 5 no string is believed (IEC TS 60815-1, published; computed).
// One string that is so long in itself shows that the line has them, as one that is insulated for a higher voltage.
func TestNearlyEveryRowCountsUnitsOverThePhases(t *testing.T) {
	of := func(rows int, units int16) counting { return counting{rows, "ABC", Suspension, units, 1} }
	for name, c := range map[string]struct {
		rows    []counting
		doubted int
		on      string
	}{
		"every row":                              {[]counting{of(9, 9)}, 9, "as on every such row"},
		"nine of ten":                            {[]counting{of(9, 9), of(1, 4)}, 9, "as on nearly every such row"},
		"nine of ten, and three units may be so": {[]counting{of(9, 9), of(1, 3)}, 10, "as on nearly every such row"},
		"eight of nine":                          {[]counting{of(8, 9), of(1, 4)}, 0, ""},
		"a string of ten":                        {[]counting{of(40, 9), of(1, 10)}, 0, ""},
		"a string of nine of one phase":          {[]counting{of(40, 9), {1, "A", Suspension, 9, 1}}, 0, ""},
		"rows of one phase tell nothing":         {[]counting{of(9, 9), {20, "A", Suspension, 3, 1}}, 9, "as on every such row"},
		"five are believed":                      {[]counting{of(40, 5)}, 0, ""},
		"two rows tell nothing":                  {[]counting{of(2, 6), {20, "A", Suspension, 3, 1}}, 0, ""},
	} {
		t.Run(name, func(t *testing.T) {
			doubted, fault := doubtedOf(t, c.rows, CellUnitsPerString, "Units per string")
			require.Equal(t, c.doubted, doubted)
			require.Contains(t, fault.Expected, c.on)
		})
	}
}
