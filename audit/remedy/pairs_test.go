package remedy_test

import (
	"context"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// A pair of like rows without sides is two sets: units are fitted to both, and both rows of the register are changed.
func TestPairsAreTwoSets(t *testing.T) {
	p := sample(t)
	for i := range p.Assemblies.Len() {
		p.Assemblies.Row(i).Side = audit.NoSide
	}
	for _, row := range rowsAt(p, "4") {
		if row.Duty == audit.Tension {
			row.UnitsPerString = 8
		}
	}
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.Zero(t, p.Faults.Total())
	require.NoError(t, audit.Derive(context.Background(), n, 1))
	r, err := audit.Assess(context.Background(), n, checks.All(), audit.Options{})
	require.NoError(t, err)
	jobs, err := remedy.Search(context.Background(), r, remedy.Options{})
	require.NoError(t, err)
	require.Len(t, jobs, 1)
	require.Len(t, jobs[0].Remedies, 1)
	require.Equal(t, []remedy.Count{{Unit: "U120B", Count: 2 * 2 * 3}}, jobs[0].Remedies[0].Fit, "2 units to each of 2 sets of 3 phases")
	after := remedy.Apply(p, jobs)
	require.Len(t, rowsAt(after, "4"), len(rowsAt(p, "4")), "the second set is not lost")
	for _, row := range rowsAt(after, "4") {
		require.Equal(t, int16(10), row.UnitsPerString)
	}
	again := audited(t, after)
	require.Empty(t, again.Exceptions)
	paired := 0
	for _, row := range again.Network.AssemblyRows(3) {
		if again.Network.IsPair(int(row)) {
			paired++
		}
	}
	require.Equal(t, 3, paired, "each phase is a pair as before")
}
