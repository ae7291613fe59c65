package checks_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// with returns all checks, one of them changed.
func with(id string, change func(c *audit.Check)) []*audit.Check {
	list := checks.All()
	i := slices.IndexFunc(list, func(c *audit.Check) bool { return c.ID == id })
	changed := *list[i]
	change(&changed)
	list[i] = &changed
	return list
}

// panicWhere makes a check panic on some subjects.
func panicWhere(where func(s *audit.Subject, t *audit.Trace) bool) func(c *audit.Check) {
	return func(c *audit.Check) {
		c.Reads = 0 // where it panics rests on which structure it is
		judge := c.Judge
		c.Judge = func(s *audit.Subject, t *audit.Trace) audit.Verdict {
			if where(s, t) {
				panic("ill-judged")
			}
			return judge(s, t)
		}
	}
}

// shortened is the base with a short string on every phase of structure 3.
func shortened(t *testing.T) *audit.Network {
	b := newBase(t)
	for _, row := range b.rows(3) {
		row.UnitsPerString = 6
	}
	n, err := audit.Arrange(b.Project)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 1))
	return n
}

func assess(t *testing.T, n *audit.Network, list []*audit.Check) *audit.Result {
	r, err := audit.Assess(context.Background(), n, list, audit.Options{Version: "test", AsOf: "2026-01-01", Workers: 2})
	require.NoError(t, err)
	return r
}

// on tells the string of one phase of a structure.
func on(n *audit.Network, structure, phase string) func(s *audit.Subject) bool {
	return func(s *audit.Subject) bool {
		return n.Project.Texts.Get(s.Structure.Number) == structure && s.Assembly.Phase != 0 && s.Name(s.Assembly.Phase) == phase
	}
}

// A check that panics on one string, in whatever part of it, costs that verdict and no other, and coverage counts it.
func TestACheckThatPanicsCostsOneVerdict(t *testing.T) {
	n := shortened(t)
	hit := on(n, "3", "B")
	want := assess(t, n, checks.All())
	for name, list := range map[string][]*audit.Check{
		"judging": with("creepage", panicWhere(func(s *audit.Subject, _ *audit.Trace) bool { return hit(s) && !s.Trial })),
		"concerns": with("creepage", func(c *audit.Check) {
			concerns := c.Concerns
			c.Concerns = func(s *audit.Subject) audit.Reason {
				if hit(s) && !s.Trial {
					panic("ill-judged")
				}
				return concerns(s)
			}
		}),
	} {
		t.Run(name, func(t *testing.T) {
			got := assess(t, n, list)
			gone := ""
			remaining := keys(got)
			for _, key := range keys(want) {
				if !slices.Contains(remaining, key) {
					gone += key
				}
			}
			require.Equal(t, "creepage 3 B", strings.SplitN(gone, ":", 2)[0])
			require.Len(t, remaining, len(want.Exceptions)-1)
			for i, check := range list {
				was, is := want.Coverage[i], got.Coverage[i]
				if check.ID == "creepage" {
					require.Equal(t, was.FallsShort-1, is.FallsShort)
					require.Equal(t, was.NotAssessed+1, is.NotAssessed)
					require.Contains(t, is.Reasons, audit.ReasonCount{Outcome: audit.NotAssessed, Reason: audit.CheckFailed, Count: 1})
					is.FallsShort, is.NotAssessed = was.FallsShort, was.NotAssessed
					is.Reasons = slices.DeleteFunc(slices.Clone(is.Reasons), func(c audit.ReasonCount) bool { return c.Reason == audit.CheckFailed })
				}
				require.Equal(t, fmt.Sprint(was), fmt.Sprint(is), check.ID)
			}
			require.Equal(t, want.Lines[0].OneClassWorse, got.Lines[0].OneClassWorse)
			failed, err := got.CheckErrors(context.Background())
			require.NoError(t, err)
			require.Equal(t, 1, failed.Count)
			e := failed.List[0]
			require.Equal(t, "creepage", list[e.Check].ID)
			require.Equal(t, "3", n.Number(e.Structure))
			require.Equal(t, "B", n.Project.Symbols.Text(e.Phase))
			require.Empty(t, e.Trial)
			require.Regexp(t, `^ill-judged \(checkerror_test\.go:\d+\)$`, e.Cause)
		})
	}
}

// keys are the exceptions of a result, place and sentence.
func keys(r *audit.Result) (found []string) {
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		place := ""
		if e.Structure >= 0 {
			place = r.Network.Number(e.Structure)
		}
		found = append(found, fmt.Sprintf("%s %s %s: %s %v", r.Checks[e.Check].ID, place, e.Phases(r.Project), e.Verdict.Sentence, e.Verdict.Severity))
	}
	return found
}

// Every subject of every check may fail: nothing is judged then, and all of it is accounted for.
func TestChecksThatAlwaysPanic(t *testing.T) {
	n := shortened(t)
	list := checks.All()
	subjects := 0
	want := assess(t, n, list)
	for i, check := range list {
		failing := *check
		failing.Concerns = func(*audit.Subject) audit.Reason { var none []int; return audit.Reason(none[i]) }
		list[i] = &failing
	}
	got := assess(t, n, list)
	require.Empty(t, got.Exceptions)
	for i, c := range got.Coverage {
		was := want.Coverage[i]
		require.Equal(t, was.Meets+was.FallsShort+was.NotApplicable+was.NotAssessed, c.NotAssessed, list[i].ID)
		require.Equal(t, []audit.ReasonCount{{Outcome: audit.NotAssessed, Reason: audit.CheckFailed, Count: c.NotAssessed}}, c.Reasons)
		subjects += c.NotAssessed
	}
	failed, err := got.CheckErrors(context.Background())
	require.NoError(t, err)
	require.Greater(t, failed.Count, subjects, "the trials of the schedule are told too")
	require.Regexp(t, `^runtime error: index out of range \[\d+\] with length 0 \(checkerror_test\.go:\d+\)$`, failed.List[0].Cause)
}

// Where a sizing check fails, no other may decide how many units a structure needs.
func TestAScheduleWithoutACheckThatPanicsSaysNothing(t *testing.T) {
	n := shortened(t)
	for name, fails := range map[string]func(s *audit.Subject) bool{
		"at once":            func(s *audit.Subject) bool { return true },
		"at a length":        func(s *audit.Subject) bool { return s.Assembly.UnitsPerString > 1 },
		"when it would do":   func(s *audit.Subject) bool { return s.Assembly.CreepageMM > 2328 },
		"one unit too short": func(s *audit.Subject) bool { return s.Assembly.UnitsPerString == 7 },
	} {
		t.Run(name, func(t *testing.T) {
			list := with("creepage", panicWhere(func(s *audit.Subject, _ *audit.Trace) bool {
				return s.Trial && n.Project.Texts.Get(s.Structure.Number) == "4" && fails(s)
			}))
			r := assess(t, n, list)
			schedules, err := r.Schedules(context.Background())
			require.NoError(t, err)
			whole, err := assess(t, n, checks.All()).Schedules(context.Background())
			require.NoError(t, err)
			failed, err := r.CheckErrors(context.Background())
			require.NoError(t, err)
			told := 0
			for _, e := range failed.List {
				if e.Trial == "the schedule" {
					told++
				}
			}
			for i := range schedules[0].Requirements {
				got, want := schedules[0].Requirements[i], whole[0].Requirements[i]
				require.Positive(t, want.Units)
				if i != 3 {
					require.Equal(t, want.Units, got.Units)
					require.Equal(t, want.Governs.ID, got.Governs.ID)
					continue
				}
				require.Equal(t, 1, told)
				require.Zero(t, got.Units)
				require.Nil(t, got.Governs)
			}
		})
	}
}

// A trial in the next worse class that fails is told, and the verdict itself stands.
func TestOneClassWorseSurvivesAPanic(t *testing.T) {
	n := shortened(t)
	hit := on(n, "4", "A")
	list := with("creepage", panicWhere(func(s *audit.Subject, _ *audit.Trace) bool {
		return s.Trial && s.Structure.Class == basis.ClassC && hit(s)
	}))
	got, want := assess(t, n, list), assess(t, n, checks.All())
	require.Equal(t, keys(want), keys(got))
	require.Equal(t, fmt.Sprint(want.Coverage), fmt.Sprint(got.Coverage))
	failed, err := got.CheckErrors(context.Background())
	require.NoError(t, err)
	require.Equal(t, 1, failed.Count)
	require.Equal(t, "the class one worse", failed.List[0].Trial)
}

// An explanation shows the other derivations whole, and which check failed.
func TestExplainSurvivesAPanic(t *testing.T) {
	n := shortened(t)
	hit := on(n, "3", "B")
	got := audit.Explain(n, with("creepage", panicWhere(func(s *audit.Subject, _ *audit.Trace) bool { return hit(s) })), 0, 2)
	want := audit.Explain(n, checks.All(), 0, 2)
	require.Len(t, got, len(want))
	failures := 0
	for i := range got {
		if got[i].Failed == "" {
			require.Equal(t, fmt.Sprint(want[i].Verdict, want[i].Trace), fmt.Sprint(got[i].Verdict, got[i].Trace))
			continue
		}
		failures++
		require.Equal(t, "creepage", got[i].Check.ID)
		require.Equal(t, audit.CannotTell(audit.CheckFailed).Reason, got[i].Verdict.Reason)
		require.Contains(t, got[i].Failed, "ill-judged")
	}
	require.Equal(t, 1, failures)
}
