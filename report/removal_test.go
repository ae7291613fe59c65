package report

import (
	"testing"

	"dryarc/audit"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

func TestWhatIsRemovedIsNotNothingWhereNobodyKnows(t *testing.T) {
	phase, ok := audit.ParsePhases("A")
	require.True(t, ok)
	x := &remedy.Remedy{To: remedy.Set{Unit: "U", UnitsPerString: 8}, Changes: []remedy.Change{{Phases: phase, Move: remedy.NewUnits}}}
	require.Equal(t, "nothing", removalInWords(x))
	x.Changes[0].CountUnknown, x.Changes[0].RowsContradict = true, true
	require.Equal(t, "of phase A not known", removalInWords(x))
	x.Remove = []remedy.Count{{Unit: "U", Count: 3}}
	require.Equal(t, "3 × U, of phase A not known", removalInWords(x))
	require.Contains(t, changesInWords(x)[0], lookWhichRow)
	require.Equal(t, 3, openStateOf(&remedy.Open{Exception: -1, RowsContradict: true}))
}
