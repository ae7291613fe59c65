package remedy_test

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// A tension set bears a broken conductor by the structure, which is not what the check asks: no duty is changed for it, and where no string
// serves the job says so.
func TestABrokenConductorChangesNoDuty(t *testing.T) {
	p := sample(t)
	loaded(p, 30)
	p.Criteria.BrokenConductor = audit.BrokenConductor{Share: audit.ByDuty{Suspension: 0.7}, Factor: audit.ByDuty{Suspension: 50}, Case: p.Criteria.LoadCases[0].Name, Basis: "own rule"}
	r, jobs := searched(t, p)
	asked := false
	for i := range r.Exceptions {
		asked = asked || r.Checks[r.Exceptions[i].Check].ID == "broken-conductor"
	}
	require.True(t, asked, "it falls short somewhere")
	for _, job := range jobs {
		for _, x := range job.Remedies {
			require.Equal(t, x.Duty, x.To.Duty)
		}
	}
}

// Nor does it where a fitting is what is too weak for it: what stops a job is told of suspension strings, not of tension sets that nobody asks for.
func TestAFittingBesideABrokenConductorChangesNoDuty(t *testing.T) {
	p := sample(t)
	loaded(p, 30)
	p.Criteria.InsulatorFactor.Fitting = 2.5
	p.Criteria.BrokenConductor = audit.BrokenConductor{Share: audit.ByDuty{Suspension: 0.7}, Factor: audit.ByDuty{Suspension: 1.8}, Fitting: 50, Case: p.Criteria.LoadCases[0].Name, Basis: "own rule"}
	for _, row := range rowsAt(p, "3") {
		fittedAt(p, row, audit.Ratings{70, 70, 70})
	}
	r, jobs := searched(t, p)
	stopped := 0
	for _, job := range jobs {
		require.Empty(t, job.Remedies)
		for _, s := range job.StoppedBy {
			stopped++
			require.Equal(t, audit.Suspension, s.Duty)
			require.Equal(t, "fitting-broken-conductor", r.Checks[s.Check].ID)
		}
	}
	require.Positive(t, stopped)
}
