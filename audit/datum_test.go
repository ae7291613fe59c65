package audit

import (
	"context"
	"slices"
	"sync"
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// What the coverage of a line tells without asking again is what asking again tells: where a check keeps back all of a line, nothing, and some of it.
func TestHeldByAReasonIsWhatIsFoundAnew(t *testing.T) {
	heldWhere := func(id string, held func(s *Subject) bool) *Check {
		return &Check{
			ID: id, Title: "t", Remedy: "r", Of: OfAssembly, Basis: []basis.Clause{basis.CommonPractice},
			Method: Method{Formula: "f", Limits: "l", Example: Example{Subject: func() Subject { return Subject{} }}},
			Judge: func(s *Subject, _ *Trace) Verdict {
				if held(s) {
					return CannotTell(RatingUnknown)
				}
				return AtLeast(2, 1, "mm")
			},
		}
	}
	p := invented(t, 900)
	for i := range p.Assemblies.Len() { // one in five names a unit that nobody knows
		if i%5 == 0 {
			p.Assemblies.Row(i).Faulty = p.Assemblies.Row(i).Faulty.With(CellUnit)
		}
	}
	n, err := Arrange(p)
	require.NoError(t, err)
	require.NoError(t, Derive(context.Background(), n, 2))
	r, err := Assess(context.Background(), n, []*Check{
		heldWhere("all-of-a-line", func(s *Subject) bool { return s.Structure.Line == 0 }),
		heldWhere("some-of-a-line", func(s *Subject) bool { return s.Structure.Line == 1 && s.Structure.Index%2 == 0 }),
		heldWhere("of-other-lines", func(s *Subject) bool { return s.Structure.Line > 0 }),
		heldWhere("none", func(*Subject) bool { return false }),
	}, Options{Workers: 2})
	require.NoError(t, err)
	type one struct{ line, structure, check, row int }
	var guard sync.Mutex
	sorted := func(found []one) []one {
		slices.SortFunc(found, func(a, b one) int {
			return slices.Compare([]int{a.line, a.structure, a.check, a.row}, []int{b.line, b.structure, b.check, b.row})
		})
		return found
	}
	var quick, anew []one
	require.NoError(t, r.eachHeldBy(context.Background(), RatingUnknown, keptBack{1, 1, 1, 0}, func(line, structure, check int, a *Assembly) {
		guard.Lock()
		defer guard.Unlock()
		quick = append(quick, one{line, structure, check, a.Row})
	}))
	require.NoError(t, r.eachHeld(context.Background(), func(check int) bool { return check < 3 }, func(_ int, _ *Structure, a *Assembly) bool { return !a.Faulty.Has(CellUnit) },
		func(line, structure, check int, a *Assembly, _ Reason) {
			guard.Lock()
			defer guard.Unlock()
			anew = append(anew, one{line, structure, check, a.Row})
		}))
	require.Greater(t, len(quick), 900)
	require.Equal(t, sorted(anew), sorted(quick))
}
