package report

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// The sections that a line requires are the same by the schedule and without one.
func TestSectionsOfLinesByTheSchedule(t *testing.T) {
	r := judged(t, demo(t))
	schedules, err := r.Schedules(t.Context())
	require.NoError(t, err)
	required := 0
	for l := range r.Network.Lines {
		require.Len(t, schedules[l].Requirements, r.Network.Lines[l].End-r.Network.Lines[l].First)
		by := sectionsOf(r, l, &schedules[l])
		require.Equal(t, sectionsOf(r, l, new(audit.Schedule)), by)
		required += by.required
	}
	require.Greater(t, required, len(r.Network.Lines))
}
