package report

import (
	"testing"

	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// Where units may be more than they are counted, the fewest that they may be are said, and the counts stay as they are.
func TestLeastOfCounts(t *testing.T) {
	counts := []remedy.Count{{Unit: "U120B", Count: 41}, {Unit: "U160BL", Count: 3}, {Unit: "U70BL", Count: 2}}
	fewer := []remedy.Count{{Unit: "U120B", Count: 4}, {Unit: "U70BL", Count: 2}}
	require.Equal(t, "37 × U120B, 3 × U160BL, 0 × U70BL", countsInWords(leastOf(counts, fewer)))
	require.Equal(t, 41, counts[0].Count)
}
