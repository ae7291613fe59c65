package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A column under a carried heading that a table cannot have as it is comes with the run before under the heading that it got there: it is ours.
func TestFittedHeadingsAreOurs(t *testing.T) {
	r := fixtureResult(t)
	long := strings.Repeat("x", 300)
	r.Project.Carried.Names = []string{"Line\nkeeper", long}
	s := &Stock{}
	s.Found([]FilledColumn{{exceptionsSheet, "Line keeper", 20, 3}, {workSheet, long[:254] + "…", 21, 3}, {workSheet, "Crew", 22, 3}}, nil)
	s.dropOwn(r, alone)
	require.Len(t, s.Dropped(), 2)
	require.Contains(t, s.Dropped()[0], `column "Crew" of sheet Work`)
}
