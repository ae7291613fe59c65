package remedy_test

import (
	"testing"

	"dryarc/audit"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// Units that come beside those that were inspected date the row by the day of the audit: an inspection of before is not of them.
func TestUnitsAddedDateAnInspectedRow(t *testing.T) {
	p := sample(t)
	p.AsOf = audit.DayOf("2026-01-01")
	was := audit.DayOf("2025-09-16")
	p.Observed = map[uint32]*audit.Observation{}
	for i := range p.Assemblies.Len() {
		if row := p.Assemblies.Row(i); p.Texts.Get(row.Number) == "3" {
			row.UnitsPerString, row.Inspected = 7, was
			p.Observed[uint32(i)] = &audit.Observation{Deciding: -1}
		}
	}
	_, jobs := searched(t, p)
	require.NotEmpty(t, at3(t, jobs).Remedies)
	for _, row := range rowsAt(remedy.Apply(p, jobs), "3") {
		require.EqualValues(t, 10, row.UnitsPerString)
		require.Equal(t, p.AsOf, row.Inspected)
		require.NotEqual(t, p.AsOf, row.Installed, "what hangs there stays")
	}
}
