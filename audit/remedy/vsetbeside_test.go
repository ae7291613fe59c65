package remedy_test

import (
	"testing"

	"dryarc/audit"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// Beside single strings a V set stays one, at 2·asin(1322·sin 45°/1760) = 64.16° on the same attachments (computed), and its change says so; cells of Defective units that were blank say nothing of units that stay.
func TestVSetBesideSingleStringsIsTold(t *testing.T) {
	p := sample(t)
	p.Lines[0].FittingsMM = 300
	rows := rowsAt(p, "3")
	for _, row := range rows {
		row.UnitsPerString, row.Blank = 7, audit.BlankDefective
	}
	rows[1].Strings, rows[1].Arrangement, rows[1].VAngleDeg = 2, audit.VSet, 90
	_, jobs := searched(t, p)
	job := at3(t, jobs)
	x := &job.Remedies[0]
	require.Len(t, x.Changes, 3)
	for i, c := range x.Changes {
		if i == 1 {
			require.Equal(t, "2 strings of 10 × U120B, a V set of 64.16°", c.To.String())
			continue
		}
		require.Equal(t, "10 × U120B", c.To.String())
	}
	require.Contains(t, job.Trace[len(job.Trace)-1], "10 × U120B and 2 strings of 10 × U120B, a V set of 64.16°")
	require.Contains(t, x.From, "2 strings of 7 × U120B, a V set of 90°")
	done := remedy.Apply(p, jobs)
	for _, row := range rowsAt(done, "3") {
		require.EqualValues(t, 10, row.UnitsPerString)
		require.Equal(t, audit.BlankDefective, row.Blank, "nobody looked at the units that stay")
	}
	other := *unitOf(p, "U120B")
	other.Name, other.Stocked = "N120", true
	p.Units = append(p.Units, other) // the only one in stock
	_, jobs = searched(t, p)
	for _, row := range rowsAt(remedy.Apply(p, jobs), "3") {
		require.Zero(t, row.Blank, "new units are sound")
	}
}
