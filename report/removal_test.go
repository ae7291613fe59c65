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
	said := func() string {
		whole := wholeOf(fixtureResult(t), x)
		return removalInWords(x, &whole)
	}
	require.Equal(t, "nothing", said())
	x.Changes[0].CountUnknown, x.Changes[0].RowsContradict = true, true
	require.Equal(t, "of phase A not known", said())
	x.Remove = []remedy.Count{{Unit: "U", Count: 3}}
	require.Equal(t, "3 × U, of phase A not known", said())
	require.Contains(t, changesInWords(x)[0], lookWhichRow)
	require.Equal(t, 3, openStateOf(&remedy.Open{Exception: -1, RowsContradict: true}))
}
