package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The row of a phase loses what says where it hangs, from the second night to the third, beside an earth wire that names neither circuit nor
// phase: the earth wire answers for nothing of it, and only a row that is not there any more clears anything.
func TestARowIsLostBesideAnEarthWire(t *testing.T) {
	t.Parallel()
	const (
		first   = "L0,3,1,A,suspension,U120B,14\nL0,3,1,B,suspension,U120B,14\nL0,3,1,C,suspension,U120B,14\n"
		both    = first + "L0,3,2,A,suspension,U120B,14\nL0,3,2,B,suspension,U120B,14\n"
		earth   = "L0,3,,,earth wire,U120B,1\n"
		short   = "L0,3,2,C,suspension,U120B,8\n"
		all     = "L0,3,,,suspension,U120B,8\n" // of the circuit
		meet    = "L0,3,1,A,suspension,U120B,14\nL0,3,1,B,suspension,U120B,14\n"
		lostAll = "creepage  not assessed a row of the register that cannot be read or placed may be it"
		c14     = "L0,3,1,C,suspension,U120B,14\n"
		c8      = "L0,3,1,C,suspension,U120B,8\n"
		twice   = c14 + c8
		stays   = "creepage C standing 2026-11-01"
		lost    = "creepage C not assessed a row of the register that cannot be read or placed may be it"
	)
	for _, c := range []struct {
		name   string
		nights []string // rows of structure 3
		says   [][]string
	}{
		{"line", []string{both + short + earth, both + earth + ",3,2,C,suspension,U120B,8\n", both + short + earth}, [][]string{{lost}, {stays}}},
		{"structure", []string{both + short + earth, both + earth + "L0,,2,C,suspension,U120B,8\n", both + short + earth}, [][]string{{lost}, {stays}}},
		{"structure not known", []string{both + short + earth, both + earth + "L0,?,2,C,suspension,U120B,8\n", both + short + earth}, [][]string{{lost}, {stays}}},
		{"circuit", []string{both + short + earth, both + earth + "L0,3,,C,suspension,U120B,8\n", both + short + earth}, [][]string{{stays}, {stays}}},
		{"circuit not known", []string{both + short + earth, both + earth + "L0,3,?,C,suspension,U120B,8\n", both + short + earth}, [][]string{{stays}, {stays}}},
		{"circuit not known of one that meets", []string{both + short + earth, both + earth + "L0,3,?,C,suspension,U120B,14\n", both + short + earth},
			[][]string{{"creepage C not assessed which of the rows there it is cannot be told"}, {stays}}},
		{"circuit not known, then mended", []string{both + short + earth, both + earth + "L0,3,?,C,suspension,U120B,8\n", both + earth + "L0,3,2,C,suspension,U120B,14\n"},
			[][]string{{stays}, {"creepage C meets now 4130"}}},
		{"row", []string{both + short + earth, both + earth}, [][]string{{"creepage C gone nothing of that circuit, phase and side is registered there", "phase-missing C new"}}},
		{"row of a whole circuit", []string{all + earth, earth}, [][]string{{"creepage  gone nothing of that circuit, phase and side is registered there", "phase-missing A,B,C new", "nothing-registered  new"}}},
		{"phase of a row of a whole circuit, another without a place", []string{all, meet + "L0,?,1,C,suspension,U120B,8\n"}, [][]string{{lostAll}}},
		{"one phase of a whole circuit, another without a place", []string{all, "L0,3,1,A,suspension,U120B,14\nL0,?,1,C,suspension,U120B,8\n"}, [][]string{{lostAll}}},
		{"phases of a whole circuit but one", []string{all, meet}, [][]string{{"creepage  not assessed it was of all phases or of any side", "phase-missing C new"}}},
		{"phases of a whole circuit, all", []string{all, first}, [][]string{{"creepage  meets now 4130"}}},
		{"structure of the worse of two rows of one phase", []string{meet + twice, meet + c14 + "L0,,1,C,suspension,U120B,8\n", meet + twice}, [][]string{{lost}, {stays}}},
		{"structure not known of the worse of two rows of one phase", []string{meet + twice, meet + c14 + "L0,?,1,C,suspension,U120B,8\n", meet + c14}, [][]string{{lost}, {"creepage C meets now 4130"}}},
		{"structure of either of two rows of one phase", []string{meet + twice, meet + "L0,?,1,C,suspension,U120B,14\n" + c8, meet + c14 + "L0,?,1,C,suspension,U120B,8\n"}, [][]string{{stays}, {lost}}},
		{"phase of the worse of two rows of one phase", []string{meet + twice, meet + c14 + "L0,3,1,?,suspension,U120B,8\n"}, [][]string{{"creepage  standing 2026-11-01"}}},
		{"worse of two rows of one phase", []string{meet + twice, meet + c14}, [][]string{{"creepage C meets now 4130"}}},
		{"structure not known of the worse of two rows of one phase, another twice", []string{meet + twice, meet + c14 + c14 + "L0,?,1,C,suspension,U120B,8\n"}, [][]string{{lost}}},
		{"duty of a row that names its phase", []string{both + short + earth, both + earth + "L0,3,2,C,earth wire,U120B,8\n"},
			[][]string{{"creepage C does not apply", "phase-missing C new"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			y := yearOfOneLine(t)
			for k, rows := range c.nights {
				y.write()
				for file, edit := range map[string][2]string{"Assemblies.csv": {first, rows}, "Lines.csv": {"L0,1,", "L0,2,"}} {
					if file == "Lines.csv" && !strings.Contains(c.nights[0], both) {
						continue
					}
					y.edit(file, edit[0], edit[1])
				}
				y.asOf = "2026-11-0" + string(rune('1'+k))
				got := y.saidOf("3")
				if k == 0 {
					require.Len(t, got, 1)
					continue
				}
				require.Len(t, got, len(c.says[k-1]), "%s: %q", y.asOf, got)
				for _, want := range c.says[k-1] {
					require.True(t, strings.Contains("\n"+strings.Join(got, "\n"), "\n"+want), "%s: %q of %q", y.asOf, want, got)
				}
			}
		})
	}
}
