package checks_test

import (
	"math"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// Where the line goes on beyond the extract, what its next span crosses is not known: that is not the same as nothing.
func TestCrossingsBeyondTheExtract(t *testing.T) {
	for _, id := range []string{"tension-at-crossing", "double-at-crossing"} {
		check, s := example(t, id)
		s.Structure.Back, s.Structure.Ahead = audit.Asked{}, audit.Asked{}
		require.Equal(t, audit.NoCrossing, check.Run(s, nil).Reason, id)
		s.Structure.Continues, s.Structure.SpanAheadM = true, math.NaN()
		v := check.Run(s, nil)
		require.Equal(t, audit.NotAssessed, v.Outcome, id)
		require.Equal(t, audit.BeyondExtract, v.Reason, id)
		// A tension assembly of the side that is known holds nothing of the other.
		s.Assembly.Duty, s.Assembly.Side = audit.Tension, audit.Back
		require.Equal(t, audit.NotApplicable, check.Run(s, nil).Outcome, id)
		s.Assembly.Side = audit.Ahead
		require.Equal(t, audit.BeyondExtract, check.Run(s, nil).Reason, id)
	}
}
