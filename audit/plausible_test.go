package audit

import (
	"math"

	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// A line of 132 kV, Um 145 kV: class e asks for 53.7·145/√3 = 4496 mm, 16 discs of 295 mm (IEC TS 60815-1, published; computed).
func TestImplausibleFiguresOfALine(t *testing.T) {
	direct := func(s *sketch, row int, change func(d *DirectValues)) {
		d := UnknownDirectValues()
		change(&d)
		s.p.Direct = append(s.p.Direct, d)
		s.p.Assemblies.Row(row).Direct = uint32(len(s.p.Direct))
	}
	for name, c := range map[string]struct {
		change func(s *sketch)
		faulty map[int]Cell // the rows and what is unknown of them
		fault  string
	}{
		"nothing odd": {change: func(s *sketch) {}},
		"the total of the row": {func(s *sketch) { s.p.Assemblies.Row(1).UnitsPerString = 33 }, map[int]Cell{1: CellUnitsPerString},
			`register.xlsx!Assemblies row 3 implausible: units per string "33" is more than twice the 16 that class e asks for, and 9 on the other rows of line "L"; is it the total of the row? What rests on it is not assessed`},
		"long, but not twice class e": {change: func(s *sketch) { s.p.Assemblies.Row(1).UnitsPerString = 32 }},
		"a line of long strings": {change: func(s *sketch) {
			for i := range s.p.Assemblies.Len() {
				s.p.Assemblies.Row(i).UnitsPerString = 34 // no multiple of the phases
			}
		}},
		"its other rows are long": {change: func(s *sketch) {
			s.p.Assemblies.Row(0).UnitsPerString, s.p.Assemblies.Row(2).UnitsPerString, s.p.Assemblies.Row(1).UnitsPerString = 12, 12, 33
		}},
		"no voltage": {change: func(s *sketch) { s.p.Assemblies.Row(1).UnitsPerString, s.p.Lines[0].NominalKV = 33, math.NaN() }},
		"a mixed string": {change: func(s *sketch) {
			s.p.Makeups = append(s.p.Makeups, Makeup{Text: "32×disc + 1×disc", Parts: []Part{{Unit: 0, Count: 32}, {Unit: 0, Count: 1}}})
			s.p.Assemblies.Row(1).UnitsPerString, s.p.Assemblies.Row(1).Makeup = 33, uint32(len(s.p.Makeups)-1)
		}},
		"creepage of one unit": {func(s *sketch) { direct(s, 1, func(d *DirectValues) { d.CreepageMM = 295 }) }, map[int]Cell{1: CellCreepage},
			`register.xlsx!Assemblies row 3 implausible: creepage "295" is the creepage of one disc, and the string has 9 units; is it of one unit? What rests on it is not assessed`},
		"creepage of the string": {change: func(s *sketch) { direct(s, 1, func(d *DirectValues) { d.CreepageMM = 2655 }) }},
		"length of one unit": {func(s *sketch) { direct(s, 1, func(d *DirectValues) { d.LengthMM = 146 }) }, map[int]Cell{1: CellLength},
			`register.xlsx!Assemblies row 3 implausible: length "146" mm is no length of a string of 9 units with a spacing of 146 mm, expected 1287.72 to 3628 mm; what rests on it is not assessed`},
		"length of fewer units": {func(s *sketch) { direct(s, 1, func(d *DirectValues) { d.LengthMM = 800 }) }, map[int]Cell{1: CellLength},
			`register.xlsx!Assemblies row 3 implausible: length "800" mm is no length of a string of 9 units with a spacing of 146 mm, expected 1287.72 to 3628 mm; what rests on it is not assessed`},
		"length of the units, by 2 %": {change: func(s *sketch) { direct(s, 1, func(d *DirectValues) { d.LengthMM = 1288 }) }},
		"length less than a composite": {func(s *sketch) {
			s.p.Units[0].Kind, s.p.Units[0].SpacingMM, s.p.Assemblies.Row(1).UnitsPerString = basis.Composite, 1700, 1
			direct(s, 1, func(d *DirectValues) { d.LengthMM = 1000 })
		}, map[int]Cell{1: CellLength},
			`register.xlsx!Assemblies row 3 implausible: length "1000" mm is less than the 1700 mm of the units of the string, expected 1666 mm or more; what rests on it is not assessed`},
		"length less than unlike units": {func(s *sketch) {
			s.p.Units = append(s.p.Units, s.p.Units[0])
			s.p.Units[1].SpacingMM = 170
			s.p.Makeups = append(s.p.Makeups, Makeup{Text: "8×disc + 1×fog", Parts: []Part{{Unit: 0, Count: 8}, {Unit: 1, Count: 1}}})
			s.p.Assemblies.Row(1).Makeup = uint32(len(s.p.Makeups) - 1)
			direct(s, 1, func(d *DirectValues) { d.LengthMM = 1300 })
		}, map[int]Cell{1: CellLength},
			`register.xlsx!Assemblies row 3 implausible: length "1300" mm is less than the 1338 mm of the units of the string, expected 1311.24 mm or more; what rests on it is not assessed`},
		"length with fittings": {change: func(s *sketch) { direct(s, 1, func(d *DirectValues) { d.LengthMM = 1900 }) }},
		"strings over the phases": {func(s *sketch) {
			for i := range s.p.Assemblies.Len() {
				s.p.Assemblies.Row(i).Strings = 3
			}
		}, map[int]Cell{0: CellStrings, 1: CellStrings, 2: CellStrings},
			`register.xlsx!Assemblies row 2 implausible: strings "3" is the number of phases, on this as on every row of line "L"; are they counted over all phases? Expected those of one, of which a row for each phase leaves no doubt; what rests on them is not assessed (3 rows, this is the first)`},
		"strings over the phases, of one row on both sides": {func(s *sketch) {
			for i := range s.p.Assemblies.Len() {
				s.p.Assemblies.Row(i).Strings = 3
			}
			s.p.Assemblies.Row(1).Strings = 6
		}, map[int]Cell{0: CellStrings, 1: CellStrings, 2: CellStrings},
			`register.xlsx!Assemblies row 2 implausible: strings "3" is the number of phases, or a multiple of it, on this as on every row of line "L"; are they counted over all phases? Expected those of one, of which a row for each phase leaves no doubt; what rests on them is not assessed (3 rows, this is the first)`},
		"strings over the phases, of one row four": {change: func(s *sketch) {
			for i := range s.p.Assemblies.Len() {
				s.p.Assemblies.Row(i).Strings = 3
			}
			s.p.Assemblies.Row(1).Strings = 4
		}},
		"V sets and double strings of two phases": {change: func(s *sketch) {
			for i, arrangement := range []Arrangement{VSet, Parallel, VSet} {
				row := s.p.Assemblies.Row(i)
				row.Strings, row.Arrangement = 2, arrangement
				row.Phases, _ = ParsePhases("AB")
			}
		}},
		"strings over two phases": {func(s *sketch) {
			for i := range s.p.Assemblies.Len() {
				row := s.p.Assemblies.Row(i)
				row.Strings = 2
				row.Phases, _ = ParsePhases("AB")
			}
		}, map[int]Cell{0: CellStrings, 1: CellStrings, 2: CellStrings},
			`register.xlsx!Assemblies row 2 implausible: strings "2" is the number of phases, on this as on every row of line "L"; are they counted over all phases? Expected those of one, of which a row for each phase leaves no doubt; what rests on them is not assessed (3 rows, this is the first)`},
		"V sets counted over two phases": {func(s *sketch) {
			for i := range s.p.Assemblies.Len() {
				row := s.p.Assemblies.Row(i)
				row.Strings, row.Arrangement = 4, VSet
				row.Phases, _ = ParsePhases("AB")
			}
		}, map[int]Cell{0: CellStrings, 1: CellStrings, 2: CellStrings},
			`register.xlsx!Assemblies row 2 implausible: strings "4" is the number of phases, or a multiple of it, on this as on every row of line "L"; are they counted over all phases? Expected those of one, of which a row for each phase leaves no doubt; what rests on them is not assessed (3 rows, this is the first)`},
		"strings over the phases, one blank": {func(s *sketch) {
			for i := range s.p.Assemblies.Len() {
				s.p.Assemblies.Row(i).Strings = 3
			}
			s.p.Assemblies.Row(2).Strings, s.p.Assemblies.Row(2).Blank = 1, BlankStrings
		}, map[int]Cell{0: CellStrings, 1: CellStrings},
			`register.xlsx!Assemblies row 2 implausible: strings "3" is the number of phases, on this as on every row of line "L"; are they counted over all phases? Expected those of one, of which a row for each phase leaves no doubt; what rests on them is not assessed (2 rows, this is the first)`},
		"strings over the phases, most blank": {change: func(s *sketch) {
			for i := range s.p.Assemblies.Len() {
				s.p.Assemblies.Row(i).Blank = BlankStrings
			}
			s.p.Assemblies.Row(0).Strings, s.p.Assemblies.Row(0).Blank = 3, 0
		}},
		"strings over the phases, beside one of one phase": {func(s *sketch) {
			for i := range s.p.Assemblies.Len() {
				s.p.Assemblies.Row(i).Strings = 3
			}
			row := s.assembly("L", "3", "2", "A", Suspension, NoSide)
			row.Source, row.UnitsPerString, row.Strings, row.Makeup = Source{1, 5}, 9, 1, 1
		}, map[int]Cell{0: CellStrings, 1: CellStrings, 2: CellStrings},
			`register.xlsx!Assemblies row 2 implausible: strings "3" is the number of phases, on this as on every row of line "L"; are they counted over all phases? Expected those of one, of which a row for each phase leaves no doubt; what rests on them is not assessed (3 rows, this is the first)`},
		"strings over the phases, but for one row": {change: func(s *sketch) { s.p.Assemblies.Row(0).Strings, s.p.Assemblies.Row(1).Strings = 3, 3 }},
		"a phase a row": {change: func(s *sketch) {
			for i := range s.p.Assemblies.Len() {
				s.p.Assemblies.Row(i).Phases, _ = ParsePhases("A")
			}
		}},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSketch(t)
			s.p.Units[0].SpacingMM = 146
			s.straight("L", 3)
			s.line("L").NominalKV = 132
			for i := range 3 {
				row := s.assembly("L", string(rune('1'+i)), "1", "ABC", Suspension, NoSide)
				row.Source, row.UnitsPerString, row.Strings, row.Makeup = Source{1, uint32(i + 2)}, 9, 1, 1
			}
			c.change(s)
			n := s.network()
			for i, row := range s.p.Assemblies.All() {
				want := Cells(0)
				if cell, ok := c.faulty[i]; ok {
					want = want.With(cell)
				}
				require.Equal(t, want, row.Faulty, "row %d", i)
				a := n.Assembly(uint32(i))
				switch c.faulty[i] {
				case CellUnitsPerString:
					require.Equal(t, FaultyField, a.lacksCreepage())
				case CellCreepage:
					require.Equal(t, FaultyField, a.lacksCreepage())
				case CellLength:
					require.Equal(t, FaultyField, a.lacksLength())
				case CellStrings:
					require.Equal(t, -1, a.Strings)
				}
			}
			var want []string
			if c.fault != "" {
				want = []string{c.fault}
			}
			require.Equal(t, want, s.faults())
		})
	}
}

func TestMedianBesideOne(t *testing.T) {
	counts := make([]int, 20)
	for _, v := range []int{9, 9, 10, 11} {
		counts[v]++
	}
	require.Equal(t, 10.0, medianBeside(counts, 4, 9))
	require.Equal(t, 9.0, medianBeside(counts, 4, 11))
	require.Equal(t, 9.5, medianBeside(counts, 4, 33), "one that is beyond the counts is not among them")
	require.True(t, math.IsNaN(medianBeside(make([]int, 20), 0, 33)))
}

// One cell that cannot be read takes the doubt from no row: what was not judged by it before is not judged after. A row without a duty or
// a unit is not, and its phases are not known without its circuit either.
func TestACellThatCannotBeReadAcquitsNoRow(t *testing.T) {
	each := func(change func(row *AssemblyRow)) func(s *sketch) {
		return func(s *sketch) {
			for i := range s.p.Assemblies.Len() {
				change(s.p.Assemblies.Row(i))
			}
		}
	}
	of := func(s *sketch, rows int, change func(row *AssemblyRow)) {
		for i := range rows {
			change(s.p.Assemblies.Row(i))
		}
	}
	for name, c := range map[string]struct {
		rows    int
		phases  string
		change  func(s *sketch)
		doubted Cell
		by      []Cell // the cells that decide
	}{
		"strings over the phases": {3, "ABC", each(func(row *AssemblyRow) { row.Strings = 3 }), CellStrings, []Cell{CellStrings, CellPhase, CellCircuits, CellDuty}},
		"strings over the phases, beside an earth wire": {4, "ABC", func(s *sketch) {
			each(func(row *AssemblyRow) { row.Strings = 3 })(s)
			s.p.Assemblies.Row(3).Duty, s.p.Assemblies.Row(3).Strings = EarthWire, 1
		}, CellStrings, []Cell{CellStrings, CellPhase, CellCircuits, CellDuty}},
		"units over all phases": {3, "ABC", each(func(row *AssemblyRow) { row.UnitsPerString = 30 }), CellUnitsPerString,
			[]Cell{CellUnitsPerString, CellUnit, CellStrings, CellPhase, CellCircuits, CellDuty}},
		"units over all strings": {3, "A", each(func(row *AssemblyRow) { row.UnitsPerString, row.Strings = 24, 2 }), CellUnitsPerString,
			[]Cell{CellUnitsPerString, CellUnit, CellStrings, CellPhase, CellCircuits, CellDuty}},
		"units over all strings, beside a composite": {4, "A", func(s *sketch) {
			each(func(row *AssemblyRow) { row.UnitsPerString, row.Strings = 24, 2 })(s)
			rod := s.p.Units[0]
			rod.Name, rod.Kind = "rod", basis.Composite
			s.p.Units, s.p.Makeups = append(s.p.Units, rod), append(s.p.Makeups, Makeup{Text: "rod", Parts: []Part{{Unit: 1}}})
			s.p.Assemblies.Row(3).Makeup, s.p.Assemblies.Row(3).UnitsPerString, s.p.Assemblies.Row(3).Strings = uint32(len(s.p.Makeups)-1), 1, 1
		}, CellUnitsPerString, []Cell{CellUnitsPerString, CellUnit, CellStrings, CellPhase, CellCircuits, CellDuty}},
		"units over the strings of those that have two": {6, "A", func(s *sketch) {
			each(func(row *AssemblyRow) { row.UnitsPerString, row.Strings = 20, 2 })(s)
			of(s, 3, func(row *AssemblyRow) { row.UnitsPerString, row.Strings = 10, 1 })
		}, CellUnitsPerString, []Cell{CellUnitsPerString, CellUnit, CellStrings, CellPhase, CellCircuits, CellDuty}},
		"usual strings nearly half of those that have two": {6, "A", func(s *sketch) {
			each(func(row *AssemblyRow) { row.UnitsPerString, row.Strings = 18, 2 })(s)
			of(s, 3, func(row *AssemblyRow) { row.UnitsPerString, row.Strings = 9, 1 })
			s.p.Assemblies.Row(2).UnitsPerString, s.p.Assemblies.Row(5).UnitsPerString = 14, 20
		}, CellUnitsPerString, []Cell{CellUnitsPerString, CellUnit, CellStrings, CellPhase, CellCircuits, CellDuty}},
		"the total of one row": {3, "ABC", func(s *sketch) { s.p.Assemblies.Row(1).UnitsPerString = 34 }, CellUnitsPerString,
			[]Cell{CellUnitsPerString, CellUnit, CellStrings, CellPhase, CellCircuits, CellDuty}},
		"the total of one row beside another": {2, "ABC", func(s *sketch) { s.p.Assemblies.Row(1).UnitsPerString = 34 }, CellUnitsPerString,
			[]Cell{CellUnitsPerString, CellUnit, CellStrings, CellPhase, CellCircuits, CellDuty}},
		"the level of the line as tested": {3, "A", func(s *sketch) {
			s.p.Lines[0].LightningKV = 650
			for i := range s.p.Assemblies.Len() {
				d := UnknownDirectValues()
				d.LightningKV = 650
				s.p.Direct = append(s.p.Direct, d)
				s.p.Assemblies.Row(i).Direct = uint32(len(s.p.Direct))
			}
		}, CellTested, []Cell{CellTested, CellDuty}},
		"phases that may be counts": {3, "1", func(s *sketch) {
			for i := range s.p.Assemblies.Len() {
				s.p.Assemblies.Row(i).Phases, _ = ParsePhases(string(rune('1' + i)))
			}
		}, CellPhase, []Cell{CellPhase, CellCircuits, CellDuty}},
	} {
		build := func(t *testing.T) *sketch {
			s := newSketch(t)
			s.p.Units[0].SpacingMM = 146
			s.straight("L", 9)
			s.line("L").NominalKV = 132
			for i := range c.rows {
				s.assembly("L", string(rune('1'+i)), "1", c.phases, Suspension, NoSide)
			}
			c.change(s)
			return s
		}
		t.Run(name, func(t *testing.T) {
			before := build(t)
			before.network()
			doubted := false
			for _, row := range before.p.Assemblies.All() {
				doubted = doubted || row.Faulty.Has(c.doubted)
			}
			require.True(t, doubted)
			for at := range before.p.Assemblies.Len() {
				for _, cell := range c.by {
					s := build(t)
					makeUnreadable(s.p, s.p.Assemblies.Row(at), cell)
					s.network()
					for i := range s.p.Assemblies.Len() {
						unjudged := s.p.Assemblies.At(i).Faulty.Has(c.doubted) || i == at && cell == CellDuty || i == at && cell == CellUnit || i == at && cell == CellCircuits && c.doubted == CellPhase
						require.True(t, unjudged || !before.p.Assemblies.At(i).Faulty.Has(c.doubted), "row %d, with cell %d of row %d unreadable", i, cell, at)
					}
				}
			}
		})
	}
}

// makeUnreadable leaves a row as the reader does where a cell of it cannot be read.
func makeUnreadable(p *Project, row *AssemblyRow, cell Cell) {
	row.Faulty = row.Faulty.With(cell)
	switch cell {
	case CellStrings:
		row.Strings = -1
	case CellUnitsPerString:
		row.UnitsPerString = -1
	case CellUnit:
		row.Makeup = 0
	case CellDuty:
		row.Duty = DutyUnknown
	case CellPhase:
		row.Phases = EveryPhase
	case CellTested:
		p.Direct[row.Direct-1] = UnknownDirectValues()
	}
}
