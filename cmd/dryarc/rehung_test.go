package main

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestAnotherStringLosesNothing: what a row stated of its string is lost where it is blank later, unless another string hangs there: of other units or
// installed since. Of one with another count of the same units, horns are lost all the same, and not an arcing distance
// that is no shorter than the string, which is of the string itself.
func TestAnotherStringLosesNothing(t *testing.T) {
	t.Parallel()
	const (
		lightning = "lightning-withstand"
		lost      = ": known before, and blank or not to be read now"
	)
	for name, c := range map[string]struct{ check, first, then, says string }{
		"horns, one unit more":              {lightning, "U120B,9,900,,,", "U120B,10,,,,", "not assessed: Arcing" + lost},
		"no horns, more units":              {lightning, "U120B,6,876,,,", "U120B,10,,,,", "meets: "},
		"horns, stated anew":                {lightning, "U120B,9,900,,,", "U120B,10,1400,,,", "meets: "},
		"horns, other units":                {lightning, "U120B,9,900,,,", "U160BS,10,,,,", "meets: "},
		"horns, installed since":            {lightning, "U120B,9,900,,,", "U120B,9,,,,2026-11-02", "meets: "},
		"tested value, installed since":     {lightning, "U120B,9,,600,,", "U120B,9,,,,2026-11-02", "meets: "},
		"tested value, installed before":    {lightning, "U120B,9,,600,,", "U120B,9,,,,2026-10-31", "not assessed: Lightning withstand" + lost},
		"tested value, installed that day":  {lightning, "U120B,9,,600,,", "U120B,9,,,,2026-11-01", "not assessed: Lightning withstand" + lost},
		"tested value, installed later":     {lightning, "U120B,9,,600,,", "U120B,9,,,,2026-11-03", "not assessed: Lightning withstand" + lost},
		"defective units, installed since":  {"sound-units", "U120B,9,,,4,", "U120B,9,,,,2026-11-02", "does not apply: no defective unit"},
		"defective units, installed before": {"sound-units", "U120B,9,,,4,", "U120B,9,,,,2026-10-31", "not assessed: Defective units: blank now"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			n := newLevelNights(t)
			hangs := func(string3 string) {
				n.put("assemblies.csv", "Line,Structure,Phase,Duty,Side,Strings,Unit,Units per string,Arcing (mm),Lightning withstand (kV),Defective units,Installed\n"+
					"L1,1,A,tension,ahead,1,U120B,10,,,,\nL1,2,A,suspension,,1,U120B,10,,,,\nL1,3,A,suspension,,1,"+string3+"\n"+
					"L1,4,A,suspension,,1,U120B,10,,,,\nL1,5,A,tension,back,1,U120B,10,,,,\n")
			}
			night := func(day int) string {
				code, stderr, said := n.night(day, "", "100", "101", "102", "103", "104")
				require.Equal(t, exitDone, code, stderr)
				return said.of(c.check)
			}
			hangs(c.first)
			require.Equal(t, "new", night(1))
			hangs(c.then)
			require.Contains(t, night(2), c.says)
			require.Contains(t, night(2), c.says, "repeated")
		})
	}
}

// TestNoBetterByABound: five discs of the table and then two of a larger disc that it has not, of which no more is known than an upper bound that is
// above what the five withstand, are no better; one more of the same disc, which falls short by less, is.
func TestNoBetterByABound(t *testing.T) {
	t.Parallel()
	for then, says := range map[string]string{"F,2": "standing", "P,6": "better", "P,4": "worse"} {
		t.Run(then, func(t *testing.T) {
			t.Parallel()
			n := newLevelNights(t)
			night := func(day int, string3 string) string {
				n.put("assemblies.csv", "Line,Structure,Phase,Duty,Strings,Unit,Units per string\nL1,3,A,suspension,1,"+string3+"\n")
				code, stderr, said := n.night(day, "", "100", "101", "102", "103", "104")
				require.Equal(t, exitDone, code, stderr)
				return said.of("lightning-withstand")
			}
			require.Equal(t, "new", night(1, "P,5"))
			require.Equal(t, says, night(2, then))
		})
	}
}
