package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What a watch list says of what hangs at a structure: all that an entry states has to be so of one unit, and what is not stated may be so unless
// something else is not.
func TestWhatIsOnAWatchList(t *testing.T) {
	makers := WatchRule{Make: "Harrow", Note: "look"}
	old := WatchRule{Material: "silicone", Until: 1998, Note: "look"}
	both := WatchRule{Unit: "CLR", Make: "Harrow", From: 1990, Until: 1998, Note: "look"}
	type unit struct{ name, maker, material string }
	clr := unit{"CLR", "", "silicone"}
	for name, c := range map[string]struct {
		rule      WatchRule
		units     []unit // none where the row names none
		maker     string // of the row
		installed Day
		listed    int32
		unknown   int32
	}{
		"a make, of the row":                        {makers, []unit{clr}, "HARROW ", NoDay, 1, 0},
		"a make, of the unit":                       {makers, []unit{{"CLR", "harrow", ""}}, "", NoDay, 1, 0},
		"a make with accents and points":            {WatchRule{Make: "Böhm & Söhne", Note: "look"}, []unit{clr}, "BOHM. Sohne", NoDay, 1, 0},
		"a make in letters with points":             {WatchRule{Make: "Acme", Note: "look"}, []unit{clr}, "A.C.M.E.;", NoDay, 1, 0},
		"a make with its legal form":                {makers, []unit{clr}, "Harrow Ltd", NoDay, 0, 1},
		"one of two makes":                          {makers, []unit{clr}, "Tarn / Harrow", NoDay, 0, 1},
		"a make without the legal form of the list": {WatchRule{Make: "Harrow Ltd", Note: "look"}, []unit{clr}, "Harrow", NoDay, 0, 1},
		"a make with another word for and":          {WatchRule{Make: "Böhm & Söhne", Note: "look"}, []unit{clr}, "Böhm und Söhne", NoDay, 0, 1},
		"an umlaut in two letters":                  {WatchRule{Make: "Böhm", Note: "look"}, []unit{clr}, "BOEHM", NoDay, 0, 1},
		"a make with its legal form, too late":      {WatchRule{Make: "Harrow", Until: 1998, Note: "look"}, []unit{clr}, "Harrow Ltd", YearOf(2001), 0, 0},
		"a make within a word":                      {WatchRule{Make: "Row", Note: "look"}, []unit{clr}, "Harrow", NoDay, 0, 0},
		"another make":                              {makers, []unit{clr}, "Tarn", NoDay, 0, 0},
		"no make":                                   {makers, []unit{clr}, "", NoDay, 0, 1},
		"row and unit of the same make":             {makers, []unit{{"CLR", "Harrow", ""}}, "harrow", NoDay, 1, 0},
		"row and unit contradict each other":        {makers, []unit{{"CLR", "Harrow", ""}}, "Tarn", NoDay, 0, 1},
		"no unit, its make stated":                  {makers, nil, "Harrow", NoDay, 1, 0},
		"no unit and no make":                       {makers, nil, "", NoDay, 0, 1},
		"below the last year":                       {old, []unit{clr}, "", YearOf(1997), 1, 0},
		"in the last year":                          {old, []unit{clr}, "", DayOf("1998-12-31"), 1, 0},
		"behind the last year":                      {old, []unit{clr}, "", DayOf("1999-01-01"), 0, 0},
		"no date":                                   {old, []unit{clr}, "", NoDay, 0, 1},
		"no date of another material":               {old, []unit{{"U70BL", "", "glass"}}, "", NoDay, 0, 0},
		"no material":                               {old, []unit{{"CLR", "", ""}}, "", YearOf(1997), 0, 1},
		"a material of it":                          {old, []unit{{"CLR", "", "Silicone rubber"}}, "", YearOf(1997), 1, 0},
		"a material that may be it":                 {WatchRule{Material: "silicone rubber", Note: "look"}, []unit{clr}, "", NoDay, 0, 1},
		"a material with another word":              {WatchRule{Material: "silicone rubber", Note: "look"}, []unit{{"CLR", "", "EPDM rubber"}}, "", NoDay, 0, 0},
		"a make that is not known":                  {makers, []unit{clr}, "unknown", NoDay, 0, 1},
		"no material, behind the last year":         {old, []unit{{"CLR", "", ""}}, "", YearOf(2001), 0, 0},
		"a day that may be of either year":          {old, []unit{clr}, "", DayInUTC(DayOf("1998-12-31")), 0, 1},
		"after the day of the audit":                {WatchRule{From: 1990, Note: "look"}, []unit{clr}, "", YearOf(2030), 0, 1},
		"all that is stated":                        {both, []unit{{"clr", "Harrow", ""}}, "", YearOf(1990), 1, 0},
		"all but the first year":                    {both, []unit{{"CLR", "Harrow", ""}}, "", YearOf(1989), 0, 0},
		"all but the type":                          {both, []unit{{"U70BL", "Harrow", ""}}, "", NoDay, 0, 0},
		"one unit of the type, another of the make": {both, []unit{{"CLR", "Tarn", ""}, {"U70BL", "Harrow", ""}}, "", YearOf(1992), 0, 0},
		"the second unit is":                        {both, []unit{{"U70BL", "Tarn", ""}, {"CLR", "Harrow", ""}}, "", YearOf(1992), 1, 0},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSketch(t)
			s.p.AsOf = DayOf("2026-03-01")
			s.p.Criteria.WatchList = WatchList{c.rule}
			s.structure("L", "1", 10, 0)
			row := s.assembly("L", "1", "1", "A", Suspension, NoSide)
			row.Installed, row.Makeup = c.installed, 0
			makeup := Makeup{Text: "made up"}
			disc := s.p.Units[0]
			for _, u := range c.units {
				disc.Name, disc.Make, disc.Material = u.name, u.maker, u.material
				s.p.Units = append(s.p.Units, disc)
				makeup.Parts = append(makeup.Parts, Part{Unit: len(s.p.Units) - 1, Count: 1})
			}
			if len(c.units) > 0 {
				s.p.Makeups = append(s.p.Makeups, makeup)
				row.Makeup = uint32(len(s.p.Makeups) - 1)
			}
			if c.maker != "" {
				s.p.Carried.Add(row.Source, "Manufacturer", s.p.Symbols.Number(c.maker))
				if c.maker == "unknown" {
					s.p.Carried.SaysNothing(s.p.Symbols.Number(c.maker))
				}
			}
			w := watchedAt(s.network(), 0)
			require.Equal(t, []int32{c.listed, c.unknown}, []int32{w.Listed, w.Unknown})
			if c.listed > 0 {
				require.Equal(t, []string{"look"}, w.NotesOf(s.p.Criteria.WatchList))
			}
		})
	}
}

// Of rows that repeat each other with other dates or units the order of the register does not choose.
func TestWatchListOfRowsThatRepeatEachOther(t *testing.T) {
	for _, days := range [][2]Day{{YearOf(1970), YearOf(2020)}, {YearOf(2020), YearOf(1970)}} {
		s := newSketch(t)
		s.p.AsOf, s.p.Criteria.WatchList = DayOf("2026-03-01"), WatchList{{Until: 1980, Note: "look"}}
		s.structure("L", "1", 10, 0)
		for _, day := range days {
			s.assembly("L", "1", "1", "A", Suspension, NoSide).Installed = day
		}
		w := watchedAt(s.network(), 0)
		require.Equal(t, []int32{0, 1}, []int32{w.Listed, w.Unknown})
	}
}

// What a trial hangs is hung on the day of the audit or later, and nobody says its make; what stays keeps make and day.
func TestWatchListOfWhatIsTried(t *testing.T) {
	for name, c := range map[string]struct {
		rule    WatchRule
		anew    bool
		listed  int32
		unknown int32
	}{
		"years that are over":                    {WatchRule{Until: 1998}, true, 0, 0},
		"years that are over, of a make":         {WatchRule{Make: "Tarn", Until: 1998}, true, 0, 0},
		"years to come":                          {WatchRule{From: 2030}, true, 0, 1},
		"from a year on":                         {WatchRule{From: 2020}, true, 1, 0},
		"until a year that is not over":          {WatchRule{Until: 2030}, true, 0, 1},
		"a make":                                 {WatchRule{Make: "Tarn"}, true, 0, 1},
		"another unit":                           {WatchRule{Unit: "CLR"}, true, 0, 0},
		"what stays, of those years":             {WatchRule{Until: 1998}, false, 1, 0},
		"what stays, of the make":                {WatchRule{Make: "Harrow", Until: 1998}, false, 1, 0},
		"what stays is of another make, and old": {WatchRule{Make: "Tarn", Until: 1998}, false, 0, 0},
		"what is added may be of a make":         {WatchRule{Make: "Tarn"}, false, 0, 1},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSketch(t)
			c.rule.Note = "look"
			s.p.AsOf, s.p.Criteria.WatchList = DayOf("2026-03-01"), WatchList{c.rule}
			s.structure("L", "1", 10, 0)
			row := s.assembly("L", "1", "1", "A", Suspension, NoSide)
			row.Installed = YearOf(1990)
			s.p.Carried.Add(row.Source, "Make", s.p.Symbols.Number("Harrow"))
			v := visitor{n: s.network(), line: 0}
			tried := s.p.Assemblies.At(0)
			tried.UnitsPerString++
			v.trial = []TrialRow{{At: 0, Row: tried, Changed: true, Anew: c.anew}}
			base := v.base()
			v.moveTo(&base, base.Line.First)
			v.resolve(base.Line)
			w := v.registered(base.Line).Watched
			require.Equal(t, []int32{c.listed, c.unknown}, []int32{w.Listed, w.Unknown})
		})
	}
}

// watchedAt is what of the watch list hangs at the first structure of a line.
func watchedAt(n *Network, line int) Watched {
	v := visitor{n: n, line: line}
	base := v.base()
	v.moveTo(&base, base.Line.First)
	v.resolve(base.Line)
	return v.registered(base.Line).Watched
}

func TestRingsServe(t *testing.T) {
	for _, c := range []struct {
		fitted, asked Rings
		want          bool
	}{{LiveEnd, LiveEnd, true}, {BothEnds, LiveEnd, true}, {EarthEnd, LiveEnd, false}, {NoRings, LiveEnd, false},
		{BothEnds, BothEnds, true}, {LiveEnd, BothEnds, false}, {EarthEnd, BothEnds, false}, {NoRings, BothEnds, false}} {
		require.Equal(t, c.want, c.fitted.Serves(c.asked), "%s for %s", c.fitted, c.asked)
	}
	g := GradingRings{{400, BothEnds}, {220, LiveEnd}}
	for kV, want := range map[float64]Rings{219.9: RingsUnknown, 220: LiveEnd, 399.9: LiveEnd, 400: BothEnds, 800: BothEnds} {
		rule, ok := g.At(kV)
		require.Equal(t, want != RingsUnknown, ok, kV)
		require.Equal(t, want, rule.Ends, kV)
	}
}

func TestMakesInOtherLanguages(t *testing.T) {
	c := CarriedTexts{Names: []string{"Fabricant", " hersteller ", "District", "MAKER", "Fabricante", "Make of tower"}}
	require.Equal(t, []uint16{0, 1, 3, 4}, c.makes())
}
