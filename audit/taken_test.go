package audit

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestTakingsComeApart: a remark that tells of what is taken too is found in it again, so that it counts as that remark does.
func TestTakingsComeApart(t *testing.T) {
	told := map[Reason]bool{}
	for _, beside := range besideTaken {
		require.Equal(t, beside, beside.Taking(0))
		for set := Taken(1); set <= takenSets; set++ {
			r := beside.Taking(set)
			require.False(t, told[r])
			told[r] = true
			gotBeside, gotSet := r.apart()
			require.Equal(t, beside, gotBeside)
			require.Equal(t, set, gotSet)
			require.Equal(t, beside == WithinTerrainAccuracy || beside == OutcomeWithinTerrainAccuracy, r.restsOnLevels())
		}
	}
	require.Len(t, told, int(takingReasons))
	require.Equal(t, WithinPrintedTables, WithinPrintedTables.Taking(OneDatumTaken))
}
