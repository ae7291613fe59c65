package checks_test

import (
	"fmt"
	"math"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// implausible are the faults of a project that is arranged and derived, all of which have to be implausible figures.
func (b *base) implausible() (said []string) {
	b.Faults = audit.Faults{}
	_ = b.exceptions()
	for _, fault := range b.Faults.List() {
		require.Equal(b.t, audit.Implausible, fault.Kind)
		said = append(said, fault.Message())
	}
	return said
}

// Levels that those beside them contradict are unknown: the one that stands out, else both; what the ground may do is believed.
func TestGroundLevelsThatContradictEachOther(t *testing.T) {
	const steep = `ground level "%s" is implausible: from structure "%s" to "%s" of line "L" the ground rises %s m within 301 m; one of the two is taken to be wrong`
	const zero = `ground level "0" is implausible, every other level of line "L" is above 100 m; 0 is taken for a mark of no value`
	for name, c := range map[string]struct {
		levels [9]float64
		faults []string
	}{
		"a digit less":              {[9]float64{3000, 3010, 300, 3020, 3000, 3000, 3000, 3000, 3000}, []string{fmt.Sprintf(steep, "300", "3", "4", "2720")}},
		"a digit more":              {[9]float64{300, 310, 3000, 320, 300, 300, 300, 300, 300}, []string{fmt.Sprintf(steep, "3000", "3", "4", "-2680")}},
		"at the end":                {[9]float64{300, 3000, 3000, 3000, 3000, 3000, 3000, 3000, 3000}, []string{fmt.Sprintf(steep, "300", "1", "2", "2700")}},
		"beside one that is blank":  {[9]float64{3000, math.NaN(), 300, 3020, 3000, 3000, 3000, 3000, 3000}, []string{fmt.Sprintf(steep, "300", "3", "4", "2720")}},
		"two, and which is unknown": {[9]float64{3000, 3000, 300, 300, 300, 300, 300, 300, 300}, []string{fmt.Sprintf(steep, "3000", "2", "3", "-2700"), fmt.Sprintf(steep, "300", "2", "3", "-2700")}},
		"a steep slope":             {[9]float64{1000, 1440, 1880, 2320, 2000, 1600, 1200, 900, 600}, nil},
		"no value as 0":             {[9]float64{101, 0, 102, 0, 102, 103, 104, 105, 106}, []string{zero, zero}},
		"the shore":                 {[9]float64{99, 0, 102, 0, 102, 103, 104, 105, 106}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase(t)
			for i, level := range c.levels {
				row := b.Structures.At(i)
				row.GroundM = level
				b.Structures.Set(i, row)
			}
			require.ElementsMatch(t, c.faults, b.implausible())
			for i, level := range c.levels {
				if row := b.Structures.At(i); row.Faulty.Has(audit.CellGround) {
					require.True(t, math.IsNaN(row.GroundM))
				} else {
					require.Equal(t, fmt.Sprint(level), fmt.Sprint(row.GroundM))
				}
			}
			require.Empty(t, b.implausible(), "once")
		})
	}
}

// Tensions by which spans of 301 m hang as none do are unknown: in tonnes, and by a tenth. Low ones that a line may have are believed.
func TestTensionsByWhichALineWouldHangTooLow(t *testing.T) {
	for name, c := range map[string]struct {
		maximum, everyday float64
		doubted           []string
	}{
		"in tonnes":         {2.8, 1.8, []string{"everyday tension", "maximum tension"}},
		"everyday, a tenth": {28, 1.8, []string{"everyday tension"}},
		"low":               {9, 5, nil},                            // sags of 12 and 22 m, 10 and 5.6 % of the rated strength
		"of the strength":   {9, 4.4, []string{"everyday tension"}}, // 4.9 %, and 8 % of the span
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase(t)
			b.Lines[0].MaximumTensionKN, b.Lines[0].ColdTensionKN, b.Lines[0].EverydayTensionKN = c.maximum, math.NaN(), c.everyday
			said := b.implausible()
			require.Len(t, said, len(c.doubted))
			for i, column := range c.doubted {
				require.Contains(t, said[i], column+` "`)
				require.Contains(t, said[i], "a level span of 301 m, the median of line \"L\", of Panther would sag")
			}
			v := b.verdict("strength", 1, "A")
			require.Equal(t, len(c.doubted) == 2, v.Outcome == audit.NotAssessed && v.Reason == audit.FaultyField, v)
		})
	}
}

// A tension that a load case states is held against the conductor too: 91 kN of Panther, and spans of 301 m. What goes by that case is not assessed, uplift included;
// what a hot or a slack case may have is believed, and of the spans of another conductor so is what that bears. Share, sags by the catenary: 2.8 kN 40 m, 9 kN 12 m (computed).
func TestTensionsOfLoadCasesThatNoConductorHas(t *testing.T) {
	for name, c := range map[string]struct {
		c       audit.LoadCase
		doubted string
	}{
		"in tonnes":          {audit.LoadCase{From: audit.GivenTension, TensionKN: 2.8}, `load case tension "2.8" kN of load case "Heat" is implausible, expected kN of one conductor: a level span of 301 m, the median of line "L", of Panther would sag`},
		"of a bundle":        {audit.LoadCase{From: audit.GivenTension, TensionKN: 120}, `load case tension "120" kN of load case "Heat" is implausible, expected kN of one conductor: the rated strength of Panther on line "L" is `},
		"a small share":      {audit.LoadCase{From: audit.ShareOfStrength, Share: 0.03}, `kN of load case "Heat" is implausible, expected kN of one conductor: a level span of 301 m`},
		"hot":                {audit.LoadCase{From: audit.GivenTension, TensionKN: 9}, ""},
		"slack":              {audit.LoadCase{From: audit.GivenTension, TensionKN: 5}, ""},
		"at the strength":    {audit.LoadCase{From: audit.ShareOfStrength, Share: 1}, ""},
		"a share":            {audit.LoadCase{From: audit.ShareOfStrength, Share: 0.12}, ""},
		"of the sheet Lines": {audit.LoadCase{From: audit.ColdTension}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase(t)
			c.c.Name, c.c.Factor, c.c.Uplift, c.c.TemperatureC = "Heat", 1, true, audit.Stated(75)
			b.Criteria.LoadCases = []audit.LoadCase{c.c}
			said := b.implausible()
			if c.doubted == "" {
				require.Empty(t, said)
			} else {
				require.Len(t, said, 1)
				require.Contains(t, said[0], c.doubted)
			}
			for check, structure := range map[string]int{"strength": 9, "swing": 3, "tension-at-uplift": 3} {
				v := b.verdict(check, structure, "A")
				require.Equal(t, c.doubted != "", v.Outcome == audit.NotAssessed && v.Reason == audit.CaseTensionImplausible, "%s: %v", check, v)
			}
		})
	}
	b := newBase(t)
	b.Criteria.LoadCases = []audit.LoadCase{{Name: "case", From: audit.GivenTension, TensionKN: 100, Factor: 1}}
	b.Structures.Row(4).ConductorAhead = b.Symbols.Number("Zebra") // 130.3 kN
	require.Len(t, b.implausible(), 1)
	require.NotEqual(t, audit.CaseTensionImplausible, b.verdict("strength", 9, "A").Reason)
	require.Equal(t, audit.CaseTensionImplausible, b.verdict("strength", 1, "A").Reason)
	b.ConductorFaults = make([]audit.Cells, len(b.Conductors)) // what cannot be read acquits none
	for i := range b.ConductorFaults {
		b.ConductorFaults[i] = audit.Cells(0).With(audit.CellRating)
	}
	b.Criteria.LoadCases[0].TensionKN = 4.4 // 4.9 % of the strength, and 8 % of the span
	require.Equal(t, audit.CaseTensionImplausible, b.verdict("strength", 1, "A").Reason)
}

// What a load case states is held against the everyday tension, 18 kN at 15 °C, as the column Cold tension is: colder, with ice or wind, or judging uplift
// a conductor has no less, in kN or as a share of 89.67 kN (computed). A case that is hotter may, and so may one that is bare and still and states no temperature.
func TestTensionsOfLoadCasesBelowTheEverydayTension(t *testing.T) {
	at, unknown := audit.Stated, audit.NotStated()
	given := func(kN float64) audit.LoadCase {
		return audit.LoadCase{From: audit.GivenTension, TensionKN: kN, TemperatureC: unknown}
	}
	for name, c := range map[string]struct {
		c         audit.LoadCase
		change    func(c *audit.LoadCase)
		everydayC float64
		why       string
	}{
		"uplift, cold":                      {given(10), func(c *audit.LoadCase) { c.Uplift, c.TemperatureC = true, at(-20) }, 15, "is no hotter"},
		"uplift":                            {given(10), func(c *audit.LoadCase) { c.Uplift = true }, 15, "judges uplift"},
		"uplift, hot":                       {given(10), func(c *audit.LoadCase) { c.Uplift, c.TemperatureC = true, at(40) }, 15, ""},
		"uplift, a share":                   {audit.LoadCase{From: audit.ShareOfStrength, Share: 0.13, TemperatureC: unknown, Uplift: true}, nil, 15, "judges uplift"},
		"the same tension as a rounded one": {audit.LoadCase{From: audit.ShareOfStrength, Share: 0.20, TemperatureC: at(15)}, nil, 15, ""}, // 17.9 kN
		"ice":                               {given(10), func(c *audit.LoadCase) { c.IceMM, c.IceDensityKgPerM3 = 12, 900 }, 15, "has ice"},
		"wind":                              {given(10), func(c *audit.LoadCase) { c.WindPa = 300 }, 15, "has wind"},
		"wind, hot":                         {given(10), func(c *audit.LoadCase) { c.WindPa, c.TemperatureC = 300, at(40) }, 15, ""},
		"still":                             {given(10), nil, 15, ""},
		"still, cold":                       {given(10), func(c *audit.LoadCase) { c.TemperatureC = at(10) }, 15, "is no hotter"},
		"still, cold, everyday at any":      {given(10), func(c *audit.LoadCase) { c.TemperatureC = at(-20) }, math.NaN(), "is no hotter"},
		"still, mild, everyday at any":      {given(10), func(c *audit.LoadCase) { c.TemperatureC = at(10) }, math.NaN(), ""},
		"as much":                           {given(18), func(c *audit.LoadCase) { c.Uplift, c.WindPa, c.TemperatureC = true, 300, at(-20) }, 15, ""},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase(t)
			b.Lines[0].EverydayC = c.everydayC
			c.c.Name, c.c.Factor = "case", 1
			if c.change != nil {
				c.change(&c.c)
			}
			b.Criteria.LoadCases = []audit.LoadCase{c.c}
			said := b.implausible()
			require.Len(t, said, map[bool]int{true: 1}[c.why != ""])
			if c.why != "" {
				require.Contains(t, said[0], `kN of load case "case" is implausible below the everyday tension 18 kN of line "L", since the case `+c.why)
			}
			for check, structure := range map[string]int{"strength": 9, "swing": 3, "tension-at-uplift": 3} {
				if v := b.verdict(check, structure, "A"); check != "tension-at-uplift" || c.c.Uplift {
					require.Equal(t, c.why != "", v.Outcome == audit.NotAssessed && v.Reason == audit.CaseTensionImplausible, "%s: %v", check, v)
				}
			}
			b.Criteria.LoadCases = append(b.Criteria.LoadCases, audit.LoadCase{Name: "everyday", From: audit.EverydayTension, Factor: 1})
			v := b.verdict("strength", 1, "A")
			require.Equal(t, c.why != "", v.Outcome == audit.NotAssessed, "which of the two is wrong is not known: %v", v)
			b.Structures.Row(0).ConductorAhead, b.Structures.Row(4).ConductorAhead = b.Symbols.Number("Zebra"), b.Symbols.Number("Zebra")
			b.Criteria.LoadCases = b.Criteria.LoadCases[:1]
			require.NotEqual(t, audit.CaseTensionImplausible, b.verdict("strength", 1, "A").Reason, "what is of another conductor")
		})
	}
}
