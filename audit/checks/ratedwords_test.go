package checks_test

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// A rating that came in pounds stands in sentences with two decimals, and one in whole kN with none.
func TestRatingsInWords(t *testing.T) {
	check, s := example(t, "fitting-strength")
	for f := range s.Assembly.Direct.FittingsKN {
		s.Assembly.Direct.FittingsKN[f] = 6.67233242289075
	}
	v := check.Run(s, nil)
	require.Equal(t, audit.FallsShort, v.Outcome)
	require.Contains(t, v.Sentence, "is rated 6.67 kN")
	check, s = example(t, "strength")
	require.Contains(t, check.Run(s, nil).Sentence, " kN")
	require.NotContains(t, check.Run(s, nil).Sentence, ".00 kN")
}
