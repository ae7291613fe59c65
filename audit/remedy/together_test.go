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

// Of jobs that need each other none is said to come first; of the others it is said.
func TestWordsOfJobsThatNeedEachOther(t *testing.T) {
	r := audited(t, sample(t))
	for name, c := range map[string]struct {
		job             *remedy.Job
		needed, needing string
	}{
		"before another":          {remedy.WithRing(remedy.Job{NeededBy: []int{1}}, false), "to be done before the work at 2, which does not serve without it", ""},
		"keeping up":              {remedy.WithRing(remedy.Job{NeededBy: []int{1}}, true), "to keep up with the work at 2, and to be done before it", ""},
		"after another":           {remedy.WithRing(remedy.Job{Needs: []int{1}}, false), "", "only together with the work at 2, which comes first"},
		"in a ring":               {remedy.WithRing(remedy.Job{NeededBy: []int{1}, Needs: []int{1, 2}}, false, 1, 2), "", "only together with the work at 2, 3, of which none comes first"},
		"keeping up in a ring":    {remedy.WithRing(remedy.Job{NeededBy: []int{1}, Needs: []int{1}}, true, 1), "to keep up with the work at 2", "only together with the work at 2, of which none comes first"},
		"in a ring between":       {remedy.WithRing(remedy.Job{NeededBy: []int{1, 3}, Needs: []int{0, 1}}, false, 1), "to be done before the work at 4, which does not serve without it", "only together with the work at 1, which comes first, and with that at 2, of which none comes first"},
		"keeping up, and between": {remedy.WithRing(remedy.Job{NeededBy: []int{1, 3}, Needs: []int{0, 1}}, true, 1), "to keep up with the work at 2, 4, and to be done before that at 4", "only together with the work at 1, which comes first, and with that at 2, of which none comes first"},
	} {
		require.Equal(t, c.needed, remedy.NeededByInWords(r, c.job), name)
		require.Equal(t, c.needing, remedy.NeedsInWords(r, c.job), name)
	}
}
