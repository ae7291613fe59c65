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

// A V set beside single strings is named as one, and what hangs where is told of each.
func TestWhatHangsWhereIsTold(t *testing.T) {
	single := remedy.Set{Duty: audit.Suspension, Arrangement: audit.Single, Unit: "U", UnitsPerString: 9, Strings: 1}
	v := remedy.Set{Duty: audit.Suspension, Arrangement: audit.VSet, Unit: "U", UnitsPerString: 9, Strings: 2, VAngleDeg: 88.25}
	phases := func(text string) audit.Phases {
		of, ok := audit.ParsePhases(text)
		require.True(t, ok)
		return of
	}
	x := &remedy.Remedy{To: single, Changes: []remedy.Change{
		{To: single, Phases: phases("A"), Move: remedy.OtherUnit}, {To: v, Phases: phases("B"), Move: remedy.OtherUnit}, {To: single, Phases: phases("C"), Move: remedy.OtherUnit}}}
	require.Equal(t, []string{"phases A,C: 9 × U (another unit)", "phase B: 2 strings of 9 × U, a V set of 88.25° (another unit)"}, changesInWords(x))
	all, each := setRecords(x)
	require.Nil(t, all)
	require.Equal(t, setOfPhases{"B", []string{}, setRecord{"suspension", "V", "U", 9, 2, 88.25}}, each[1])

	x.Changes = x.Changes[1:2]
	all, each = setRecords(x)
	require.Equal(t, &setRecord{"suspension", "V", "U", 9, 2, 88.25}, all)
	require.Empty(t, each)
	x.Changes[0].To.VAngleDeg = 0
	require.Equal(t, "phase B: 2 strings of 9 × U, a V set (another unit)", changesInWords(x)[0])
}
