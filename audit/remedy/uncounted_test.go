package remedy_test

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// Where all comes down, the types are named of which nobody knows how many hang there.
func TestTypesOfUnknownNumberAreNamed(t *testing.T) {
	p := sample(t)
	at := rowsAt(p, "3")
	at[0].UnitsPerString = 8
	at[1].UnitsPerString, at[1].Faulty = -1, at[1].Faulty.With(audit.CellUnitsPerString)
	stocked(p, 10, "U120BP")
	_, jobs := searched(t, p)
	require.Len(t, jobs, 1)
	require.Len(t, jobs[0].Remedies, 1)
	named := map[string][]string{}
	for _, c := range jobs[0].Remedies[0].Changes {
		named[c.Phases.String()] = c.Uncounted
	}
	require.Equal(t, map[string][]string{"A": nil, "B": {"U120B"}, "C": nil}, named)
}
