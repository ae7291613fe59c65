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
	return doubtedOfKV(t, 33, all, cell, column)
}

// doubtedOfKV is doubtedOf on a line of a nominal voltage; strings of −1 are not stated.
func doubtedOfKV(t *testing.T, kV float64, all []counting, cell Cell, column string) (doubted int, fault Fault) {
	s := newSketch(t)
	s.p.Units[0].SpacingMM, s.p.Units[0].CreepageMM, s.p.Units[0].Kind = 146, 295, basis.CapAndPin
	s.straight("L", 70)
	s.line("L").NominalKV = kV
	at := 0
	for _, c := range all {
		for range c.rows {
			at++
			row := s.assembly("L", strconv.Itoa(at), "1", c.phases, c.duty, NoSide)
			row.Source, row.UnitsPerString, row.Strings, row.Makeup = Source{1, uint32(at + 1)}, c.units, c.strings, 1
			if c.strings < 0 { // blank, for which one is assumed
				row.Strings, row.Blank = 1, BlankStrings
			}
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

// Pins, posts and shackles do not stand three side by side for one phase, whatever hangs at the tension structures; triple tension strings are built; six in parallel hang on no line of
// range I, Um 245 kV or less (common practice).
func TestStringsAreCountedOverThePhasesByDuty(t *testing.T) {
	of := func(rows int, duty Duty, strings int16) counting { return counting{rows, "ABC", duty, 3, strings} }
	for name, c := range map[string]struct {
		rows    []counting
		kV      float64
		doubted int
		on      string
	}{
		"three pins, single tension strings":          {[]counting{of(9, Pin, 3), of(4, Tension, 1)}, 33, 9, "the number of phases, on this as on every pin row"},
		"three posts, double tension strings":         {[]counting{of(9, Post, 3), of(4, Tension, 2)}, 33, 9, "on every post row"},
		"three shackles, beside pins":                 {[]counting{of(5, Shackle, 3), of(9, Pin, 1)}, 33, 5, "on every shackle row"},
		"six pins of double poles too":                {[]counting{of(7, Pin, 3), of(2, Pin, 6), of(4, Tension, 1)}, 33, 9, "or a multiple of it, on this as on every pin row"},
		"nine pins of ten":                            {[]counting{of(9, Pin, 3), of(1, Pin, 1), of(4, Tension, 1)}, 33, 9, "on nearly every pin row"},
		"three pins on a few poles":                   {[]counting{of(9, Pin, 1), of(3, Pin, 3), of(4, Tension, 1)}, 33, 0, ""},
		"two pins at some poles":                      {[]counting{of(9, Pin, 3), of(1, Pin, 2), of(4, Tension, 1)}, 33, 0, ""},
		"double pins":                                 {[]counting{of(9, Pin, 2), of(4, Tension, 1)}, 33, 0, ""},
		"double pins on two phases":                   {[]counting{{9, "AB", Pin, 3, 2}, {4, "AB", Tension, 3, 1}}, 33, 0, ""},
		"two rows of pins":                            {[]counting{of(2, Pin, 3), of(4, Tension, 1)}, 33, 0, ""},
		"triple tension strings":                      {[]counting{of(9, Suspension, 1), of(4, Tension, 3)}, 400, 0, ""},
		"triple tension strings at 110 kV":            {[]counting{of(9, Suspension, 1), of(4, Tension, 3)}, 110, 0, ""},
		"double tension strings at 110 kV":            {[]counting{of(9, Suspension, 1), of(4, Tension, 2)}, 110, 0, ""},
		"six tension strings at 110 kV":               {[]counting{of(9, Suspension, 1), of(4, Tension, 6)}, 110, 4, "on every tension row"},
		"six, and three at the ends, at 110 kV":       {[]counting{of(9, Suspension, 1), of(4, Tension, 6), of(2, Tension, 3)}, 110, 6, "on every tension row"},
		"six tension strings at 400 kV":               {[]counting{of(9, Suspension, 1), of(4, Tension, 6)}, 400, 0, ""},
		"triple suspension beside single tension":     {[]counting{of(9, Suspension, 3), of(4, Tension, 1)}, 110, 9, "on every suspension row"},
		"triple suspension beside double tension":     {[]counting{of(9, Suspension, 3), of(4, Tension, 2)}, 110, 0, ""},
		"six in suspension beside double tension":     {[]counting{of(9, Suspension, 6), of(4, Tension, 2)}, 110, 9, "on every suspension row"},
		"triple suspension at crossings":              {[]counting{of(9, Suspension, 1), of(5, Suspension, 3), of(4, Tension, 1)}, 110, 0, ""},
		"tension that counts, suspension that is not": {[]counting{of(9, Suspension, -1), of(4, Tension, 3)}, 110, 4, "on this as on every row of line \"L\" that states them"},
		"six, suspension that is not stated":          {[]counting{of(9, Suspension, -1), of(4, Tension, 6)}, 110, 4, "or a multiple of it, on this as on every row"},
		"two rows, suspension that is not stated":     {[]counting{of(9, Suspension, -1), of(2, Tension, 6)}, 110, 0, ""},
		"double tension, suspension not stated":       {[]counting{of(9, Suspension, -1), of(4, Tension, 2)}, 110, 0, ""},
		"three and two, suspension not stated":        {[]counting{of(9, Suspension, -1), of(4, Tension, 3), of(1, Tension, 2)}, 110, 0, ""},
	} {
		t.Run(name, func(t *testing.T) {
			doubted, fault := doubtedOfKV(t, c.kV, c.rows, CellStrings, "Strings")
			require.Equal(t, c.doubted, doubted)
			require.Contains(t, fault.Expected, c.on)
		})
	}
}

// At Um 123 kV class e asks for 53.7·123/√3 = 3813 mm, 13 discs of 295 mm (IEC TS 60815-1, published; computed); beyond 26 no string of the line is believed where its other duties have no such strings.
// Fewer are where those of the other duty are not much shorter.
func TestUnitsAreCountedOverThePhasesByDuty(t *testing.T) {
	of := func(rows int, duty Duty, units int16) counting { return counting{rows, "ABC", duty, units, 1} }
	for name, c := range map[string]struct {
		rows    []counting
		doubted int
		on      string
	}{
		"suspension strings":                   {[]counting{of(9, Suspension, 27), of(4, Tension, 10)}, 9, "as on every row of suspension"},
		"tension strings":                      {[]counting{of(9, Suspension, 9), of(4, Tension, 30)}, 4, "as on every row of tension"},
		"of most rows, others have a third":    {[]counting{of(9, Suspension, 27), of(2, Suspension, 9), of(4, Tension, 10)}, 9, "as on others of suspension beside rows that have the share of one phase, and divides"},
		"of half, tension has a third":         {[]counting{of(9, Suspension, 30), of(9, Suspension, 9), of(4, Tension, 10)}, 9, "as on others of suspension beside rows that have the share of one phase"},
		"of most rows, none has a third":       {[]counting{of(9, Suspension, 27), of(2, Suspension, 11), of(4, Tension, 10)}, 0, ""},
		"a third, but a few long strings":      {[]counting{of(9, Suspension, 27), of(2, Suspension, 9), of(1, Tension, 28)}, 0, ""},
		"a third of strings that are believed": {[]counting{of(9, Suspension, 24), of(2, Suspension, 8), of(4, Tension, 15)}, 0, ""},
		"twice class e and no more":            {[]counting{of(9, Suspension, 24), of(4, Tension, 15)}, 0, ""},
		"none that divides by the phases":      {[]counting{of(9, Suspension, 28), of(4, Tension, 10)}, 0, ""},
		"a line of long strings":               {[]counting{of(9, Suspension, 27), of(4, Tension, 28)}, 0, ""},
		"tension strings of a clean stretch":   {[]counting{of(9, Suspension, 27), of(4, Tension, 17)}, 0, ""},
		"rows of one phase are no others":      {[]counting{of(9, Suspension, 27), {4, "A", Tension, 10, 1}}, 9, "such row"},
		"strings as long as that of one phase": {[]counting{of(9, Suspension, 27), {1, "A", Tension, 27, 1}, of(4, Tension, 10)}, 0, ""},
	} {
		t.Run(name, func(t *testing.T) {
			doubted, fault := doubtedOfKV(t, 110, c.rows, CellUnitsPerString, "Units per string")
			require.Equal(t, c.doubted, doubted)
			require.Contains(t, fault.Expected, c.on)
		})
	}
}

// At Um 123 kV class e asks for 53.7·123/√3 = 3813 mm, 13 discs of 295 mm, class c for 9 (IEC TS 60815-1, published; computed): strings of 7 or 8 discs fall short in class c, and 21 or 24
// for three phases are no more than twice those of class e. Beside the strings of the other duty they are.
func TestUnitsOverThePhasesBesideTheOtherDuty(t *testing.T) {
	for name, c := range map[string]struct {
		rows    []counting
		doubted int
	}{
		"three times 8":                   {[]counting{{20, "ABC", Suspension, 24, 1}, {4, "ABC", Tension, 9, 1}}, 20},
		"three times 7":                   {[]counting{{20, "ABC", Suspension, 21, 1}, {4, "ABC", Tension, 10, 1}}, 20},
		"the share of one phase":          {[]counting{{20, "ABC", Suspension, 24, 1}, {4, "ABC", Tension, 8, 1}}, 20},
		"one row of a phase beside":       {[]counting{{9, "ABC", Suspension, 24, 1}, {1, "ABC", Suspension, 8, 1}, {4, "ABC", Tension, 9, 1}}, 9},
		"tension over the phases":         {[]counting{{20, "ABC", Suspension, 9, 1}, {4, "ABC", Tension, 24, 1}}, 4},
		"a row for each phase":            {[]counting{{20, "A", Suspension, 24, 1}, {4, "A", Tension, 9, 1}}, 0},
		"no multiple":                     {[]counting{{20, "ABC", Suspension, 22, 1}, {4, "ABC", Tension, 9, 1}}, 0},
		"long strings, tension one more":  {[]counting{{20, "ABC", Suspension, 18, 1}, {4, "ABC", Tension, 19, 1}}, 0},
		"long strings, tension fewer":     {[]counting{{20, "ABC", Suspension, 18, 1}, {4, "ABC", Tension, 12, 1}}, 0},
		"twice as long, within class e":   {[]counting{{20, "ABC", Suspension, 15, 1}, {4, "ABC", Tension, 7, 1}}, 0},
		"tension long on one row, dirty":  {[]counting{{20, "ABC", Suspension, 9, 1}, {4, "ABC", Tension, 10, 1}, {4, "ABC", Tension, 18, 1}}, 0},
		"suspension both long and short":  {[]counting{{12, "ABC", Suspension, 9, 1}, {9, "ABC", Suspension, 18, 1}, {4, "ABC", Tension, 10, 1}}, 0},
		"a tension string that is longer": {[]counting{{20, "ABC", Suspension, 21, 1}, {3, "ABC", Tension, 9, 1}, {1, "ABC", Tension, 13, 1}}, 0},
	} {
		t.Run(name, func(t *testing.T) {
			doubted, fault := doubtedOfKV(t, 110, c.rows, CellUnitsPerString, "Units per string")
			require.Equal(t, c.doubted, doubted)
			if doubted > 0 {
				require.Contains(t, fault.Expected, "are they counted over all phases?")
			}
		})
	}
}
