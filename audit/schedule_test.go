package audit

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// sizing is a check for a requirement of 2000 mm of creepage.
func sizing() *Check {
	return &Check{
		ID: "sizing", Title: "t", Remedy: "r", Basis: []basis.Clause{basis.CommonPractice}, Sizes: true, Headroom: true,
		Method: Method{Formula: "f", Limits: "l", Example: Example{Subject: func() Subject { return Subject{} }}},
		Judge:  func(s *Subject, _ *Trace) Verdict { return AtLeast(s.Assembly.CreepageMM, 2000, "mm") },
	}
}

func assessed(t *testing.T, workers int, lines ...string) *Result {
	t.Helper()
	n, err := Arrange(invented(t, 900))
	require.NoError(t, err)
	require.NoError(t, Derive(context.Background(), n, workers))
	r, err := Assess(context.Background(), n, []*Check{sizing()}, Options{Workers: workers, Lines: lines})
	require.NoError(t, err)
	return r
}

// Discs of 295 mm: 7 of them reach 2000 mm.
func TestScheduleSizesEveryStructureOfTheAssessedLines(t *testing.T) {
	r := assessed(t, 2, "line 1")
	schedules, err := r.Schedules(context.Background())
	require.NoError(t, err)
	require.Len(t, schedules, 3)
	for l := range schedules {
		if !r.Lines[l].Assessed {
			require.Empty(t, schedules[l].Requirements)
			continue
		}
		require.Equal(t, "disc", schedules[l].Unit.Name)
		require.False(t, schedules[l].UnitAssumed)
		require.True(t, schedules[l].LevelAssumed)
		require.Len(t, schedules[l].Requirements, 300)
		for i := range schedules[l].Requirements {
			q := &schedules[l].Requirements[i]
			require.EqualValues(t, 7, q.Units)
			require.Equal(t, 2000.0, q.CreepageMM)
			require.Same(t, r.Checks[0], q.Governs)
			require.True(t, math.IsNaN(schedules[l].LengthMM(q)), "the spacing of the unit is unknown")
		}
	}
	require.LessOrEqual(t, reflect.TypeFor[Requirement]().Size(), uintptr(64))
}

func TestScheduleIsFoundOnceAndTheSameForAnyWorkers(t *testing.T) {
	one, err := assessed(t, 1).Schedules(context.Background())
	require.NoError(t, err)
	r := assessed(t, 4)
	several, err := r.Schedules(context.Background())
	require.NoError(t, err)
	for l := range one {
		require.Len(t, several[l].Requirements, len(one[l].Requirements))
		for i := range one[l].Requirements {
			a, b := one[l].Requirements[i], several[l].Requirements[i]
			require.Equal(t, [3]any{a.Units, a.Duty, a.CreepageMM}, [3]any{b.Units, b.Duty, b.CreepageMM})
		}
	}
	again, err := r.Schedules(context.Background())
	require.NoError(t, err)
	require.Same(t, &several[0], &again[0])
}

func TestScheduleStopsWithItsContext(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	stop()
	_, err := assessed(t, 1).Schedules(ctx)
	require.ErrorIs(t, err, context.Canceled)
}

// A level that cannot be read is not taken for one that nobody states: how many units it asks for is not known.
func TestScheduleAssumesNoLevelWhereOneCannotBeRead(t *testing.T) {
	for name, c := range map[string]struct {
		umKV, lightningKV float64
		cells             Cells
		assumed, counted  bool
	}{
		"none stated":                     {145, math.NaN(), 0, true, true},
		"lightning level unreadable":      {145, math.NaN(), Cells(0).With(CellTested), false, false},
		"switching level that is not due": {145, 650, Cells(0).With(CellTested), false, true},
		"switching level unreadable":      {420, 1425, Cells(0).With(CellTested), false, false},
	} {
		p := invented(t, 30)
		for i := range p.Lines {
			p.Lines[i].HighestKV, p.Lines[i].LightningKV, p.Lines[i].Faulty = c.umKV, c.lightningKV, c.cells
		}
		n, err := Arrange(p)
		require.NoError(t, err, name)
		require.NoError(t, Derive(context.Background(), n, 1), name)
		s := n.Schedule(0, []*Check{sizing()})
		require.Equal(t, c.assumed, s.LevelAssumed, name)
		require.NotEmpty(t, s.Requirements, name)
		for i := range s.Requirements {
			require.Equal(t, c.counted, s.Requirements[i].Units > 0, name)
			require.Equal(t, c.counted, s.Requirements[i].Governs != nil, name)
			require.Equal(t, 2000.0, s.Requirements[i].CreepageMM, name)
		}
	}
}

// Of structures that nobody asks for nothing is found, and of the others the same as of all.
func TestScheduleOnlyOfWhatIsAskedFor(t *testing.T) {
	whole, err := assessed(t, 2, "line 1", "line 2").Schedules(context.Background())
	require.NoError(t, err)
	r := assessed(t, 2, "line 1", "line 2")
	wanted := func(structure int) bool { return structure%7 == 3 }
	r.ScheduleOnly(wanted)
	some, err := r.Schedules(context.Background())
	require.NoError(t, err)
	found := 0
	for l := range whole {
		line := &r.Network.Lines[l]
		for i := range line.End - line.First {
			of := some[l].Of(i)
			if !wanted(line.First+i) || !r.Lines[l].Assessed {
				require.Nil(t, of)
				continue
			}
			require.NotNil(t, of)
			want, got := *whole[l].Of(i), *of
			require.Equal(t, want.Governs.ID, got.Governs.ID)
			want.Governs, got.Governs = nil, nil // each run has its own
			require.Equal(t, fmt.Sprintf("%+v", want), fmt.Sprintf("%+v", got))
			found++
		}
	}
	require.Greater(t, found, 50)
}
