package checks_test

import (
	"math"
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

// Several strings are rated each, and what is asked for of rings and of a watch list is said as it is.
func TestWordsOfSeveralStringsRingsAndLists(t *testing.T) {
	check, s := example(t, "strength")
	s.Assembly.Strings, s.Assembly.Arrangement, s.Assembly.Direct.RatingKN = 2, audit.Parallel, 7
	require.Regexp(t, `^2 strings of .* are rated 7 kN each; `, check.Run(s, nil).Sentence)
	check, s = example(t, "grading-rings")
	s.Assembly.Rings, s.Criteria.GradingRings = audit.NoRings, audit.GradingRings{{FromKV: 100, Ends: audit.LiveEnd}}
	require.Contains(t, check.Run(s, nil).Sentence, "the project asks for one at the live end from 100 kV on")
	check, s = example(t, "on-watch-list")
	require.True(t, math.IsNaN(check.Run(s, nil).Margin))
}
