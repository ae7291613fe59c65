package remedy_test

import (
	"context"
	"slices"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// A check that can judge a string of structure 3 by itself, and no more once structure 4 is held in tension and cuts the section, does not
// bear out the job there: a shortfall takes the work back, an advisory is named, and what nobody could judge before
// is as it was.
func TestWhatTheWorkLeavesUnjudgedIsNotMended(t *testing.T) {
	for name, c := range map[string]struct {
		of         audit.SubjectKind
		severity   audit.Severity
		before     bool // it can judge before the work
		isMended   bool
		saysMended bool // in its steps
	}{
		"a shortfall":             {audit.OfAssembly, audit.Shortfall, true, false, false},
		"an advisory":             {audit.OfAssembly, audit.Advisory, true, true, true},
		"a note":                  {audit.OfAssembly, audit.Note, true, true, false},
		"not judged before":       {audit.OfAssembly, audit.Shortfall, false, true, false},
		"an advisory, nor before": {audit.OfAssembly, audit.Advisory, false, true, false},
		"not of the string":       {audit.OfPlace, audit.Shortfall, true, true, false},
	} {
		t.Run(name, func(t *testing.T) {
			p := cutByWork(t)
			n, err := audit.Arrange(p)
			require.NoError(t, err)
			require.NoError(t, audit.Derive(context.Background(), n, 1))
			whole := n.Structure(0, 2).RulingAheadM
			invented := *checks.ByID("creepage")
			invented.ID, invented.Of, invented.Severity, invented.Sizes, invented.Headroom = "known-section", c.of, c.severity, false, false
			invented.Reads = 0 // it reads the section too
			invented.Trusts, invented.Concerns, invented.AskedBy, invented.Needs = nil, nil, nil, nil
			invented.Judge = func(s *audit.Subject, _ *audit.Trace) audit.Verdict {
				if s.Structure.Index == 2 && (!c.before || s.Structure.RulingAheadM != whole) {
					return audit.CannotTell(audit.GroundUnknown)
				}
				return audit.AtLeast(1, 1, "mm")
			}
			r, err := audit.Assess(context.Background(), n, append(checks.All(), &invented), audit.Options{})
			require.NoError(t, err)
			jobs, err := remedy.Search(context.Background(), r, remedy.Options{})
			require.NoError(t, err)
			require.Len(t, jobs, 2)
			require.Equal(t, remedy.OtherDuty, jobs[1].Remedies[0].Move)
			require.Equal(t, c.isMended, len(jobs[0].Remedies) == 1, "%v", jobs[0].Trace)
			if !c.isMended {
				require.Contains(t, jobs[0].StoppedBy[0].Sentence, "known-section of 10 × U120B cannot be judged: ")
			}
			require.Empty(t, jobs[0].NeededBy)
			require.Equal(t, c.severity != audit.Note, slices.Contains(openChecks(r, &jobs[0]), "known-section"))
			if c.saysMended {
				require.Contains(t, jobs[0].Trace[len(jobs[0].Trace)-1], "known-section cannot be judged any more: ")
			}
		})
	}
}

// cutByWork is the sample with a string too short at structure 3, and suspension at the turn, where tension is asked for.
func cutByWork(t *testing.T) *audit.Project {
	p := sample(t)
	stocked(p, 10, "U120B")
	rowsAt(p, "3")[0].UnitsPerString = 8
	for i, row := range rowsAt(p, "4") {
		if row.Duty, row.Side = audit.Suspension, audit.NoSide; i > 2 {
			row.Duty, row.Phases, row.Makeup = audit.EarthWire, audit.EveryPhase, 0
		}
	}
	return p
}

// A job that only names a section which stays too long says nothing of what could not be judged there before either, and no other work is
// taken back for it.
func TestWhatNobodyCouldJudgeRefutesNoJob(t *testing.T) {
	p := cutByWork(t)
	p.Lines[0].SectionLimitKM = 0.1
	_, jobs := searched(t, p)
	require.Len(t, jobs, 3)
	require.Empty(t, jobs[0].Remedies)
	require.Equal(t, remedy.MoreUnits, jobs[1].Remedies[0].Move)
	require.Equal(t, remedy.OtherDuty, jobs[2].Remedies[0].Move)
}
