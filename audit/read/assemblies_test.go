package read

import (
	"math"
	"reflect"
	"testing"
	"time"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// set returns the base with the cell of a heading in the second row of assemblies exchanged; a new heading is added.
func set(b base, heading string, value any) base {
	column := -1
	for i, h := range b.assemblies[0] {
		if h == heading {
			column = i
		}
	}
	if column < 0 {
		column = len(b.assemblies[0])
		b.assemblies[0] = append(b.assemblies[0], heading)
	}
	for len(b.assemblies[1]) <= column {
		b.assemblies[1] = append(b.assemblies[1], nil)
	}
	b.assemblies[1][column] = value
	return b
}

func TestAssemblyFaults(t *testing.T) {
	const at = "register.xlsx!Assemblies!"
	for name, c := range map[string]struct {
		heading string
		value   any
		fault   string
		field   audit.Cell
	}{
		"duty":             {"Duty", "hanging", "unknown-word " + at + `F2: duty "hanging" is none of suspension, tension, pin, post, shackle, jumper, earth wire, guy; say what it means in the project file: words: {Duty: {"hanging": …}}`, audit.CellDuty},
		"blank duty":       {"Duty", nil, "missing-value " + at + `F2: duty is blank`, audit.CellDuty},
		"side":             {"Side", "left", "unknown-word " + at + `E2: side "left" is none of back, ahead, both; say what it means in the project file: words: {Side: {"left": …}}`, audit.CellSide},
		"phase":            {"Phase", "Q", "unknown-word " + at + `D2: phase "Q" is no phase, expected names such as A, R,Y,B or ABC; say what it means in the project file: words: {Phase: {"Q": …}}`, audit.CellPhase},
		"arrangement":      {"Arrangement", "H", "unknown-word " + at + `K2: arrangement "H" is none of single, parallel, V; say what it means in the project file: words: {Arrangement: {"H": …}}`, audit.CellArrangement},
		"V angle":          {"V angle (deg)", 270, "out-of-range " + at + `K2: v angle "270" is out of range, expected 10 to 160 deg`, audit.CellArrangement},
		"V flat":           {"V angle (deg)", 180, "out-of-range " + at + `K2: v angle "180" is out of range, expected 10 to 160 deg`, audit.CellArrangement},
		"V nearly flat":    {"V angle (deg)", 160.5, "out-of-range " + at + `K2: v angle "160.5" is out of range, expected 10 to 160 deg`, audit.CellArrangement},
		"V in radians":     {"V angle (deg)", 1.57, "out-of-range " + at + `K2: v angle "1.57" is out of range, expected 10 to 160 deg`, audit.CellArrangement},
		"mounting":         {"Mounting", "leaning", "unknown-word " + at + `K2: mounting "leaning" is none of upright, horizontal; say what it means in the project file: words: {Mounting: {"leaning": …}}`, audit.CellMounting},
		"unit":             {"Unit", "U120", "unknown-unit " + at + `G2: unit "U120" is no unit of the catalogue or of the Units sheet, perhaps "U120B"; say what it means in the project file: words: {Unit: {"U120": …}}`, audit.CellUnit},
		"unit, none near":  {"Unit", "X999", "unknown-unit " + at + `G2: unit "X999" is no unit of the catalogue or of the Units sheet; say what it means in the project file: words: {Unit: {"X999": …}}`, audit.CellUnit},
		"unit in a string": {"Unit", "9×U120B + 1×Q", "unknown-unit " + at + `G2: unit "9×U120B + 1×Q" names "Q", which is no unit of the catalogue or of the Units sheet; say what it means in the project file: words: {Unit: {"Q": …}}`, audit.CellUnit},
		"no numbers":       {"Unit", "U120B + U70BL", "unknown-unit " + at + `G2: unit "U120B + U70BL" does not say how many of each, expected as in 14×U70BL + 1×U120B`, audit.CellUnit},
		"too many":         {"Unit", "999×U120B + 1×U70BL", "out-of-range " + at + `G2: unit "999×U120B + 1×U70BL" adds up to 1000 units, expected 1 to 200`, audit.CellUnit},
		"blank unit":       {"Unit", nil, "missing-value " + at + `G2: unit is blank, and the row states no creepage`, audit.CellUnit},
		"other sum":        {"Unit", "14×U70BL + 1×U120B", "out-of-range " + at + `H2: units per string "10" is out of range, expected 15 as in the unit "14×U70BL + 1×U120B"`, audit.CellUnitsPerString},
		"units in words":   {"Units per string", "twelve", "not-a-number " + at + `H2: units per string "twelve" is not a number`, audit.CellUnitsPerString},
		"units negative":   {"Units per string", -4, "out-of-range " + at + `H2: units per string "-4" is out of range, expected 1 to 200`, audit.CellUnitsPerString},
		"units zero":       {"Units per string", 0, "out-of-range " + at + `H2: units per string "0" is out of range, expected 1 to 200`, audit.CellUnitsPerString},
		"units absurd":     {"Units per string", 1e9, "out-of-range " + at + `H2: units per string "1000000000" is out of range, expected 1 to 200`, audit.CellUnitsPerString},
		"units in halves":  {"Units per string", 7.5, "not-a-number " + at + `H2: units per string "7.5" is not a whole number`, audit.CellUnitsPerString},
		"blank units":      {"Units per string", " ", "missing-value " + at + `H2: units per string is blank`, audit.CellUnitsPerString},
		"strings":          {"Strings", 9, "out-of-range " + at + `I2: strings "9" is out of range, expected 1 to 8`, audit.CellStrings},
		"defective":        {"Defective units", 11, "out-of-range " + at + `J2: defective units "11" is out of range, expected 0 to 10, the units per string`, audit.CellDefective},
		"defective in words": {"Defective units", "some", "not-a-number " + at + `J2: defective units "some" is not a number`,
			audit.CellDefective},
		"creepage":        {"Creepage (in)", 0.2, "out-of-range " + at + `K2: creepage "0.2" is out of range, expected 0.393701 to 3937.01 in`, audit.CellCreepage},
		"creepage, #N/A":  {"Creepage", "#N/A", "not-a-number " + at + `K2: creepage "#N/A" is not a number`, audit.CellCreepage},
		"rating":          {"Rating (kN)", "120 kV", "not-a-number " + at + `K2: rating "120 kV" is no number with a unit of this column, expected one of kN, N, daN, kgf, tf, lbf, klbf`, audit.CellRating},
		"length":          {"Length (m)", 146, "out-of-range " + at + `K2: length "146" is out of range, expected 0.01 to 30 m`, audit.CellLength},
		"arcing":          {"Arcing", "1,500", "not-a-number " + at + `K2: arcing "1,500" may be 1.500 or 1500, and its column does not tell which; expected a number without marks between thousands, or decimal: comma or decimal: point for the file under register in the project file`, audit.CellArcing},
		"withstand":       {"Wet withstand (kV)", 1e6, "out-of-range " + at + `K2: wet withstand "1000000" is out of range, expected 1 to 6000 kV`, audit.CellTestedWet},
		"date":            {"Installed", "Spring 2019", "not-a-number " + at + `K2: installed "Spring 2019" is no date, expected a date such as 2019-05-31, 31.05.2019, 31 May 2019, 2019-05 or 2019`, audit.CellRemarks},
		"day or month":    {"Inspected", "03/04/1994", "not-a-number " + at + `K2: inspected "03/04/1994" may be read in more than one way, and the other dates of the column do not tell which holds; expected dates such as 2019-05-31`, audit.CellRemarks},
		"a formula":       {"Units per string", "=5+5", "no-cached-value " + at + `H2: units per string "=5+5" is a formula without a stored value; open the workbook in a spreadsheet program and save it`, audit.CellUnitsPerString},
		"a formula, unit": {"Unit", "=A1", "no-cached-value " + at + `G2: unit "=A1" is a formula without a stored value; open the workbook in a spreadsheet program and save it`, audit.CellUnit},
	} {
		t.Run(name, func(t *testing.T) {
			p := set(newBase(), c.heading, c.value).mustRead(t)
			require.Equal(t, []string{c.fault}, faultsOf(p))
			require.Equal(t, 2, p.Assemblies.Len(), "the row stays")
			row := p.Assemblies.At(0)
			require.True(t, row.Faulty.Has(c.field))
			for field, value := range map[audit.Cell]int16{
				audit.CellUnitsPerString: row.UnitsPerString, audit.CellStrings: row.Strings, audit.CellDefective: row.Defective,
			} {
				require.Equal(t, row.Faulty.Has(field), value < 0, "%s is unknown just where it is faulty", field)
			}
			require.Equal(t, row.Faulty.Has(audit.CellUnit), row.Makeup == 0)
		})
	}
}

// None is a word of the column of grading rings, and no blank there.
func TestNoGradingRings(t *testing.T) {
	for text, want := range map[string]audit.Rings{"none": audit.NoRings, "None": audit.NoRings, "no rings": audit.NoRings, "-": audit.RingsUnknown, "n/a": audit.RingsUnknown} {
		p := set(newBase(), "Grading rings", text).mustRead(t)
		require.Empty(t, faultsOf(p))
		require.Equal(t, want, p.Assemblies.At(0).Rings, text)
	}
}

func TestAssemblyRowsLeftOut(t *testing.T) {
	b := newBase()
	b.assemblies = append(b.assemblies, []any{}, []any{nil, "  "}, []any{"L1"}, []any{nil, 3}, []any{nil, nil, nil, nil, nil, nil, nil, nil, nil, nil, "a note"},
		[]any{"L1", 3, 1, "A", "back", "tension", "U120B", 10})
	p := b.mustRead(t)
	require.Equal(t, []string{
		"missing-value register.xlsx!Assemblies!B6: structure is blank; the row is left out",
		"missing-value register.xlsx!Assemblies!A7: line is blank; the row is left out; where it is that of the rows above, say so in the project file, under register: fill_down: [Line]",
	}, faultsOf(p))
	require.Equal(t, 5, p.RowsRead, "blank rows are not counted, nor is one that holds nothing in a column that is used")
	require.Equal(t, 1, p.Tables[p.Assemblies.At(0).Source.Table].Aside)
	require.Equal(t, 3, p.Assemblies.Len())
	require.Equal(t, uint32(9), p.Assemblies.At(2).Source.Row, "row numbers are those of the spreadsheet")
}

func TestAssemblyValues(t *testing.T) {
	b := newBase()
	b.assemblies = grid{
		{"Register of 2024"},
		{},
		{"STRUCTURE", "line", "Circuit (default 1)", "Phase", "Side", "duty ", "Arrangement", "V_angle", "unit", "Units per  string", "Defective units (in the worst string)",
			"Creepage [in]", "Rating (lbf)", "Length_m", "Arcing (cm)", "Lightning withstand (V)", "Installed", "Inspected", "Remarks", "Photo"},
		{"7/2", "L1", "North", "R,Y", "AHEAD", "Dead-end", "V string", "90", "14×U70BL + 1 x u120b", nil, "2",
			100, 10000, 1.5, 120, 650000, time.Date(2019, 5, 31, 0, 0, 0, 0, time.UTC), "2020-02-29", "=", "x.jpg"},
		{3, "L1", nil, nil, nil, "earth wire"},
		{3, "L1", nil, nil, nil, "suspension", nil, nil, "X1"},
		{3, "L1", nil, nil, nil, "suspension", nil, nil, nil, 9, nil, 90},
		{3, "L1", nil, nil, nil, "suspension", nil, nil, "12*U70BL"},
	}
	p := b.mustRead(t)
	require.Empty(t, faultsOf(p))
	row := p.Assemblies.At(0)
	require.Equal(t, uint32(4), row.Source.Row)
	require.Equal(t, "L1", p.Symbols.Text(row.Line))
	require.Equal(t, "7/2", p.Texts.Get(row.Number))
	require.Equal(t, "North", p.Symbols.Text(row.Circuit))
	require.Equal(t, "R,Y", p.Symbols.Text(row.Phase))
	require.Equal(t, "R,Y", row.Phases.String())
	require.Equal(t, audit.Ahead, row.Side)
	require.Equal(t, audit.Tension, row.Duty)
	require.Equal(t, audit.VSet, row.Arrangement)
	require.Equal(t, float32(90), row.VAngleDeg)
	require.Equal(t, int16(15), row.UnitsPerString, "the sum of the parts")
	require.Equal(t, int16(2), row.Defective)
	makeup := p.Makeups[row.Makeup]
	require.Equal(t, "14×U70BL + 1 x u120b", makeup.Text)
	require.Len(t, makeup.Parts, 2)
	require.Equal(t, "U70BL", p.Units[makeup.Parts[0].Unit].Name)
	require.Equal(t, 14, makeup.Parts[0].Count)
	require.Equal(t, "U120B", p.Units[makeup.Parts[1].Unit].Name)
	direct := p.Direct[row.Direct-1]
	require.InDelta(t, 2540, direct.CreepageMM, 1e-9)    // 100 · 25.4, exact by definition of the inch
	require.InDelta(t, 44.482216, direct.RatingKN, 1e-6) // 10000 lbf, exact by definition of pound and gravity
	require.InDelta(t, 1500, direct.LengthMM, 1e-9)
	require.InDelta(t, 1200, direct.ArcingMM, 1e-9)
	require.InDelta(t, 650, direct.LightningKV, 1e-9)
	require.True(t, math.IsNaN(direct.WetKV))
	require.Equal(t, "2019-05-31", time.Unix(int64(row.Installed)*86400, 0).UTC().Format(time.DateOnly))
	require.Equal(t, "2020-02-29", time.Unix(int64(row.Inspected)*86400, 0).UTC().Format(time.DateOnly))
	require.Equal(t, "=", p.Texts.Get(row.Remarks))

	earthWire, composite, stated, counted := p.Assemblies.At(1), p.Assemblies.At(2), p.Assemblies.At(3), p.Assemblies.At(4)
	require.Equal(t, audit.EveryPhase, earthWire.Phases)
	require.Zero(t, earthWire.Makeup, "an earth wire needs no unit")
	require.True(t, math.IsNaN(float64(earthWire.VAngleDeg)))
	require.Equal(t, int16(1), composite.UnitsPerString, "a composite is one unit")
	require.Zero(t, composite.Direct)
	require.Zero(t, stated.Makeup, "a row that states its creepage needs no unit")
	require.InDelta(t, 2286, p.Direct[stated.Direct-1].CreepageMM, 1e-9)
	require.Equal(t, int16(12), counted.UnitsPerString)
	require.Equal(t, "B", p.Tables[2].Columns["Line"], "columns are known by their own headings")
	require.Equal(t, "L", p.Tables[2].Columns["Creepage"])
}

// A figure that is forgotten there would be lost where a row states it alone.
func TestEachDirectValueCountsAsStated(t *testing.T) {
	unknown := audit.UnknownDirectValues()
	require.False(t, anyStated(&unknown))
	for i := range reflect.TypeFor[audit.DirectValues]().NumField() {
		d, name := unknown, reflect.TypeFor[audit.DirectValues]().Field(i).Name
		field := reflect.ValueOf(&d).Elem().Field(i)
		if field.Kind() != reflect.Array {
			field.SetFloat(1)
			require.True(t, anyStated(&d), name)
			continue
		}
		for k := range field.Len() {
			d = unknown
			field.Index(k).SetFloat(1)
			require.True(t, anyStated(&d), "%s %d", name, k)
		}
	}
}

// A string of unlike units is the same string in whatever order its parts are written, and as often as one is named.
func TestOrderOfThePartsOfAString(t *testing.T) {
	b := newBase()
	b.assemblies = grid{{"Line", "Structure", "Duty", "Unit", "Units per string"}}
	for _, text := range []string{"14×U70BL + 1×U120B", "1×U120B + 14×U70BL", "7×U70BL + 1×U120B + 7×U70BL", "7×U70BL + 8×U70BL"} {
		b.assemblies = append(b.assemblies, []any{3, "L1", "suspension", text}) // placed nowhere, which is no matter here
	}
	b.assemblies[0][0], b.assemblies[0][1] = "Structure", "Line"
	p := b.mustRead(t)
	require.Empty(t, faultsOf(p))
	require.Equal(t, p.Assemblies.At(0).Makeup, p.Assemblies.At(1).Makeup)
	require.Equal(t, p.Assemblies.At(0).Makeup, p.Assemblies.At(2).Makeup)
	require.Equal(t, int16(15), p.Assemblies.At(2).UnitsPerString)
	require.Len(t, p.Makeups[p.Assemblies.At(3).Makeup].Parts, 1, "of one kind of unit")
	require.Equal(t, int16(15), p.Assemblies.At(3).UnitsPerString)
}

// None is no blank as a slip load: the line's would hold for a clamp that does not slip.
func TestNoSlipLoad(t *testing.T) {
	for text, faults := range map[string][]string{"-": nil, "n/a": nil,
		"None": {`not-a-number register.xlsx!Assemblies!K2: slip load "None" ` + slipNone}} {
		p := set(newBase(), "Slip load", text).mustRead(t)
		require.Equal(t, faults, faultsOf(p), text)
		require.Equal(t, faults != nil, p.Assemblies.At(0).Faulty.Has(audit.CellAttachment), text)
	}
}
