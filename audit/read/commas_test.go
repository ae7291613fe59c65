package read

import (
	"testing"

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
		"throughout":           {[]any{"1,5", "2,250", "3"}, []float64{1500, 2250, 3000}, nil},
		"with real numbers":    {[]any{"1,5", 2}, []float64{1500, 2000}, nil},
		"thousands or decimal": {[]any{"1,500", "2,250"}, nil, []string{`not-a-number register.xlsx!Assemblies!F2: length "1,500" is not a number`, `not-a-number register.xlsx!Assemblies!F3: length "2,250" is not a number`}},
		"mixed":                {[]any{"1,5", "2.5"}, []float64{2500}, []string{`not-a-number register.xlsx!Assemblies!F2: length "1,5" is not a number`}},
		"beside a word":        {[]any{"1,5", "short"}, []float64{1500}, []string{`not-a-number register.xlsx!Assemblies!F3: length "short" is not a number`}},
		"another minus":        {[]any{"\u22121.5"}, nil, []string{`out-of-range register.xlsx!Assemblies!F2: length "` + "\u2212" + `1.5" is out of range, expected 0.01 to 30 m`}},
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
