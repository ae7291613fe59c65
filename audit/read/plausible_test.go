package read

import (
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// Figures of a row that contradict each other, its arrangement or its units are a fault and unknown; those just within the bounds are
// believed. The base has two strings of 10 × U120B: 1460 mm long with 2950 mm of creepage (IEC 60305, value from memory).
func TestFiguresOfARowThatContradict(t *testing.T) {
	const at = "implausible register.xlsx!Assemblies!"
	type cells map[string]any
	for name, c := range map[string]struct {
		cells cells
		fault string
		field audit.Cell
	}{
		"single of two":            {cells{"Arrangement": "single"}, at + `I2: strings "2" is implausible, expected one, since they are said to be single; nothing is judged by either`, audit.CellStrings},
		"arrangement goes with it": {cells{"Arrangement": "single"}, at + `I2: strings "2" is implausible, expected one, since they are said to be single; nothing is judged by either`, audit.CellArrangement},
		"parallel of one":          {cells{"Arrangement": "parallel", "Strings": 1}, at + `I2: strings "1" is implausible, expected two or more, since they are said to be parallel; nothing is judged by either`, audit.CellStrings},
		"V of three":               {cells{"Arrangement": "V", "Strings": 3}, at + `I2: strings "3" is implausible, expected an even number, since a V set has two like legs; nothing is judged by either`, audit.CellStrings},
		"V of four":                {cells{"Arrangement": "V", "Strings": 4}, "", 0},
		"creepage ten times":       {cells{"Creepage": 29500}, at + `K2: creepage "29500" is implausible for a string whose units have 2950 mm, expected 1475 to 4720 mm; nothing is judged by it`, audit.CellCreepage},
		"creepage a tenth":         {cells{"Creepage": 295}, at + `K2: creepage "295" is implausible for a string whose units have 2950 mm, expected 1475 to 4720 mm; nothing is judged by it`, audit.CellCreepage},
		"creepage of two strings":  {cells{"Creepage": 5900}, at + `K2: creepage "5900" is implausible for a string whose units have 2950 mm, expected 1475 to 4720 mm; nothing is judged by it`, audit.CellCreepage},
		"creepage of fog discs":    {cells{"Creepage": 4450}, "", 0},
		"rating of two strings":    {cells{"Rating": 240}, at + `K2: rating "240" is implausible for a string whose weakest unit has 120 kN, expected 60 to 144 kN; nothing is judged by it`, audit.CellRating},
		"rating a tenth":           {cells{"Rating": 12}, at + `K2: rating "12" is implausible for a string whose weakest unit has 120 kN, expected 60 to 144 kN; nothing is judged by it`, audit.CellRating},
		"rating a little more":     {cells{"Rating": 144}, "", 0},
		"creepage half":            {cells{"Creepage": 1475}, "", 0},
		"a disc with all creepage": {cells{"Unit": "D1", "Units per string": 5}, `implausible register.xlsx!Units!E3: creepage "1500" is implausible for one cap-and-pin unit of spacing 146 mm, expected 730 mm or less; neither is used`, 0},
		"a spacing of ten discs":   {cells{"Unit": "D2", "Units per string": 4}, `implausible register.xlsx!Units!D5: spacing "1700" is implausible for one cap-and-pin unit, expected 320 mm or less; nothing is judged by it`, 0},
		"three pins":               {cells{"Unit": "P1", "Units per string": 3, "Duty": "pin"}, at + `H2: units per string "3" is implausible, expected one alone where it is a pin, on which nothing stands; those side by side are strings, and one for each phase of the row is 1`, audit.CellUnitsPerString},
		"three pins in the unit":   {cells{"Unit": "3×P1", "Units per string": nil, "Duty": "pin"}, at + `G2: unit "3×P1" is implausible, expected one alone where it is a pin, on which nothing stands; those side by side are strings, and one for each phase of the row is 1`, audit.CellUnit},
		"two shackles":             {cells{"Unit": "S1", "Units per string": 2, "Duty": "shackle"}, at + `H2: units per string "2" is implausible, expected one alone where it is a shackle, on which nothing stands; those side by side are strings, and one for each phase of the row is 1`, audit.CellUnitsPerString},
		"a pin on a disc":          {cells{"Unit": "1×P1 + 1×U120B", "Units per string": nil}, at + `G2: unit "1×P1 + 1×U120B" is implausible, expected one alone where it is a pin, on which nothing stands; those side by side are strings, and one for each phase of the row is 1`, audit.CellUnit},
		"three of the duty pin":    {cells{"Unit": "N1", "Units per string": 3, "Duty": "pin"}, at + `H2: units per string "3" is implausible, expected one alone where it is a pin, on which nothing stands; those side by side are strings, and one for each phase of the row is 1`, audit.CellUnitsPerString},
		"one pin":                  {cells{"Unit": "P1", "Units per string": 1, "Duty": "pin"}, "", 0},
		"creepage of three pins":   {cells{"Unit": "P1", "Units per string": 3, "Duty": "pin", "Creepage": 1500}, at + `K2: creepage "1500" is implausible for a string whose units have 500 mm`, audit.CellCreepage},
		"three posts":              {cells{"Unit": "O1", "Units per string": 3, "Duty": "post"}, "", 0},
		"nine composites":          {cells{"Unit": "K1", "Units per string": 9}, at + `H2: units per string "9" is implausible, expected 2 or fewer in series of a kind that is composite`, audit.CellUnitsPerString},
		"two composites":           {cells{"Unit": "K1", "Units per string": 2}, "", 0},
		"nine in a mixed string":   {cells{"Unit": "9×K1 + 1×U120B", "Units per string": nil}, at + `G2: unit "9×K1 + 1×U120B" is implausible, expected 2 or fewer in series of a kind that is composite`, audit.CellUnit},
		"arc longer than rod":      {cells{"Unit": "K1", "Units per string": 1, "Arcing": 1600}, at + `K2: arcing "1600" is implausible for a string of 1500 mm; nothing is judged by it`, audit.CellArcing},
		"arc in the unit":          {cells{"Unit": "K2", "Units per string": 1}, `implausible register.xlsx!Units!F5: arcing "1600" is implausible for a composite of spacing 1500 mm, which is shorter; neither is used`, 0},
		"arc of a doubted rod":     {cells{"Unit": "K3", "Units per string": 1, "Arcing": 1600}, at + `K2: arcing "1600" is implausible for a string of 500 mm; nothing is judged by it`, audit.CellArcing},
		"arc round a rim":          {cells{"Arcing": 1600}, "", 0},
		"arc against the length":   {cells{"Arcing": 1600, "Length": 1000}, at + `K2: arcing "1600" is implausible for a string of 1000 mm; nothing is judged by it`, audit.CellLength},
		// 10 discs: 930 × 0.9616 = 894 kV (table, value from memory), 1.15 times that 1028 kV; a rod of 1500 mm with a gap factor of
		// 1.25: 1.065·530·1.5·0.9616 = 814 kV, 1.3 times that 1058 kV (computed).
		"lightning":          {cells{"Lightning withstand": 1300}, at + `K2: lightning withstand "1300" is implausible for its string, for which some 894 kV are reckoned, expected 1028 kV or less; nothing is judged by it`, audit.CellTested},
		"lightning, within":  {cells{"Lightning withstand": 1025}, "", 0},
		"lightning of a rod": {cells{"Unit": "K1", "Units per string": 1, "Lightning withstand": 1100}, at + `K2: lightning withstand "1100" is implausible for its string, for which some 814 kV are reckoned, expected 1058 kV or less; nothing is judged by it`, audit.CellTested},
		// Between horns 800 mm apart no more than across a metre: 1.065·530·0.9616 = 543 kV, 1.3 times that 706 kV (computed).
		"lightning of horns": {cells{"Arcing": 800, "Lightning withstand": 800}, at + `L2: lightning withstand "800" is implausible for its string, for which some 543 kV are reckoned, expected 706 kV or less; nothing is judged by it`, audit.CellTested},
		"wet":                {cells{"Wet withstand": 700}, at + `K2: wet withstand "700" is implausible for its string, for which some 374 kV are reckoned, expected 486 kV or less; nothing is judged by it`, audit.CellTestedWet},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.units = grid{{"Unit", "Kind", "Rating (kN)", "Spacing (mm)", "Creepage (mm)", "Arcing (mm)"}, {"X1", "composite", 120, nil, 3000, nil}}
			if c.cells["Unit"] == "D1" {
				b.units = append(b.units, []any{"D1", "cap-and-pin", 120, 146, 1500, nil})
			} else {
				b.units = append(b.units, []any{"D1", "cap-and-pin", 120, 146, 300, nil})
			}
			b.units = append(b.units, []any{"K1", "composite", 120, 1500, 4500, nil})
			if c.cells["Unit"] == "D2" {
				b.units = append(b.units, []any{"D2", "cap-and-pin", 120, 1700, 340, nil})
			}
			if c.cells["Unit"] == "K2" {
				b.units = append(b.units, []any{"K2", "composite", 120, 1500, 4500, 1600})
			}
			if c.cells["Unit"] == "K3" {
				b.units = append(b.units, []any{"K3", "composite", 120, 500, 4500, nil})
			}
			b.units = append(b.units, []any{"P1", "pin", 10, 300, 500, nil}, []any{"S1", "shackle", 10, 100, 220, nil}, []any{"O1", "post", 10, 1000, 2400, nil}, []any{"N1", nil, 10, 300, 500, nil})
			for _, heading := range slices.Sorted(maps.Keys(c.cells)) { // new headings in a fixed order of columns
				b = set(b, heading, c.cells[heading])
			}
			p := b.mustRead(t)
			if c.field == audit.CellTested || c.field == audit.CellTestedWet || c.cells["Lightning withstand"] != nil { // which rests on criteria that a line may have of its own
				_, err := audit.Arrange(p)
				require.NoError(t, err)
			}
			if c.fault == "" {
				require.Empty(t, faultsOf(p))
				return
			}
			if found := faultsOf(p); len(c.cells) < 3 { // the columns of more new headings stand in any order
				require.Equal(t, []string{c.fault}, found)
			} else {
				require.Condition(t, func() bool {
					return slices.ContainsFunc(found, func(f string) bool { return strings.Contains(f, c.fault[len(at)+2:]) })
				}, "%q", found)
			}
			if c.field != 0 {
				require.True(t, p.Assemblies.At(0).Faulty.Has(c.field))
			}
		})
	}
}

// A register that counts the pins of all phases does so on every row: one fault for the rows of a line that say the same, and each of them is doubted.
func TestPinsOfAllPhasesAreOneFaultOfALine(t *testing.T) {
	b := newBase()
	b.units = append(b.units, []any{"P1", "pin", 500})
	b.assemblies = b.assemblies[:1]
	for _, units := range []int{3, 3, 6, 3, 1} {
		b.assemblies = append(b.assemblies, []any{"L1", len(b.assemblies), 1, "ABC", nil, "pin", "P1", units, nil, nil})
	}
	b.assemblies = append(b.assemblies, []any{"L2", 1, 1, "ABC", nil, "pin", "P1", 3, nil, nil})
	p := b.mustRead(t)
	rows := map[string][]int{}
	for _, fault := range p.Faults.List() {
		if fault.Column == "Units per string" {
			require.Contains(t, fault.Expected, "expected one alone where it is a pin")
			rows[fault.Value] = append(rows[fault.Value], max(fault.Rows, 1))
		}
	}
	require.Equal(t, map[string][]int{"3": {3, 1}, "6": {1}}, rows)
	for i, row := range p.Assemblies.All() {
		require.Equal(t, i != 4, row.Faulty.Has(audit.CellUnitsPerString), "row %d", i)
	}
}

// A kind that is left blank believes no more than that of discs does: ten of them are a string.
func TestFiguresOfAStringOfNoStatedKind(t *testing.T) {
	for heading, c := range map[string]struct {
		value any
		fault string
	}{
		"Rating":              {240, `rating "240" is implausible for a string whose weakest unit has 120 kN`},
		"Arcing":              {1900, `arcing "1900" is implausible for a string of 1460 mm`},
		"Lightning withstand": {1300, `lightning withstand "1300" is implausible for its string, for which some 894 kV are reckoned`},
		"Wet withstand":       {700, `wet withstand "700" is implausible for its string, for which some 374 kV are reckoned`},
		"Creepage":            {3000, ""},
	} {
		b := newBase()
		b.units = grid{{"Unit", "Kind", "Rating (kN)", "Spacing (mm)", "Creepage (mm)", "Diameter (mm)"}, {"N1", nil, 120, 146, 300, 255}}
		b = set(set(b, "Unit", "N1"), heading, c.value)
		p := b.mustRead(t)
		if strings.Contains(heading, "withstand") {
			_, err := audit.Arrange(p)
			require.NoError(t, err)
		}
		var found []string
		for _, fault := range faultsOf(p) {
			if strings.HasPrefix(fault, "implausible") {
				found = append(found, fault)
			}
		}
		if c.fault == "" {
			require.Empty(t, found)
			continue
		}
		require.Len(t, found, 1, heading)
		require.Contains(t, found[0], c.fault)
	}
	b := newBase()
	b.units = grid{{"Unit", "Kind", "Rating (kN)", "Spacing (mm)", "Creepage (mm)", "Diameter (mm)"}, {"N1", nil, 120, 146, 3000, 255}}
	require.Contains(t, strings.Join(faultsOf(set(b, "Unit", "N1").mustRead(t)), "\n"), `creepage "3000" is implausible for one hanging unit of spacing 146 mm`)
}

// A V set has a string in each leg at least, and is no single string where its number is blank.
func TestStringsOfAVSetLeftBlank(t *testing.T) {
	p := set(set(newBase(), "Arrangement", "V"), "Strings", nil).mustRead(t)
	require.Empty(t, faultsOf(p))
	require.Equal(t, int16(2), p.Assemblies.At(0).Strings)
}

// A row of the Units sheet makes the project's own what it changes, and leaves the rest with its source.
func TestSourcesOfAUnitByItsCells(t *testing.T) {
	for name, c := range map[string]struct {
		heading                string
		value                  float64
		ownRating, ownCreepage bool
	}{
		"weight alone":            {"Weight (kg)", 5.5, false, false},
		"rating":                  {"Rating (kN)", 100, true, false},
		"creepage":                {"Creepage (mm)", 320, false, true},
		"creepage as it is there": {"Creepage (mm)", 295, false, false},
	} {
		b := newBase()
		b.units = grid{{"Unit", c.heading}, {"U120B", c.value}}
		p := b.mustRead(t)
		i := slices.IndexFunc(p.Units, func(u basis.Unit) bool { return u.Name == "U120B" })
		require.Equal(t, c.ownRating, p.Units[i].RatingSource().IsZero(), name)
		require.Equal(t, c.ownCreepage, p.Units[i].CreepageSource().IsZero(), name)
	}
}

// A tested voltage is doubted by the criteria of its line, once where its row is of several phases or circuits. The base has 10 × U120B: wet
// 415 kV at a share of 1 (table, value from memory).
func TestTestedVoltagesByTheCriteriaOfTheLine(t *testing.T) {
	for name, c := range map[string]struct {
		project, of string
		wetKV       any
		circuit     any
		faults      int
	}{
		"between the bounds, share of the project": {"criteria: {wet_share: 0.9}\n", "", 400, 1, 0},
		"between the bounds, lesser on the line":   {"criteria: {wet_share: 0.9}\n", "for:\n  - {lines: [L1], criteria: {wet_share: 0.5}}\n", 400, 1, 1},
		"between the bounds, greater on the line":  {"criteria: {wet_share: 0.5}\n", "for:\n  - {lines: [L1], criteria: {wet_share: 0.9}}\n", 400, 1, 0},
		"beyond both":     {"criteria: {wet_share: 0.5}\n", "for:\n  - {lines: [L1], criteria: {wet_share: 0.9}}\n", 700, 1, 1},
		"of two circuits": {"criteria: {wet_share: 0.5}\n", "", 700, "1,2", 1},
	} {
		b := set(set(newBase(), "Wet withstand", c.wetKV), "Circuit", c.circuit)
		b.project += c.project + c.of
		p := b.mustRead(t)
		_, err := audit.Arrange(p)
		require.NoError(t, err, name)
		faults := 0
		for _, fault := range faultsOf(p) {
			if strings.Contains(fault, "wet withstand") {
				faults++
			}
		}
		require.Equal(t, c.faults, faults, "%s: %q", name, faultsOf(p))
		require.Equal(t, c.faults > 0, p.Assemblies.At(0).Faulty.Has(audit.CellTestedWet), name)
		require.Equal(t, c.faults > 0, math.IsNaN(p.Figures(p.Assemblies.Row(0)).WetKV), name)
	}
}

// Voltages of a unit that its length does not bear (0.7 kV/mm of a rod, 1 kV/mm of a disc, choices of this program) or that contradict each other
// are not used, nor is a tested voltage of a row above that of its unit.
func TestVoltagesOfAUnitThatContradict(t *testing.T) {
	const at = "implausible register.xlsx!"
	for name, c := range map[string]struct {
		kind                   string
		spacing, dry, wet, own any
		row                    any
		fault                  string
	}{
		"believed":              {"long rod", 1270, 400, 260, 250, 245, ""},
		"row above its own one": {"long rod", 1270, 400, 260, 250, 300, `Assemblies!K2: wet withstand "300" is implausible for its string, whose units have 250 kV together by their own figures, expected that or less; nothing is judged by it`},
		"equal":                 {"long rod", 1270, 400, 400, 400, nil, ""},
		"as much as it bears":   {"long rod", 1000, 700, 260, nil, nil, ""},
		"dry of ten times":      {"long rod", 1270, 4000, 260, nil, nil, `Units!E2: dry "4000" is implausible for one long rod unit of spacing 1270 mm, expected 889 kV or less; neither is used`},
		"a disc of ten times":   {"cap-and-pin", 146, 800, 50, nil, nil, `Units!E2: dry "800" is implausible for one cap-and-pin unit of spacing 146 mm, expected 146 kV or less; neither is used`},
		"wet above dry":         {"long rod", 1270, 200, 260, nil, nil, `Units!F2: wet "260" is implausible for a unit whose dry flashover is 200 kV, expected that or less; neither is used`},
		"withstand above wet":   {"long rod", 1270, 400, 220, 350, nil, `Units!G2: wet withstand "350" is implausible for a unit whose wet flashover is 220 kV, expected that or less; neither is used`},
		"withstand above dry":   {"long rod", 1270, 400, nil, 450, nil, `Units!G2: wet withstand "450" is implausible for a unit whose dry flashover is 400 kV, expected that or less; neither is used`},
		"row above its wet one": {"long rod", 1270, 400, 260, nil, 350, `Assemblies!K2: wet withstand "350" is implausible for its string, whose units have 260 kV together by their own figures, expected that or less; nothing is judged by it`},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.units = grid{{"Unit", "Kind", "Rating (kN)", "Spacing (mm)", "Dry (kV)", "Wet (kV)", "Wet withstand (kV)"}, {"R1", c.kind, 120, c.spacing, c.dry, c.wet, c.own}}
			b = set(set(b, "Unit", "R1"), "Units per string", 1)
			if c.row != nil {
				b = set(b, "Wet withstand", c.row)
			}
			p := b.mustRead(t)
			_, err := audit.Arrange(p)
			require.NoError(t, err)
			if c.fault == "" {
				require.Empty(t, faultsOf(p))
				return
			}
			require.Equal(t, []string{at + c.fault}, faultsOf(p))
			if c.row != nil {
				require.True(t, p.Assemblies.At(0).Faulty.Has(audit.CellTestedWet))
				return
			}
			i := slices.IndexFunc(p.Units, func(u basis.Unit) bool { return u.Name == "R1" })
			require.True(t, p.UnitFaults[i].Has(audit.CellTested))
			require.True(t, math.IsNaN(p.Units[i].DryKV) || math.IsNaN(p.Units[i].WetKV))
		})
	}
}

// Rating, diameters and puncture voltage of a unit that its size or each other do not bear are not used, nor is a rating of a row that its discs do not bear: 146²/60 = 355 kN, 255²/120 = 542 kN (computed).
func TestSizesOfAUnitThatContradict(t *testing.T) {
	const at = "implausible register.xlsx!"
	for name, c := range map[string]struct {
		kind                                                    any
		rating, spacing, diameter, average, dry, withstand, own any
		row                                                     any
		faults                                                  []string
		cells                                                   audit.Cells
	}{
		"believed":               {"cap-and-pin", 120, 146, 255, 170, 80, 100, 110, 120, nil, 0},
		"rating of ten times":    {"cap-and-pin", 400, 146, 255, nil, nil, nil, nil, nil, []string{`Units!C2: rating "400" is implausible for one cap-and-pin unit of spacing 146 mm, expected 355 kN or less; neither is used`}, 1<<audit.CellRating | 1<<audit.CellLength},
		"of no stated kind":      {nil, 400, 146, 255, nil, nil, nil, nil, nil, []string{`Units!C2: rating "400" is implausible for one hanging unit of spacing 146 mm, expected 355 kN or less; neither is used`}, 1<<audit.CellRating | 1<<audit.CellLength},
		"rating, of no spacing":  {"cap-and-pin", 1200, nil, 255, nil, nil, nil, nil, nil, []string{`Units!C2: rating "1200" is implausible for one cap-and-pin unit of diameter 255 mm, expected 542 kN or less; neither is used`}, 1<<audit.CellRating | 1<<audit.CellDiameter},
		"rating of the row":      {"cap-and-pin", nil, 146, 255, nil, nil, nil, nil, 400, []string{`Assemblies!K2: rating "400" is implausible for a string whose shortest unit bears 355 kN at most, expected that or less; nothing is judged by it`}, 0},
		"rating of both":         {"cap-and-pin", 400, 146, 255, nil, nil, nil, nil, 400, []string{`Units!C2: rating "400" is implausible for one cap-and-pin unit of spacing 146 mm, expected 355 kN or less; neither is used`, `Assemblies!K2: rating "400" is implausible for a string whose shortest unit bears 355 kN at most, expected that or less; nothing is judged by it`}, 1<<audit.CellRating | 1<<audit.CellLength},
		"diameter a tenth":       {"cap-and-pin", nil, 146, 25.5, nil, nil, nil, nil, nil, []string{`Units!E2: diameter "25.5" is implausible for one cap-and-pin unit of spacing 146 mm, expected 102 to 657 mm; neither is used`}, 1<<audit.CellDiameter | 1<<audit.CellLength},
		"average above":          {"composite", 120, 1500, 150, 190, nil, nil, nil, nil, []string{`Units!F2: average diameter "190" is implausible for a unit of diameter 150 mm, expected 37.5 to 187.5 mm; neither is used`}, 1<<audit.CellAverageDiameter | 1<<audit.CellDiameter},
		"average a tenth":        {"cap-and-pin", 120, 146, 255, 17, nil, nil, nil, nil, []string{`Units!F2: average diameter "17" is implausible for a unit of diameter 255 mm, expected 63.75 to 318.75 mm; neither is used`}, 1<<audit.CellAverageDiameter | 1<<audit.CellDiameter},
		"puncture of ten times":  {"cap-and-pin", 120, 146, 255, nil, 80, nil, 1000, nil, []string{`Units!I2: puncture "1000" is implausible for a unit whose dry flashover is 80 kV, expected 24 to 320 kV; neither is used`}, 1 << audit.CellTested},
		"puncture and withstand": {"pin", 10, nil, 280, nil, nil, 170, 1850, nil, []string{`Units!I2: puncture "1850" is implausible for a unit whose lightning withstand is 170 kV, expected 51 to 680 kV; neither is used`}, 1 << audit.CellTested},
		"dry of a pin ten times": {"pin", 10, nil, 280, nil, 1300, nil, 185, nil, []string{`Units!I2: puncture "185" is implausible for a unit whose dry flashover is 1300 kV, expected 390 to 5200 kV; neither is used`}, 1 << audit.CellTested},
		"low, which falls short": {"pin", 10, nil, 280, nil, 80, nil, 60, nil, nil, 0},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.units = grid{{"Unit", "Kind", "Rating (kN)", "Spacing (mm)", "Diameter (mm)", "Average diameter (mm)", "Dry (kV)", "Lightning withstand (kV)", "Puncture (kV)"},
				{"R1", c.kind, c.rating, c.spacing, c.diameter, c.average, c.dry, c.withstand, c.own}}
			if c.row != nil {
				b = set(set(b, "Unit", "R1"), "Rating", c.row)
			}
			p := b.mustRead(t)
			i := slices.IndexFunc(p.Units, func(u basis.Unit) bool { return u.Name == "R1" })
			require.Equal(t, c.cells, audit.FaultsOf(p.UnitFaults, i))
			var faults []string
			for _, fault := range c.faults {
				faults = append(faults, at+fault)
			}
			require.ElementsMatch(t, faults, faultsOf(p))
			require.Equal(t, c.row == 400, p.Assemblies.At(0).Faulty.Has(audit.CellRating))
		})
	}
}

// Impulse voltages of a unit that its length does not bear or that contradict each other. A composite of 1500 mm: 1.3·1.065·530·1.5 = 1101 kV of lightning flashover, 0.9616 of
// it withstood, and 1.3·0.9232·1.25·1080·ln 1.69 = 850 kV of switching impulse; no unit has more than the crest of the most at power frequency, √2·146 = 206 kV of a disc and
// √2·0.7·400 = 396 kV of a rod of 400 mm (computed).
func TestImpulseVoltagesOfAUnitThatContradict(t *testing.T) {
	const at = "implausible register.xlsx!Units!"
	for name, c := range map[string]struct {
		kind                                     string
		spacing, flashover, withstand, switching any
		fault                                    string
		cells                                    audit.Cells
	}{
		"believed":            {"composite", 1500, 1095, 1055, 845, "", 0},
		"flashover":           {"composite", 1500, 1105, nil, nil, `D2: lightning "1105" is implausible for one composite unit of spacing 1500 mm, expected 1101 kV or less; neither is used`, 1<<audit.CellTested | 1<<audit.CellLength},
		"withstand":           {"long rod", 1500, nil, 1065, nil, `E2: lightning withstand "1065" is implausible for one long rod unit of spacing 1500 mm, expected 1058 kV or less; neither is used`, 1<<audit.CellTested | 1<<audit.CellLength},
		"switching":           {"composite", 1500, nil, nil, 855, `F2: wet switching withstand "855" is implausible for one composite unit of spacing 1500 mm, expected 850 kV or less; neither is used`, 1<<audit.CellLimits | 1<<audit.CellLength},
		"of a short rod":      {"composite", 400, 400, nil, nil, `D2: lightning "400" is implausible for one composite unit of spacing 400 mm, expected 396 kV or less; neither is used`, 1<<audit.CellTested | 1<<audit.CellLength},
		"of a disc":           {"cap-and-pin", 146, 210, nil, nil, `D2: lightning "210" is implausible for one cap-and-pin unit of spacing 146 mm, expected 206 kV or less; neither is used`, 1<<audit.CellTested | 1<<audit.CellLength},
		"of a disc, believed": {"cap-and-pin", 146, 200, 125, 100, "", 0},
		"withstand above":     {"composite", 1500, 800, 850, nil, `E2: lightning withstand "850" is implausible for a unit whose lightning flashover is 800 kV, expected that or less; neither is used`, 1 << audit.CellTested},
		"switching above":     {"composite", 1500, nil, 750, 800, `F2: wet switching withstand "800" is implausible for a unit whose lightning withstand is 750 kV, expected that or less; neither is used`, 1<<audit.CellTested | 1<<audit.CellLimits},
		"switching above it":  {"composite", 1500, 750, nil, 800, `F2: wet switching withstand "800" is implausible for a unit whose lightning flashover is 750 kV, expected that or less; neither is used`, 1<<audit.CellTested | 1<<audit.CellLimits},
		"of what stands":      {"post", 1500, 5000, nil, nil, "", 0},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.units = grid{{"Unit", "Kind", "Spacing (mm)", "Lightning (kV)", "Lightning withstand (kV)", "Wet switching withstand (kV)"}, {"R1", c.kind, c.spacing, c.flashover, c.withstand, c.switching}}
			p := b.mustRead(t)
			i := slices.IndexFunc(p.Units, func(u basis.Unit) bool { return u.Name == "R1" })
			require.Equal(t, c.cells, audit.FaultsOf(p.UnitFaults, i))
			if c.fault == "" {
				require.Empty(t, faultsOf(p))
				return
			}
			require.Equal(t, []string{at + c.fault}, faultsOf(p))
		})
	}
}

// What is stated of a unit that is not believed is no reason to believe what contradicts it: a rod of 1100 mm withstands no 1100 kV.
func TestTestedVoltageOfADoubtedUnit(t *testing.T) {
	b := newBase()
	b.units = grid{{"Unit", "Kind", "Rating (kN)", "Spacing (mm)", "Creepage (mm)"}, {"K3", "composite", 120, 1100, 7000}}
	p := set(set(set(b, "Unit", "K3"), "Units per string", 1), "Lightning withstand", 1100).mustRead(t)
	require.NotEmpty(t, p.DoubtedUnits)
	_, err := audit.Arrange(p)
	require.NoError(t, err)
	require.True(t, p.Assemblies.At(0).Faulty.Has(audit.CellTested), "%q", faultsOf(p))
}

// TestTestedAboveUnits holds that a tested voltage of a row is not believed above what its units state of themselves: ten that flash over at 90 kV have 900 kV at most, of several a
// rating is the least that they withstand (7/10 of what they may), and that of an insulator which is the whole string is its own (computed).
func TestTestedAboveUnits(t *testing.T) {
	for name, c := range map[string]struct {
		heading string
		kV      float64
		unit    string
		units   int
		fault   string
	}{
		"lightning of discs":             {"Lightning withstand", 905, "K", 10, `lightning withstand "905" is implausible for its string, whose units have 900 kV together by their own figures, expected that or less; nothing is judged by it`},
		"lightning of discs, equal":      {"Lightning withstand", 900, "K", 10, ""},
		"wet of discs":                   {"Wet withstand", 405, "K", 10, `wet withstand "405" is implausible for its string, whose units have 400 kV together`},
		"wet of discs by their dry":      {"Wet withstand", 405, "D", 10, `wet withstand "405" is implausible for its string, whose units have 300 kV together`},
		"wet of rated discs":             {"Wet withstand", 440, "R", 10, `wet withstand "440" is implausible for its string, whose units have 429 kV together`}, // 10·30/0.7
		"wet of rated discs, within":     {"Wet withstand", 420, "R", 10, ""},
		"wet of several kinds":           {"Wet withstand", 365, "6×K + 4×D", 0, `wet withstand "365" is implausible for its string, whose units have 360 kV together`},
		"lightning of a composite":       {"Lightning withstand", 700, "C", 1, `lightning withstand "700" is implausible for its string, whose units have 650 kV together`},
		"lightning of a composite, less": {"Lightning withstand", 600, "C", 1, ""},
		"switching of a composite":       {"Switching withstand", 680, "C", 1, `switching withstand "680" is implausible for its string, whose units have 650 kV together`},
		"wet switching of a composite":   {"Wet switching withstand", 520, "C", 1, `wet switching withstand "520" is implausible for its string, whose units have 500 kV together`},
		"no figures":                     {"Wet withstand", 405, "U120B", 10, ""},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.units = grid{{"Unit", "Kind", "Rating (kN)", "Spacing (mm)", "Creepage (mm)", "Diameter (mm)", "Dry (kV)", "Wet (kV)", "Lightning (kV)", "Wet withstand (kV)", "Lightning withstand (kV)", "Wet switching withstand (kV)"},
				{"K", "cap-and-pin", 120, 146, 295, 255, 60, 40, 90, nil, nil, nil},
				{"D", "cap-and-pin", 120, 146, 295, 255, 30, nil, nil, nil, nil, nil},
				{"R", "cap-and-pin", 120, 146, 295, 255, nil, nil, nil, 30, nil, nil},
				{"C", "composite", 120, 1500, 4500, nil, nil, nil, nil, nil, 650, 500}}
			b = set(set(b, "Unit", c.unit), c.heading, c.kV)
			if b = set(b, "Units per string", nil); c.units > 0 {
				b = set(b, "Units per string", c.units)
			}
			p := b.mustRead(t)
			_, err := audit.Arrange(p)
			require.NoError(t, err)
			var found []string
			for _, fault := range faultsOf(p) {
				if strings.Contains(fault, "by their own figures") {
					found = append(found, fault)
				}
			}
			if c.fault == "" {
				require.Empty(t, found)
				require.True(t, p.Assemblies.At(0).Faulty&(1<<audit.CellTested|1<<audit.CellTestedWet|1<<audit.CellLimits) == 0)
				return
			}
			require.Len(t, found, 1)
			require.Contains(t, found[0], c.fault)
			require.True(t, p.Assemblies.At(0).Faulty&(1<<audit.CellTested|1<<audit.CellTestedWet|1<<audit.CellLimits) != 0)
		})
	}
}
