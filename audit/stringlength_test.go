package audit

import (
	"math"
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// What a Length of ten units of 146 mm has of fittings in it, what it becomes with two units less, and what insulates on a line without
// fittings and on one with them.
func TestLengthsOfAString(t *testing.T) {
	nan := math.NaN()
	for name, c := range map[string]struct {
		statedMM, spacingMM        float64
		faulty                     Cells
		fittingsMM, shorterMM      float64
		insulatingMM, withFittings float64
	}{
		"none stated":                     {nan, 146, 0, 0, nan, 1460, 1460},
		"that of the units":               {1460, 146, 0, 0, 1168, 1460, 1460},
		"2 % beyond it":                   {1489, 146, 0, 0, 1191.2, 1460, 1460},
		"more":                            {1500, 146, 0, 40, 1208, 1460, 1460},
		"less":                            {1400, 146, 0, nan, 1120, nan, nan},
		"not readable":                    {nan, 146, Cells(0).With(CellLength), nan, nan, nan, nan},
		"of units whose spacing is blank": {1500, nan, 0, nan, nan, 1500, nan},
		"neither stated nor known":        {nan, nan, 0, 0, nan, nan, nan},
	} {
		t.Run(name, func(t *testing.T) {
			unit := basis.UnknownUnit()
			unit.SpacingMM = c.spacingMM
			a := Assembly{UnitsPerString: 10, Direct: UnknownDirectValues(), Faulty: c.faulty}
			a.SetMakeup(&Makeup{Parts: []Part{{Unit: 0}}}, []basis.Unit{unit})
			a.Direct.LengthMM = c.statedMM
			line := Line{Row: UnknownLineRow()}
			with := line
			with.Row.FittingsMM = 100
			for _, of := range []struct {
				what       string
				want, have float64
			}{{"fittings", c.fittingsMM, a.FittingsMM()}, {"two units less", c.shorterMM, a.LengthWith(-2 * unit.SpacingMM)},
				{"insulating", c.insulatingMM, a.InsulatingMM(&line)}, {"insulating, on a line with fittings", c.withFittings, a.InsulatingMM(&with)}} {
				require.Equal(t, math.IsNaN(of.want), math.IsNaN(of.have), "%s: %g", of.what, of.have)
				if !math.IsNaN(of.want) {
					require.InDelta(t, of.want, of.have, 1e-9, of.what)
				}
			}
		})
	}
}
