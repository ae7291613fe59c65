package checks

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// A verdict on unlike units of which some are defective says that it is the worst case, but not where all are.
func TestWorstOfUnlikeUnits(t *testing.T) {
	unlike := &audit.Makeup{Parts: []audit.Part{{Unit: 0, Count: 1}, {Unit: 1, Count: 9}}}
	a := &audit.Assembly{Makeup: unlike, UnitsPerString: 10, Defective: 1}
	require.Contains(t, worstOfUnlike(a), "worst case")
	a.Defective = 10
	require.Empty(t, worstOfUnlike(a))
	a.Defective, a.Makeup = 1, &audit.Makeup{Parts: unlike.Parts[:1]}
	require.Empty(t, worstOfUnlike(a))
}
