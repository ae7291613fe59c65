package main

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A criterion that changed asks for what was never stated: nothing was lost.
func TestRuleThatAsksForMoreLosesNothing(t *testing.T) {
	t.Parallel()
	y := yearOfOneLine(t)
	y.write()
	project := y.get("audit.yaml")
	watching := func(day int, list string) lostAndFound {
		y.put("audit.yaml", strings.Replace(project, "criteria: {", "criteria: {watch_list: ["+list+"], ", 1))
		return y.auditBy("on-watch-list", day)
	}
	require.NotEmpty(t, watching(1, "{unit: U120B, note: cracks}").Exceptions)
	require.NotEmpty(t, watching(2, "{unit: U120B, make: Harrow, note: cracks}").Cleared)
	require.Contains(t, y.get("out/audit.json"), `"nothing_lost":true`)
}
