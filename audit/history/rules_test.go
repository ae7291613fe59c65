package history

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// Every criterion is one that may change what some check says, but for those that only choose among remedies and order them.
func TestCriteriaTouchRules(t *testing.T) {
	touching := func(key string) bool {
		return touches(key, "creepage") || touches(key, "puncture-margin") || touches(key, "near-worse-zone") || touches(key, "sound-units")
	}
	var idle []string
	for _, k := range audit.AllCriteria() {
		if !touching(k.Key) {
			idle = append(idle, k.Key)
		}
	}
	require.ElementsMatch(t, []string{"remedy", "priority"}, idle)
}
