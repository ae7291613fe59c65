package remedy_test

import (
	"context"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// Suspension strings get longer in class d, and tension strings that have the creepage for it have to be no shorter: that work has no
// exception of its own, stands before the other, and each names the other.
func TestWorkThatOtherWorkNeeds(t *testing.T) {
	p := sample(t)
	p.Criteria.DefaultClass = basis.ClassD
	stocked(p, 10, "U120B")
	direct := audit.UnknownDirectValues()
	direct.CreepageMM = 4000
	p.Direct = append(p.Direct, direct)
	for i := range p.Assemblies.Len() {
		if p.Assemblies.Row(i).Duty != audit.Suspension {
			p.Assemblies.Row(i).Direct = uint32(len(p.Direct))
		}
	}
	r := audited(t, p)
	jobs, err := remedy.Search(context.Background(), r, remedy.Options{Workers: 1})
	require.NoError(t, err)
	place := map[int]int{}
	ranks := remedy.Order(r, jobs)
	for i := range ranks {
		place[jobs[ranks[i].Job].Structure] = i
	}
	keeping := 0
	for i := range jobs {
		j := &jobs[i]
		if len(j.Exceptions) > 0 {
			require.Empty(t, j.NeededBy)
			require.NotEmpty(t, j.Needs)
			require.Contains(t, remedy.NeedsInWords(r, j), "only together with the work at ")
			continue
		}
		keeping++
		require.NotEmpty(t, j.NeededBy)
		for _, other := range j.NeededBy {
			require.Less(t, place[j.Structure], place[other])
		}
		rank := ranks[place[j.Structure]]
		require.Equal(t, audit.Shortfall, rank.Severity)
		require.Equal(t, ranks[place[j.NeededBy[0]]].Danger, rank.Danger)
		require.Contains(t, remedy.NeededByInWords(r, j), "and to be done before it")
	}
	require.Positive(t, keeping)
}
