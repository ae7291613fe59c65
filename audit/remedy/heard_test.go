package remedy_test

import (
	"context"
	"fmt"
	"path/filepath"
	"sync/atomic"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// withoutReads are the checks as if none said on what of a structure it rests, so that each is put to every structure anew.
func withoutReads() []*audit.Check {
	all := checks.All()
	for i := range all {
		check := *all[i]
		check.Reads = 0
		all[i] = &check
	}
	return all
}

// What is heard along a line of one assembly is what is found of each, and so is what structures of one site are found to need.
func TestHeardAlongALineIsWhatIsFoundOfEach(t *testing.T) {
	assess := func(t require.TestingT, n *audit.Network, checks []*audit.Check) *audit.Result {
		r, err := audit.Assess(context.Background(), n, checks, audit.Options{Version: "test", AsOf: "2026-01-01", Workers: 2})
		require.NoError(t, err)
		return r
	}
	inWords := func(v any) string { return fmt.Sprintf("%+v", v) } // figures that are not known too
	scheduled := func(n *audit.Network, line int, checks []*audit.Check) (words []string) {
		s := n.Schedule(line, checks)
		for i := range s.Requirements {
			q, governs := s.Requirements[i], ""
			if q.Governs != nil {
				q.Governs, governs = nil, q.Governs.ID
			}
			words = append(words, inWords(q)+governs)
		}
		return words
	}
	same := func(t require.TestingT, n *audit.Network) {
		want, got := assess(t, n, withoutReads()), assess(t, n, checks.All())
		require.Equal(t, inWords(want.Exceptions), inWords(got.Exceptions))
		require.Equal(t, inWords(want.Coverage), inWords(got.Coverage))
		require.Equal(t, inWords(want.Run.Assumptions), inWords(got.Run.Assumptions))
		for l := range want.Lines {
			require.Equal(t, inWords(want.Lines[l].Coverage), inWords(got.Lines[l].Coverage))
			require.Equal(t, want.Lines[l].OneClassWorse, got.Lines[l].OneClassWorse)
			require.Equal(t, scheduled(n, l, withoutReads()), scheduled(n, l, checks.All()))
		}
	}
	t.Run("demo", func(t *testing.T) {
		same(t, audited(t, readProject(t, filepath.Join("..", "..", "testdata", "demo", "audit.yaml"))).Network)
	})
	t.Run("random", func(t *testing.T) {
		rapid.Check(t, func(t *rapid.T) {
			p := randomProject(t)
			if often(t, "creepage by altitude", 50) {
				p.Criteria.CreepageAltitudeExponent = audit.Stated(0.5)
			}
			for i := range p.Structures.Len() {
				if often(t, "elsewhere", 30) {
					p.Structures.Row(i).GroundM = choose(t, "ground", 100.0, 800, 1500, 2600)
				}
			}
			same(t, audited(t, p).Network)
		})
	})
}

// A check that says on what of a structure it rests judges assemblies along a line that are alike in that once.
func TestAssembliesAlongALineAreHeardOnce(t *testing.T) {
	n := audited(t, readProject(t, filepath.Join("..", "..", "testdata", "demo", "audit.yaml"))).Network
	judged := func(all []*audit.Check) (count int64) {
		for _, check := range all {
			judge := check.Judge
			check.Judge = func(s *audit.Subject, t *audit.Trace) audit.Verdict {
				atomic.AddInt64(&count, 1)
				return judge(s, t)
			}
		}
		_, err := audit.Assess(context.Background(), n, all, audit.Options{Version: "test", AsOf: "2026-01-01", Workers: 2})
		require.NoError(t, err)
		return count
	}
	all := checks.All()
	for i := range all {
		check := *all[i]
		all[i] = &check
	}
	require.Less(t, judged(all), judged(withoutReads())*9/10)
}
