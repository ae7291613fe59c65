package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A datum of one row is lost from day to day, and found again: what was found on the first day, of phase A at structure 3 and reported done
// on that day, keeps its first day and its decision until somebody can judge it.
func TestADatumLostAndFound(t *testing.T) {
	t.Parallel()
	const (
		short = "L0,3,1,A,suspension,U120B,8,,\n"
		still = "standing 2026-03-01, still there though reported done"
	)
	for name, days := range map[string][][2]string{ // rows of a day, and what is said of it
		"units":          {{"L0,3,1,A,suspension,U120B,?,,\n", "not assessed 2026-03-02, not assessed"}, {"L0,3,1,A,suspension,U120B,?,,\n", "not assessed 2026-03-02, not assessed"}, {short, still}},
		"units, mended":  {{"L0,3,1,A,suspension,U120B,?,,\n", "not assessed 2026-03-02, not assessed"}, {"L0,3,1,A,suspension,U120B,14,,\n", "meets 2026-03-02, settled"}, {short, "new 2026-03-04, still there though reported done"}},
		"units, then no": {{"L0,3,1,A,suspension,U120B,?,,\n", "not assessed 2026-03-02, not assessed"}, {"L0,3,1,B,suspension,U120B,14,,\n", "gone 2026-03-02, settled"}},
		"row":            {{"L0,3,1,B,suspension,U120B,14,,\n", "gone, settled"}},
		"all rows":       {{"", "not assessed 2026-03-02, not assessed"}, {short, still}},
		"phase":          {{"L0,3,1,,suspension,U120B,8,,\n", still}, {"L0,3,1,,suspension,U120B,8,,\n", still}, {short, still}},
		"phase, mended":  {{"L0,3,1,,suspension,U120B,14,,\n", "meets, settled"}},
		"circuit":        {{"L0,3,,A,suspension,U120B,8,,\n", still}, {"L0,3,,A,suspension,U120B,8,,\n", still}},
		"phase and units": {{"L0,3,1,,suspension,U120B,?,,\n", "not assessed 2026-03-02, not assessed"}, {"L0,3,1,,suspension,U120B,8,,\n", still},
			{"L0,3,1,?!,suspension,U120B,8,,\n", still}, {short, still}},
		"phase of two rows": {{"L0,3,1,,suspension,U120B,14,,\nL0,3,,,suspension,U70BL,14,,\n", "not assessed 2026-03-02, not assessed"}, {short, still}},
		"defective": {{"L0,3,1,A,suspension,U120B,14,,\n", "not assessed 2026-03-02, not assessed"}, {"L0,3,1,A,suspension,U120B,14,,\n", "not assessed 2026-03-02, not assessed"},
			{"L0,3,1,A,suspension,U120B,14,0,\n", "does not apply 2026-03-02, settled"}},
		"defective, mended": {{"L0,3,1,A,suspension,U120B,14,0,\n", "does not apply, settled"}},
		"side":              {{"L0,3,1,A,suspension,U120B,8,,back\n", still}},
	} {
		t.Run(name, func(t *testing.T) {
			check := "creepage"
			if strings.HasPrefix(name, "defective") {
				check = "sound-units"
			}
			y := yearOfOneLine(t)
			y.lines[0].towers[2].units = [3]int{}
			y.write()
			text := y.get("Assemblies.csv")
			audited := func(day int, rows string) lostAndFound {
				register := strings.ReplaceAll(text, ",14\n", ",14,,\n")
				y.put("Assemblies.csv", strings.Replace(register, "Units per string\n", "Units per string,Defective units,Side\n", 1)+rows)
				return y.auditBy(check, day)
			}
			was := short
			if name == "circuit" {
				was = strings.Replace(short, ",3,1,", ",3,2,", 1)
			}
			if strings.HasPrefix(name, "defective") {
				was = strings.Replace(short, ",8,,", ",14,6,", 1)
			}
			y.reportDone(audited(1, was))
			audited(1, was)
			for k, day := range days {
				said := audited(k+2, day[0])
				require.Equal(t, day[1], said.inWords(), "%s: %q", y.asOf, day[0])
				require.Equal(t, said, audited(k+2, day[0]), "repeated")
			}
		})
	}
}
