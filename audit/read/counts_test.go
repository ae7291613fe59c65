package read

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Numbers of units whose heading does not say of what they are, are those of one string; that is listed, unless the project file says it.
func TestNumbersOfUnitsTakenForThoseOfAString(t *testing.T) {
	for name, c := range map[string]struct {
		heading string
		mapped  bool
		taken   bool
	}{
		"own":                    {"Units per string", false, false},
		"says so":                {"Discs per string", false, false},
		"does not":               {"No. of discs", false, true},
		"by the project file":    {"Disc count", true, false},
		"by it, a known one too": {"No. of discs", true, false},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			for i, heading := range b.assemblies[0] {
				if heading == "Units per string" {
					b.assemblies[0][i] = c.heading
				}
			}
			if c.mapped {
				b.project = strings.Replace(b.project, "register.xlsx}", "register.xlsx, columns: {Assemblies: {Units per string: "+c.heading+"}}}", 1)
			}
			p := b.mustRead(t)
			if !c.taken {
				require.Empty(t, p.CountsTaken)
				return
			}
			require.Equal(t, []string{`The numbers under "No. of discs" in register.xlsx!Assemblies are taken for the units of one string, since the heading does not say so; units counted over all strings or phases would be too many.`}, p.CountsTaken)
		})
	}
}
