package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// What falls short in one load case by all that is stated does so whatever the tension of another is; what is not known to fall short anywhere is
// not assessed.
func TestSwingByTheLoadCasesThatAreKnown(t *testing.T) {
	for _, id := range []string{"swing", "v-set-clearance"} {
		check, s := example(t, id)
		short := check.Run(s, nil)
		require.Equal(t, audit.FallsShort, short.Outcome, id)
		s.Criteria.LoadCases = append([]audit.LoadCase{{Name: "calm", From: audit.EverydayTension, Factor: 1, TemperatureC: audit.NotStated()}}, s.Criteria.LoadCases...)
		s.Line.Row.EverydayTensionKN = math.NaN()
		require.Equal(t, short, check.Run(s, nil), id)
		s.Criteria.LoadCases[1].WindPa = 1
		require.Equal(t, audit.NotAssessed, check.Run(s, nil).Outcome, id)
		s.Criteria.LoadCases = s.Criteria.LoadCases[1:]
		require.Equal(t, audit.Meets, check.Run(s, nil).Outcome, id)
	}
}
