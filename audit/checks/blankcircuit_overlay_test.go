package checks_test

import (
	"testing"

	"dryarc/audit"
	"dryarc/geo"

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

// Where no row at a structure names a circuit of a line of several, they may be of any or of all: they are judged, and no phase is missed there, unless the line shows elsewhere that a
// blank is 1.
func TestOverlaysOfBlankCircuitsAlone(t *testing.T) {
	const open = "3 not assessed a field it needs is faulty, see Faults"
	const missing = "3 falls short"
	for name, c := range map[string]struct {
		stated  int
		circuit func(structure string) string // of the rows beside those without a circuit, none where it is empty
		other   func(structure string) bool   // whether the rows of circuit 2 are there
		blank   func(structure string) bool   // whether those of circuit 1 are blank
		missing []string
		rows    int // of the fault
	}{
		"nowhere named":          {stated: 2, blank: func(string) bool { return true }, missing: []string{open, open}, rows: 30},
		"nowhere named, one":     {stated: 1, blank: func(string) bool { return true }, missing: []string{"3 meets"}},
		"nowhere named, nobody":  {stated: -1, blank: func(string) bool { return true }, missing: []string{"3 meets"}},
		"named elsewhere":        {stated: 2, blank: is3, other: not3, missing: []string{open, open}, rows: 3},
		"named on both sides":    {stated: -1, blank: is3, other: not3, missing: []string{open, open}, rows: 3},
		"1 named, 2 missing":     {stated: 2, blank: func(string) bool { return false }, missing: []string{missing, "3 meets"}},
		"blank beside 2, 2 gone": {stated: 2, blank: func(string) bool { return true }, other: not3, missing: []string{missing, "3 meets"}},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase(t)
			b.Lines[0].Circuits = c.stated
			for i := range b.Assemblies.Len() {
				row := b.Assemblies.At(i)
				number := b.Texts.Get(row.Number)
				if c.other != nil && c.other(number) {
					second := row
					second.Circuit = b.Symbols.Number("2")
					second.Source.Row += 1000
					b.Assemblies.Append(second)
				}
				row.Circuit = b.Symbols.Number("1")
				if c.blank(number) {
					row.Blank |= audit.BlankCircuit
				}
				b.Assemblies.Set(i, row)
			}
			b.RowsRead = b.Assemblies.Len()
			require.Equal(t, c.missing, at(3, b.told("phase-missing")))
			if c.rows == 0 {
				require.Zero(t, b.Faults.Total())
			} else {
				require.Equal(t, 1, b.Faults.Total())
				require.Contains(t, b.Faults.List()[0].Message(), `circuit is blank, line "L" has several circuits, and no row at the structure names one`)
				require.Equal(t, c.rows, b.Faults.List()[0].Rows)
			}
			require.NotContains(t, at(3, b.told("creepage")), open)
		})
	}
}

func is3(structure string) bool  { return structure == "3" }
func not3(structure string) bool { return structure != "3" }

// Several strings of such rows may be those of all circuits: they are not counted in parallel, unless the row says that they are.
func TestOverlaysOfStringsOfBlankCircuits(t *testing.T) {
	for name, c := range map[string]struct {
		strings   int16
		is        audit.Arrangement
		circuits  int
		named     bool
		doubted   bool
		atRiver   string
		withBlank audit.Blanks
	}{
		"two":                    {strings: 2, circuits: 2, doubted: true, atRiver: "not assessed a field it needs is faulty, see Faults"},
		"six":                    {strings: 6, circuits: 2, doubted: true, atRiver: "not assessed a field it needs is faulty, see Faults"},
		"two, said to be in one": {strings: 2, is: audit.Parallel, circuits: 2, atRiver: "meets"},
		"four, said to be":       {strings: 4, is: audit.Parallel, circuits: 2, doubted: true, atRiver: "not assessed a field it needs is faulty, see Faults"},
		"one":                    {strings: 1, circuits: 2, atRiver: "falls short"},
		"blank":                  {strings: 1, circuits: 2, withBlank: audit.BlankStrings, atRiver: "falls short"},
		"two of a named one":     {strings: 2, circuits: 2, named: true, atRiver: "meets"},
		"two of one circuit":     {strings: 2, circuits: 1, atRiver: "meets"},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase(t)
			b.Lines[0].Circuits = c.circuits
			b.Crossings = []audit.Crossing{{Kind: b.Symbols.Number("river"), Polygons: []geo.Polygon{square(10.0105, 50, 0.001)}}}
			for i := range b.Assemblies.Len() {
				row := b.Assemblies.At(i)
				row.Circuit, row.Strings, row.Arrangement = b.Symbols.Number("1"), c.strings, c.is
				row.Blank |= c.withBlank
				if !c.named {
					row.Blank |= audit.BlankCircuit
				}
				b.Assemblies.Set(i, row)
			}
			require.Equal(t, []string{"3 A " + c.atRiver, "3 B " + c.atRiver, "3 C " + c.atRiver}, at(3, b.told("double-at-crossing")))
			var faults []string
			for _, fault := range b.Faults.List() {
				if fault.Column == "Strings" {
					faults = append(faults, fault.Message())
					require.Equal(t, b.Assemblies.Len(), fault.Rows)
				}
			}
			require.Equal(t, c.doubted, len(faults) == 1)
		})
	}
}
