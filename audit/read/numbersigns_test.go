package read

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

func TestCommaNumber(t *testing.T) {
	for text, want := range map[string]struct {
		plain  string
		surely bool
	}{
		"1,5": {"1.5", true}, "-0,125": {"-0.125", true}, "2,250": {"2.250", false}, "1234,567": {"1234.567", true}, ",5": {".5", true}, "+1,25": {"+1.25", true},
		"1,": {}, "1,2,3": {}, "1.234,5": {}, "1e3,5": {}, "a,5": {}, "5": {}, "": {}, "1,5 m": {}, "1 000,5": {},
	} {
		plain, surely := commaNumber(text)
		require.Equal(t, want.plain, plain, text)
		require.Equal(t, want.surely, surely, text)
	}
}

// oneColumn puts values under one heading, a row each.
func oneColumn(b base, heading string, values ...any) base {
	b.assemblies = grid{{"Line", "Structure", "Duty", "Unit", "Units per string", heading}}
	for i, v := range values {
		b.assemblies = append(b.assemblies, []any{"L1", i%3 + 1, "suspension", "U70BL", 8, v})
	}
	return b
}

func TestDecimalCommas(t *testing.T) {
	for name, c := range map[string]struct {
		values []any
		want   []float64
		faults []string
	}{
		"throughout":        {[]any{"1,5", "2,250", "3"}, []float64{1500, 2250, 3000}, nil},
		"with real numbers": {[]any{"1,5", 2}, []float64{1500, 2000}, nil},
		"thousands or decimal": {[]any{"1,500", "2,250"}, nil, []string{`not-a-number register.xlsx!Assemblies!F2: length "1,500" may be 1.500 or 1500, and its column does not tell which; expected a number without marks between thousands, or decimal: comma or decimal: point for the file under register in the project file`,
			`not-a-number register.xlsx!Assemblies!F3: length "2,250" may be 2.250 or 2250, and its column does not tell which; expected a number without marks between thousands, or decimal: comma or decimal: point for the file under register in the project file`}},
		"mixed":         {[]any{"1,5", "2.5"}, []float64{2500}, []string{`not-a-number register.xlsx!Assemblies!F2: length "1,5" is not a number`}},
		"beside a word": {[]any{"1,5", "short"}, []float64{1500}, []string{`not-a-number register.xlsx!Assemblies!F3: length "short" is not a number`}},
		"another minus": {[]any{"\u22121.5"}, nil, []string{`out-of-range register.xlsx!Assemblies!F2: length "` + "\u2212" + `1.5" is out of range, expected 0.01 to 30 m`}},
	} {
		t.Run(name, func(t *testing.T) {
			p := oneColumn(newBase(), "Length (m)", c.values...).mustRead(t)
			require.Equal(t, c.faults, faultsOf(p))
			var got []float64
			for _, d := range p.Direct {
				if d.LengthMM == d.LengthMM {
					got = append(got, d.LengthMM)
				}
			}
			require.InDeltaSlice(t, c.want, got, 1e-9)
		})
	}
}

// TestNumbersInColumns holds what the numbers of a column are read as; blank is no number.
func TestNumbersInColumns(t *testing.T) {
	for name, c := range map[string][][2]string{
		"by themselves":              {{"1'234", "1234"}, {"1\u2019234\u2019567.5", "1234567.5"}, {"-12\u00a0345", "-12345"}, {"12\u202f345.25", "12345.25"}, {"7", "7"}, {"1 234 567", "1234567"}},
		"decimal commas":             {{"1.234,5", "1234.5"}, {"1,5", "1.5"}, {"2,250", "2.250"}, {"2.250", "2250"}, {"1.234.567", "1234567"}},
		"decimal points":             {{"1,234.5", "1234.5"}, {"2,250", "2250"}, {"2.250", "2.250"}, {"1,234,567", "1234567"}, {"1,234,567.25", "1234567.25"}},
		"nothing tells":              {{"1,234", ""}, {"12 345", ""}, {"1.234", "1.234"}},
		"a point beside commas":      {{"1,5", "1.5"}, {"1.234", ""}},
		"two clerks":                 {{"1,5", ""}, {"2.5", "2.5"}, {"1,234", ""}},
		"two ways of thousands":      {{"1.234,5", ""}, {"1,234.5", ""}, {"1,234", ""}, {"1.234", ""}},
		"blanks between thousands":   {{"1 234,5", "1234.5"}, {"12 345", "12345"}},
		"no thousands":               {{"1'23", ""}, {"1234'567", ""}, {"1,23,456", ""}, {"01,234,567", ""}, {"1'234 567", ""}, {"1,234,5", ""}, {"1 234.567.890", ""}, {"'123", ""}, {"123'", ""}, {"1  234", ""}},
		"whole ones with a decimal ": {{"1.5", "1.5"}, {"1,234", ""}},
	} {
		var signs numberSigns
		for _, pair := range c {
			signs.note(pair[0], false)
		}
		for _, pair := range c {
			n, ok := writtenAs(pair[0])
			got := ""
			if ok {
				got = signs.read(n)
			}
			require.Equal(t, pair[1], got, "%s: %q", name, pair[0])
		}
	}
	for text, want := range map[string][2]string{"1 234 mm": {"1 234", "mm"}, "2 x 23": {"2", "x 23"}, "1'234 kN": {"1'234", "kN"}, "1,5 m": {"1,5", "m"}, "5' 10": {"5", "' 10"}, "12 (in)": {"12", "in"}} {
		number, behind := figure(text)
		require.Equal(t, want, [2]string{number, behind}, text)
	}
}

// TestPointsInDoubt holds what a lone point is read as in a column of a table; blank is no number.
func TestPointsInDoubt(t *testing.T) {
	for name, c := range map[string]struct {
		beside    []string // cells of another column
		separator byte
		stated    decimalSign
		cells     [][2]string
	}{
		"commas between cells":              {nil, ',', 0, [][2]string{{"1.234", "1.234"}}},
		"semicolons":                        {nil, ';', 0, [][2]string{{"1.234", ""}}},
		"semicolons, a point for certain":   {nil, ';', 0, [][2]string{{"1.234", "1.234"}, {"12.5", "12.5"}}},
		"semicolons, a nought before it":    {nil, ';', 0, [][2]string{{"1.234", "1.234"}, {"0.250", "0.250"}}},
		"semicolons, commas part thousands": {[]string{"1,234,567"}, ';', 0, [][2]string{{"1.234", "1.234"}}},
		"decimal commas beside":             {[]string{"12,5"}, '\t', 0, [][2]string{{"1.234", ""}}},
		"points between thousands beside":   {[]string{"1.234.567"}, ',', 0, [][2]string{{"1.234", ""}}},
		"commas beside, a point of its own": {[]string{"12,5"}, ';', 0, [][2]string{{"1.234", "1.234"}, {"1.25", "1.25"}}},
		"comma stated":                      {nil, ',', decimalComma, [][2]string{{"1.234", "1234"}, {"1,234", "1.234"}, {"1,5", "1.5"}}},
		"point stated":                      {[]string{"12,5"}, ';', decimalPoint, [][2]string{{"1.234", "1.234"}, {"1,234", "1234"}}},
		"comma stated, a point for certain": {nil, ';', decimalComma, [][2]string{{"1.234", ""}, {"1,234", ""}, {"12.5", "12.5"}}},
		"point stated, a comma for certain": {nil, ';', decimalPoint, [][2]string{{"1.234", ""}, {"12,5", "12.5"}}},
	} {
		columns := make([]numberSigns, 2)
		for _, pair := range c.cells {
			columns[0].note(pair[0], false)
		}
		for _, cell := range c.beside {
			columns[1].note(cell, false)
		}
		doubtPoints(columns, numberSigns{}, c.separator, c.stated)
		for _, pair := range c.cells {
			n, ok := writtenAs(pair[0])
			require.True(t, ok)
			require.Equal(t, pair[1], columns[0].read(n), "%s: %q", name, pair[0])
		}
	}
}

// TestCommasByAnotherColumn holds what decides the commas of a text with semicolons, and what does not.
func TestCommasByAnotherColumn(t *testing.T) {
	of := func(cells ...string) (s numberSigns) {
		for _, cell := range cells {
			s.note(cell, false)
		}
		return s
	}
	for name, c := range map[string]struct {
		columns   []numberSigns
		separator byte
		stated    decimalSign
		want      string
	}{
		"another has decimal commas":                  {[]numberSigns{of("1,460"), of("12,5")}, ';', 0, "1.460"},
		"none has any":                                {[]numberSigns{of("1,460"), of("125")}, ';', 0, ""},
		"another has a decimal point":                 {[]numberSigns{of("1,460"), of("12,5"), of("1.5")}, ';', 0, ""},
		"commas part thousands elsewhere":             {[]numberSigns{of("1,460"), of("12,5"), of("1,234,567")}, ';', 0, ""},
		"commas stand between the cells":              {[]numberSigns{of("1,460"), of("12,5")}, ',', 0, ""},
		"the project file says that it is a point":    {[]numberSigns{of("1,460"), of("12,5")}, ';', decimalPoint, "1460"},
		"the project file says that it is so as well": {[]numberSigns{of("1,460"), of("12,5")}, ';', decimalComma, "1.460"},
	} {
		t.Run(name, func(t *testing.T) {
			doubtPoints(c.columns, numberSigns{}, c.separator, c.stated)
			n, _ := writtenAs("1,460")
			require.Equal(t, c.want, c.columns[0].read(n))
			require.Equal(t, name == "another has decimal commas", c.columns[0].commasTaken("Length", audit.Table{File: "a.csv"}) != "")
		})
	}
}
