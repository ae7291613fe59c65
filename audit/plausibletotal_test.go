package audit

import (
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// Units that are counted over all strings or all phases of a row make a string that nobody builds. At Um 145 kV class e asks for
// 53.7·145/√3 = 4496 mm, 16 discs of 295 mm (IEC TS 60815-1, published; computed).
func TestUnitsOverAllStringsOrPhases(t *testing.T) {
	type row struct {
		units, strings int
		phases         string
	}
	times := func(n int, r row) (rows []row) {
		for range n {
			rows = append(rows, r)
		}
		return rows
	}
	for name, c := range map[string]struct {
		rows    []row
		longest float64
		doubted int // the last so many rows
		over    string
		odd     bool // one row speaks for the others, which it cannot where its kind is not stated
	}{
		"a unit more in tension":                       {rows: append(times(4, row{13, 1, "A"}), times(4, row{14, 2, "A"})...)},
		"twice ten of two":                             {rows: append(times(4, row{13, 1, "A"}), times(4, row{20, 2, "A"})...), doubted: 4, over: "strings"},
		"one of them odd":                              {rows: append(times(4, row{13, 1, "A"}), append(times(4, row{20, 2, "A"}), row{21, 2, "A"})...), odd: true},
		"no more than class e asks for":                {rows: append(times(4, row{11, 1, "A"}), times(4, row{16, 2, "A"})...)},
		"twice the longest, within class e":            {rows: append(times(4, row{8, 1, "A"}), times(4, row{16, 2, "A"})...), doubted: 4, over: "strings"},
		"a clean and a dirty stretch":                  {rows: append(append(times(4, row{8, 1, "A"}), row{16, 1, "A"}), times(4, row{16, 2, "A"})...)},
		"three times":                                  {rows: append(times(3, row{9, 1, "A"}), times(3, row{27, 3, "A"})...), doubted: 3, over: "strings"},
		"all of two strings":                           {rows: times(4, row{24, 2, "A"}), doubted: 4, over: "strings"},
		"all of two strings, a quarter beyond class e": {rows: times(4, row{20, 2, "A"})},
		"all of two strings, beyond the longest":       {rows: times(4, row{16, 2, "A"}), longest: 1800, doubted: 4, over: "strings"},
		"all phases":                                   {rows: append(times(4, row{30, 1, "ABC"}), row{60, 1, "ABC"}), doubted: 5, over: "phases"},
		"all phases, and strings over them too":        {rows: times(4, row{30, 3, "ABC"}), doubted: 4, over: "phases"},
		"long strings of one phase":                    {rows: times(4, row{30, 1, "A"})},
		"long strings that are no multiple":            {rows: append(times(4, row{30, 1, "ABC"}), row{31, 1, "ABC"}), odd: true},
		"two rows tell nothing":                        {rows: times(2, row{30, 1, "ABC"})},
	} {
		for _, kind := range []basis.Kind{basis.CapAndPin, basis.KindUnknown} {
			t.Run(name+", "+kind.String(), func(t *testing.T) {
				s := newSketch(t)
				s.p.Units[0].Kind = kind
				s.p.Units[0].SpacingMM = 146
				s.straight("L", 9)
				s.line("L").NominalKV = 132
				if c.longest > 0 {
					s.p.Lines[0].LongestStringMM = c.longest
				}
				for i, r := range c.rows {
					a := s.assembly("L", string(rune('1'+i)), "1", r.phases, Suspension, NoSide)
					a.Source, a.UnitsPerString, a.Strings, a.Makeup = Source{1, uint32(i + 2)}, int16(r.units), int16(r.strings), 1
				}
				s.network()
				for i, row := range s.p.Assemblies.All() {
					if c.odd && kind == basis.KindUnknown {
						require.NotEmpty(t, s.p.Faults.List())
						return
					}
					require.Equal(t, i >= len(c.rows)-c.doubted, row.Faulty.Has(CellUnitsPerString), "row %d", i)
				}
				doubted := 0
				for _, fault := range s.p.Faults.List() {
					if fault.Column != "Units per string" {
						continue
					}
					doubted++
					require.Equal(t, c.doubted, fault.Rows)
					require.Contains(t, fault.Expected, "divides by the number of "+c.over+"; are they counted over all "+c.over+"?")
				}
				require.Equal(t, c.doubted > 0, doubted == 1)
			})
		}
	}
}

// One unit more than class e asks for is no total, of however few: at Um 12 kV it asks for 53.7·12/√3 = 372 mm, 2 discs of 295 mm (IEC TS 60815-1, published; computed), and 3 are
// ordinary (common practice), and as many as phases.
func TestOneUnitMoreThanClassEAsksFor(t *testing.T) {
	for units, doubted := range map[int16]bool{2: false, 3: false, 6: true} {
		s := newSketch(t)
		s.p.Units[0].SpacingMM = 146
		s.straight("L", 9)
		line := s.line("L")
		line.NominalKV, line.HighestKV = 11, 12
		for i := range 5 {
			a := s.assembly("L", string(rune('1'+i)), "1", "ABC", Suspension, NoSide)
			a.Source, a.UnitsPerString, a.Strings, a.Makeup = Source{1, uint32(i + 2)}, units, 1, 1
		}
		s.network()
		for _, row := range s.p.Assemblies.All() {
			require.Equal(t, doubted, row.Faulty.Has(CellUnitsPerString), "%d units", units)
		}
	}
}
