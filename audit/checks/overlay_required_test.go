package checks_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/checks"

	"github.com/stretchr/testify/require"
)

// turning is the base with a turn of about 4° at structure 6, whose conductors hang on insulators of a duty.
func turning(t *testing.T, duty audit.Duty) *base {
	b := newBase(t)
	switch duty {
	case audit.Pin:
		b.pinAt(6, duty, basis.Pin)
	case audit.Post:
		b.pinAt(6, duty, basis.Post)
	case audit.Shackle:
		b.pinAt(6, duty, basis.Shackle)
	}
	for i := 6; i < 9; i++ {
		b.Structures.Row(i).Lat += 0.0002 * float64(i-5)
	}
	b.Lines[0].DeviationLimitDeg, b.Criteria.DeviationLimitDeg = math.NaN(), audit.Stated(90) // of strings, which must not matter to posts
	return b
}

// What a structure requires and what the schedule says agree with what the check says of what hangs there: below, at and above
// the limit, and where it cannot be told.
func TestWhatIsRequiredIsWhatTheChecksAsk(t *testing.T) {
	derived := func(b *base) *audit.Network {
		n, err := audit.Arrange(b.Project)
		require.NoError(t, err)
		require.NoError(t, audit.Derive(context.Background(), n, 1))
		return n
	}
	bare := derived(turning(t, audit.Suspension)).Structure(0, 5)
	deviation := math.Abs(bare.DeviationDeg)
	require.Greater(t, deviation, 3.0)
	for _, duty := range []audit.Duty{audit.Suspension, audit.Pin, audit.Post, audit.Shackle} {
		free := duty // what is required where tension is not
		if duty == audit.Shackle {
			free = audit.Suspension
		}
		onPins := duty == audit.Pin || duty == audit.Post
		limit := func(deg float64) func(b *base) {
			return func(b *base) {
				if onPins {
					b.Criteria.PinDeviationLimitDeg = audit.Stated(deg)
				} else {
					b.Criteria.DeviationLimitDeg = audit.Stated(deg)
				}
			}
		}
		for _, o := range []struct {
			name    string
			change  func(b *base)
			verdict string
			want    audit.Duty
		}{
			{"a limit of 5°", limit(5), "meets", free},
			{"a limit that is the deviation", limit(deviation), "meets", free},
			{"a limit of 3°", limit(3), "falls short", audit.Tension},
			{"a limit of the structure", func(b *base) { b.Structures.Row(5).DeviationLimitDeg = 3 }, "falls short", audit.Tension},
			{"a limit that cannot be read", func(b *base) { limit(5)(b); b.Structures.Row(5).Faulty |= 1 << audit.CellDeviationLimit }, "not assessed", audit.DutyUnknown},
			{"a role of the structure beside that cannot be read", func(b *base) { limit(5)(b); b.Structures.Row(4).Faulty |= 1 << audit.CellRole }, "not assessed", audit.DutyUnknown},
		} {
			t.Run(duty.String()+", "+o.name, func(t *testing.T) {
				b := turning(t, duty)
				o.change(b)
				require.True(t, strings.HasPrefix(at(6, b.told("tension-at-deviation"))[0], "6 A "+o.verdict))
				n := derived(b)
				structure := n.Structure(0, 5)
				got, reason := n.Requires(&structure)
				require.Equal(t, o.want, got)
				require.Equal(t, o.want == audit.DutyUnknown, reason != audit.NoReason)
				schedule := n.Schedule(0, checks.All())
				require.Equal(t, o.want, schedule.Requirements[5].Duty)
			})
		}
	}
	t.Run("a post without a limit", func(t *testing.T) {
		n := derived(turning(t, audit.Post))
		structure := n.Structure(0, 5)
		got, reason := n.Requires(&structure)
		require.Equal(t, audit.DutyUnknown, got)
		require.Equal(t, audit.PinLimitNotStated, reason)
	})
	t.Run("a post whose limit is kept and a row of unreadable duty", func(t *testing.T) {
		b := turning(t, audit.Post)
		b.Criteria.PinDeviationLimitDeg, b.Criteria.DeviationLimitDeg = audit.Stated(5), audit.Stated(2)
		row := b.rows(6)[0]
		row.Duty, row.Faulty = audit.DutyUnknown, row.Faulty.With(audit.CellDuty)
		n := derived(b)
		structure := n.Structure(0, 5)
		got, reason := n.Requires(&structure)
		require.Equal(t, audit.DutyUnknown, got, "it may be a suspension string")
		require.Equal(t, audit.FaultyField, reason)
		for _, limitDeg := range []float64{3, 5} {
			n.Project.Criteria.DeviationLimitDeg, n.Project.Criteria.PinDeviationLimitDeg = audit.Stated(limitDeg), audit.Stated(limitDeg)
			structure := n.Structure(0, 5)
			got, _ := n.Requires(&structure)
			require.Equal(t, map[float64]audit.Duty{3: audit.Tension, 5: audit.Suspension}[limitDeg], got, "whatever hangs there")
		}
	})
}
