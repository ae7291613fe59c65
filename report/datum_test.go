package report

import (
	"context"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// A unit that nobody knows is the datum that judges most where it keeps most back, and is named; what such assemblies lack beside it would
// judge none of them, and does not count.
func TestUnknownUnitIsTheDatum(t *testing.T) {
	before, err := judged(t, demo(t)).DatumThatJudgesMost(context.Background())
	require.NoError(t, err)
	require.Empty(t, before.Faulty)

	p := demo(t)
	for i := range p.Assemblies {
		row := &p.Assemblies[i]
		row.Makeup, row.Faulty = 0, row.Faulty.With(audit.CellUnit)
		p.Faults.Gather(audit.Fault{Kind: audit.UnknownUnit, At: row.Source, Column: "Unit", Value: "MYSTERY", Expected: "is no unit"}, "word mystery")
	}
	r := judged(t, p)
	datum, err := r.DatumThatJudgesMost(context.Background())
	require.NoError(t, err)
	require.Equal(t, "unit MYSTERY", datum.Faulty)
	require.Equal(t, audit.FaultyField, datum.Reason)
	faulty := 0
	for i, c := range r.Coverage {
		for _, reason := range c.Reasons {
			if r.Checks[i].Of == audit.OfAssembly && reason.Outcome == audit.NotAssessed && reason.Reason == audit.FaultyField {
				faulty += reason.Count
			}
		}
	}
	require.Positive(t, faulty)
	require.Greater(t, 2*datum.Count, faulty, "nearly all that is held back by faulty fields")
	require.Greater(t, datum.Count, before.Count)
	require.Contains(t, pageOf(t, r), "The datum that would judge most: unit MYSTERY, which is faulty: it keeps back")
}
