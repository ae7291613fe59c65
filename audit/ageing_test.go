package audit

import (
	"math"
	"strings"
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// What hangs at a structure is as old as its date says, at least and at most; what is not known of one thing leaves the others' ages as they are.
func TestAgesOfWhatHangs(t *testing.T) {
	type row struct {
		unit      string // with the material behind a slash
		installed Day
	}
	full := DayOf("1980-03-01") // 46 years before the day of the audit, but for the fraction of a day
	for name, c := range map[string]struct {
		rows            []row
		years, limit    float64 // 0 where nothing is known
		looked, unknown int32
	}{
		"above, by material":                     {[]row{{"disc/Porcelain", full}}, 46, 40, 1, 0},
		"the age of a type goes before":          {[]row{{"U70BL/porcelain", full}}, 46, 50, 1, 0},
		"no age for it":                          {[]row{{"disc/glass", full}}, 0, 0, 0, 0},
		"no material":                            {[]row{{"disc/", full}}, 0, 0, 1, 1},
		"no unit":                                {[]row{{"", full}}, 0, 0, 1, 1},
		"no date":                                {[]row{{"disc/porcelain", NoDay}}, 0, 0, 1, 1},
		"after the day of the audit":             {[]row{{"disc/porcelain", DayOf("2026-03-02")}}, 0, 0, 1, 1},
		"this year":                              {[]row{{"disc/porcelain", YearOf(2026)}}, 0.16, 40, 1, 0},
		"a year that is above to its last day":   {[]row{{"disc/porcelain", YearOf(1984)}}, 41.16, 40, 1, 0},
		"a year that may be either":              {[]row{{"disc/porcelain", YearOf(1986)}}, 39.16, 40, 1, 1},
		"one above and one that is not known":    {[]row{{"disc/porcelain", full}, {"disc/porcelain", NoDay}}, 46, 40, 2, 1},
		"one above and one that is far below":    {[]row{{"disc/porcelain", DayOf("2020-03-01")}, {"disc/porcelain", full}}, 46, 40, 2, 0},
		"the most above its age, not the oldest": {[]row{{"U70BL/porcelain", DayOf("1975-03-01")}, {"disc/porcelain", full}}, 46, 40, 2, 0},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSketch(t)
			s.p.AsOf = DayOf("2026-03-01")
			s.structure("L", "1", 10, 0)
			disc := s.p.Units[0]
			for i, r := range c.rows {
				added := s.assembly("L", "1", "1", "ABC"[i:i+1], Suspension, NoSide)
				added.Installed, added.Makeup = r.installed, 0
				if r.unit == "" {
					continue
				}
				unit := disc
				unit.Name, unit.Material, _ = strings.Cut(r.unit, "/")
				s.p.Units = append(s.p.Units, unit)
				s.p.Makeups = append(s.p.Makeups, Makeup{Text: unit.Name, Parts: []Part{{Unit: len(s.p.Units) - 1}}})
				added.Makeup = uint32(len(s.p.Makeups) - 1)
			}
			g := agedAt(s.network(), 0)
			require.Equal(t, []int32{c.looked, c.unknown}, []int32{g.Looked, g.Unknown})
			require.Equal(t, name == "after the day of the audit", g.Later)
			if c.limit == 0 {
				require.True(t, math.IsNaN(g.Years), "nothing is known")
				return
			}
			require.InDelta(t, c.years, g.Years, 0.01)
			require.Equal(t, c.limit, g.Limit)
		})
	}
}

// Of rows that repeat each other with other dates the order of the register does not choose.
func TestAgesOfRowsThatRepeatEachOther(t *testing.T) {
	for _, days := range [][2]Day{{YearOf(1970), YearOf(2020)}, {YearOf(2020), YearOf(1970)}} {
		s := newSketch(t)
		s.p.AsOf, s.p.Units[0].Material = DayOf("2026-03-01"), "porcelain"
		s.structure("L", "1", 10, 0)
		for _, day := range days {
			s.assembly("L", "1", "1", "A", Suspension, NoSide).Installed = day
		}
		g := agedAt(s.network(), 0)
		require.Equal(t, []int32{1, 1}, []int32{g.Looked, g.Unknown})
	}
}

func agedAt(n *Network, structure int) Aged {
	v := visitor{n: n}
	base := v.base()
	v.moveTo(&base, structure)
	v.resolve(base.Line)
	return v.aged(Ageing{{Of: "porcelain", Years: 40}, {Of: "u70bl", Years: 50}})
}

// A name under ageing that is misspelt is told, as nothing gets a note by it.
func TestAgesOfNothing(t *testing.T) {
	units := []basis.Unit{{Name: "U70BL", Material: "Porcelain "}, {Name: "disc", Material: "glass"}}
	require.Equal(t, []string{"porcelan"}, Ageing{{Of: "u70bl"}, {Of: "porcelan"}, {Of: "porcelain"}, {Of: "Glass"}}.ofNone(units))
}

// agedOn is what is known of the ages at a structure with an assembly of porcelain for each day.
func agedOn(t *testing.T, asOf string, days ...Day) Aged {
	s := newSketch(t)
	s.p.AsOf, s.p.Units[0].Material = DayOf(asOf), "porcelain"
	s.structure("L", "1", 10, 0)
	for _, day := range days {
		s.assembly("L", "1", "1", "A", Suspension, NoSide).Installed = day
	}
	return agedAt(s.network(), 0)
}

func TestAgeOfAYearThatBeginsAtTheAge(t *testing.T) { // 14 610 days are 40 years of 365.25
	g := agedOn(t, "2025-12-31", YearOf(1985))
	require.Equal(t, []int32{1, 1}, []int32{g.Looked, g.Unknown})
}

func TestAgeOfRepeatsOfOneYear(t *testing.T) {
	for _, days := range [][]Day{{DayOf("1986-01-10"), DayOf("1986-11-20")}, {DayOf("1986-11-20"), DayOf("1986-01-10")}} {
		g := agedOn(t, "2026-03-01", days...)
		require.Equal(t, []int32{1, 1}, []int32{g.Looked, g.Unknown})
	}
}

func TestAgeOfUnlikeUnits(t *testing.T) { // U70BL 50, porcelain 40: of unlike units the least, whichever stands first
	for _, swap := range []bool{false, true} {
		s := newSketch(t)
		s.p.AsOf = DayOf("2026-03-01")
		s.structure("L", "1", 10, 0)
		one, two := s.p.Units[0], s.p.Units[0]
		one.Name, one.Material, two.Name, two.Material = "U70BL", "glass", "disc", "porcelain"
		s.p.Units = append(s.p.Units, one, two)
		parts := []Part{{Unit: len(s.p.Units) - 2}, {Unit: len(s.p.Units) - 1}}
		if swap {
			parts[0], parts[1] = parts[1], parts[0]
		}
		s.p.Makeups = append(s.p.Makeups, Makeup{Text: "mixed", Parts: parts})
		a := s.assembly("L", "1", "1", "A", Suspension, NoSide)
		a.Installed, a.Makeup = DayOf("1981-03-01"), uint32(len(s.p.Makeups)-1)
		g := agedAt(s.network(), 0)
		require.InDelta(t, 45, g.Years, 0.01)
		require.Equal(t, 40.0, g.Limit)
	}
}

func TestAgeOfRepeatsByUTCAtTheTurnOfAYear(t *testing.T) { // of which neither says the year
	for _, days := range [][]Day{{DayInUTC(DayOf("2004-12-31")), DayInUTC(DayOf("2005-01-01"))}, {DayInUTC(DayOf("2004-12-31")), NoDay}} {
		g := agedOn(t, "2026-03-01", days...)
		require.Equal(t, []int32{1, 1}, []int32{g.Looked, g.Unknown})
		require.True(t, math.IsNaN(g.Years))
	}
}
