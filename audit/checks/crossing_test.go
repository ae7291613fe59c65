package checks

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// A long span is told by its own length: of a tension assembly the span on its side, whatever the other one is.
func TestALongSpanIsToldByItsOwnLength(t *testing.T) {
	for side, want := range map[audit.Side]string{audit.Back: "is 900 m long", audit.Ahead: "is 1000 m long"} {
		structure := structureOf(audit.Angle, 20)
		long := audit.Asked{Kinds: []string{audit.LongSpanKind}, Double: audit.LongSpanKind}
		structure.SpanBackM, structure.SpanAheadM, structure.Back, structure.Ahead = 900, 1000, long, long
		s := suspensionAt(structure)
		s.Criteria.LongSpanM = audit.Stated(800)
		s.Assembly.Duty, s.Assembly.Side = audit.Tension, side
		v := doubleAtCrossing.Run(s, nil)
		require.Equal(t, audit.FallsShort, v.Outcome)
		require.Contains(t, v.Sentence, want)
	}
}

func TestALongSpanCrossesNothing(t *testing.T) {
	structure := structureOf(audit.Tangent, 0)
	structure.Ahead = audit.Asked{Kinds: []string{audit.LongSpanKind}, Tension: audit.LongSpanKind}
	s := suspensionAt(structure)
	s.Criteria.LongSpanM = audit.Stated(250)
	var trace audit.Trace
	v := tensionAtCrossing.Run(s, &trace)
	require.Equal(t, audit.FallsShort, v.Outcome)
	require.Contains(t, v.Sentence, "at a long span")
	require.NotContains(t, v.Sentence, "crosses")
}
