package audit

import (
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// What leaves a field open at a structure is not of its own rows alone: each fault is named at the last structure of its line, and not on
// another line.
func TestFaultsBehindAFieldAreOfAllItsRows(t *testing.T) {
	units := func(s *sketch) Source {
		at := Source{s.p.AddTable(Table{File: "register.xlsx", Sheet: "Units"}), 2}
		s.p.UnitRows = WithSourceOf(s.p.UnitRows, 0, at)
		return at
	}
	for name, c := range map[string]struct {
		change func(s *sketch)
		column string
		also   bool // on the other line too
	}{
		"of the line": {change: func(s *sketch) { s.p.Lines[0].HighestKV = 100 }, column: "Highest voltage"},
		"of two rows of the line": {change: func(s *sketch) {
			s.line("L").NominalKV = 220
		}, column: "Line"},
		"of a row of the sheet Lines without a name": {change: func(s *sketch) {
			s.p.Lines = s.p.Lines[1:]
			s.p.LinesUnnamed = true
			s.p.Faults.Add(Fault{Kind: MissingValue, At: Source{2, 9}, Column: "Line"})
		}, column: "Line"},
		"of the unit": {change: func(s *sketch) {
			s.p.Faults.Add(Fault{Kind: NotANumber, At: units(s), Column: "Creepage", Value: "much"})
		}, column: "Creepage"},
		"of two rows of the unit": {change: func(s *sketch) {
			at := units(s)
			first, later := s.p.Units[0], s.p.Units[0]
			later.CreepageMM = 400
			s.p.UnitTwice(0, Twin[basis.Unit]{Row: later, At: Source{at.Table, 3}}, Twin[basis.Unit]{Row: first, At: at})
		}, column: "Unit"},
		"of the conductor": {change: func(s *sketch) {
			table := s.p.AddTable(Table{File: "register.xlsx", Sheet: "Conductors"})
			s.p.Conductors = []basis.Conductor{{Name: "Lynx"}}
			s.p.ConductorRows = WithSourceOf(s.p.ConductorRows, 0, Source{table, 2})
			s.p.Lines[0].Conductor = s.p.Symbols.Number("Lynx")
			s.p.Faults.Add(Fault{Kind: NotANumber, At: Source{table, 2}, Column: "Mass", Value: "much"})
		}, column: "Mass"},
		"of the structure beside": {change: func(s *sketch) {
			s.p.Faults.Add(Fault{Kind: NotANumber, At: s.p.Structures.At(1).Source, Column: "ground_m", Value: "low"})
		}, column: "ground_m"},
		"told once for all rows of the line": {change: func(s *sketch) {
			for i := range 3 {
				s.p.Assemblies.Row(i).Strings = 3
			}
		}, column: "Strings"},
		"of rows that name no structure": {change: func(s *sketch) {
			s.p.Lost = append(s.p.Lost, LostRow{})
			s.p.Faults.Add(Fault{Kind: MissingValue, At: Source{1, 40}, Column: "Structure"})
		}, column: "Structure", also: true},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSketch(t)
			other := s.p.Units[0]
			other.Name = "other"
			s.p.Units = append(s.p.Units, other)
			s.p.Makeups = append(s.p.Makeups, Makeup{Text: "other", Parts: []Part{{Unit: 1}}})
			for l, line := range [...]string{"L", "M"} {
				s.straight(line, 3)
				s.line(line).NominalKV = 132
				for i := range 3 {
					row := s.assembly(line, string(rune('1'+i)), "1", "ABC", Suspension, NoSide)
					row.UnitsPerString, row.Strings, row.Makeup = 9, 1, uint32(l+1)
					row.Source = Source{1, uint32(s.p.Assemblies.Len() + 1)}
				}
			}
			c.change(s)
			r := &Result{Network: s.network(), Project: s.p}
			for l := range r.Network.Lines {
				var columns []string
				for _, f := range r.FaultsBehind(l, r.Network.Lines[l].End-1, FaultyField) {
					columns = append(columns, f.Column)
				}
				if l == 0 || c.also {
					require.Contains(t, columns, c.column)
				} else {
					require.Empty(t, columns)
				}
				require.Empty(t, r.FaultsBehind(l, r.Network.Lines[l].End-1, PunctureUnknown))
			}
		})
	}
}
