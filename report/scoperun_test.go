package report

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"dryarc/audit/headroom"

	"github.com/stretchr/testify/require"
)

// The sheet Run of scenarios speaks of their outputs: of no sheet that their workbook lacks without saying where it is, and of nothing left out where
// all is there.
func TestRunSheetOfScenariosSpeaksOfTheirOutputs(t *testing.T) {
	s := lookedAt(t, fixture(t), "at 245 kV")
	curves, err := headroom.Of(context.Background(), s.Today, 1)
	require.NoError(t, err)
	s.Headroom, s.WithHeadroom = curves, true
	var out bytes.Buffer
	require.NoError(t, s.writeBook(context.Background(), &out, s.Today))
	file := openFile(t, saved(t, "scope.xlsx", out.Bytes()))
	rows, err := file.GetRows(runSheet)
	require.NoError(t, err)
	var text strings.Builder
	for _, row := range rows {
		text.WriteString(strings.Join(row, "\t") + "\n")
	}
	require.NotContains(t, text.String(), "audit.json")
	require.NotContains(t, text.String(), "exceptions.geojson")
	require.NotContains(t, text.String(), "What the outputs do not hold")
	require.NotContains(t, file.GetSheetList(), faultsSheet)
	require.Contains(t, text.String(), "\nSchema of scope.json\t1\n")
	require.Contains(t, text.String(), "\nRegister rows left out, see the sheet Faults of an audit\t")
	require.Contains(t, text.String(), "\tListed in the sheet Faults of an audit\n")
}

// What the sheets of scenarios do not hold is said, of each in a sentence of its own.
func TestSheetsOfScenariosSayWhatTheyDoNotHold(t *testing.T) {
	s := lookedAt(t, fixture(t), "at 245 kV")
	all := s.Scenarios[0].allChanges
	require.Greater(t, all, 1)
	b := &scopeBook{book: &book{limits: bookLimits{rows: all}}, scope: s}
	require.Empty(t, b.cutRemarks())
	b.limits.rows = 1
	require.Equal(t, []string{"Sheet Changes holds 1 of " + grouped(all) + " structures, along the lines; scope.json has all."}, b.cutRemarks())

	h := newHeadroomBook(nil, []headroomCurve{{Curve: headroom.Curve{Counted: 1}}, {Curve: headroom.Curve{Counted: mostPoints, Steps: make([]headroom.Step, mostPoints/2)}}, {}})
	require.Equal(t, []string{"Sheet Curves holds 1 of 2 curves."}, h.cutRemark())
	require.Empty(t, newHeadroomBook(nil, h.curves[:1]).cutRemark())
}
