package remedy_test

import (
	"context"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// A check that panics on trial costs its own verdicts: the job stands, names them as open, and the error is told.
func TestACheckThatFailsOnTrial(t *testing.T) {
	p := sample(t)
	rowsAt(p, "3")[0].UnitsPerString = 8
	failing := *checks.ByID("creepage")
	failing.ID, failing.Sizes, failing.Headroom = "fails-on-trial", false, false
	judge := failing.Judge
	failing.Judge = func(s *audit.Subject, t *audit.Trace) audit.Verdict {
		if s.Trial {
			panic("on trial")
		}
		return judge(s, t).As(audit.Advisory)
	}
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 1))
	r, err := audit.Assess(context.Background(), n, append(checks.All(), &failing), audit.Options{})
	require.NoError(t, err)
	jobs, err := remedy.Search(context.Background(), r, remedy.Options{})
	require.NoError(t, err)
	require.Len(t, jobs, 1)
	require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 2}}, jobs[0].Remedies[0].Fit)
	require.Contains(t, jobs[0].Open, remedy.Open{Check: len(r.Checks) - 1, Circuit: p.Symbols.Number("1"), Exception: -1, Reason: audit.CheckFailed})
	found := r.ErrorsOfOutputs()
	require.Positive(t, found.Count)
	require.Contains(t, found.List[0].Cause, "on trial")
	require.Equal(t, "a remedy", found.List[0].Trial)
}
