package checks

import (
	"math"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// TestUpliftWithinTerrainAccuracy: spans of 300 m and C = 3000 m make g close to 10 each way (computed: 300 m of C over L), so that an error of
// 1 m here alone makes σ = 20 m, and of all three √(10² + 20² + 10²) = 24.5 m; the weight span is −49.6 m with attachments at 120, 100, 115.
func TestUpliftWithinTerrainAccuracy(t *testing.T) {
	for _, c := range []struct {
		name              string
		accuracyM         float64
		back, here, ahead bool
		heightM           float64
		outcome           audit.Outcome
		severity          audit.Severity
		reason            audit.Reason
	}{
		{"levels stated", 2, false, false, false, 100, audit.FallsShort, audit.Shortfall, audit.NoReason},
		{"accuracy not stated", math.NaN(), true, true, true, 100, audit.FallsShort, audit.Shortfall, audit.NoReason},
		{"beyond two standard errors", 1, true, true, true, 100, audit.FallsShort, audit.Shortfall, audit.NoReason},                // 2σ = 48.9 < 49.6
		{"within two standard errors", 1.05, true, true, true, 100, audit.FallsShort, audit.Advisory, audit.WithinTerrainAccuracy}, // 51.4
		{"of a neighbour alone", 2, true, false, false, 100, audit.FallsShort, audit.Shortfall, audit.NoReason},                    // 40
		{"of a neighbour, coarse", 2.6, false, false, true, 100, audit.FallsShort, audit.Advisory, audit.WithinTerrainAccuracy},    // 52
		{"meets within", 1.05, true, true, true, 104, audit.Meets, audit.Shortfall, audit.WithinTerrainAccuracy},                   // W = 30
	} {
		t.Run(c.name, func(t *testing.T) {
			s := tensionAtUplift.Method.Example.Subject()
			st := s.Structure
			st.HeightM = c.heightM
			cold, reason := s.Cold()
			require.Equal(t, audit.NoReason, reason)
			st.WeightSpanColdM = cold.WeightSpanM
			st.TerrainBack, st.TerrainAhead = c.back, c.ahead
			if c.here {
				st.Terrain = 1
			}
			if !math.IsNaN(c.accuracyM) {
				criteria := *s.Criteria
				criteria.TerrainAccuracyM = audit.Stated(c.accuracyM)
				s.Criteria = &criteria
			}
			var trace audit.Trace
			v := tensionAtUplift.Judge(s, &trace)
			require.Equal(t, c.outcome, v.Outcome)
			if c.outcome == audit.FallsShort {
				require.Equal(t, c.severity, v.Severity)
			}
			if c.reason != audit.NoReason {
				require.Equal(t, c.reason, v.Reason)
			} else {
				require.NotEqual(t, audit.WithinTerrainAccuracy, v.Reason)
			}
		})
	}
}
