package report

import (
	"math"
	"testing"

	"dryarc/audit"
	"dryarc/audit/history"

	"github.com/stretchr/testify/require"
)

// Lines stand by what is open per 100 of their structures, not by how long they are; those with as much by their shortfalls; those that were
// not assessed last.
func TestRankedLines(t *testing.T) {
	line := func(first, end int) audit.Line { return audit.Line{First: first, End: end} }
	of := func(line int, severity audit.Severity) audit.Exception {
		return audit.Exception{Location: audit.AtStructure(line, 0), Verdict: audit.Verdict{Severity: severity}}
	}
	r := &audit.Result{Network: &audit.Network{Lines: []audit.Line{line(0, 200), line(200, 210), line(210, 220), line(220, 230), line(230, 240)}},
		Lines: []audit.LineResult{{Assessed: true}, {Assessed: true}, {Assessed: true}, {}, {Assessed: true}}}
	r.Exceptions = []audit.Exception{of(0, audit.Shortfall), of(0, audit.Shortfall), of(0, audit.Shortfall), of(1, audit.Advisory), of(1, audit.Note),
		of(2, audit.Shortfall), of(2, audit.Note)}
	order := func(d *history.Decided) (lines []int, per []float64) {
		for _, x := range rankedLines(r, d) {
			lines, per = append(lines, x.line), append(per, x.per)
		}
		return lines, per
	}
	lines, per := order(nil)
	require.Equal(t, []int{2, 1, 0, 4, 3}, lines)
	require.Equal(t, []float64{20, 20, 1.5, 0}, per[:4])
	require.True(t, math.IsNaN(per[4]), "of a line that was not assessed nothing is known")
}

func TestShortSteps(t *testing.T) {
	of := func(severity audit.Severity, margin float64) audit.Exception {
		return audit.Exception{Verdict: audit.Verdict{Severity: severity, Margin: margin}}
	}
	r := &audit.Result{Exceptions: []audit.Exception{of(audit.Shortfall, -0.05), of(audit.Shortfall, -0.050001), of(audit.Shortfall, -0.2), of(audit.Advisory, -3),
		of(audit.Note, math.NaN()), of(audit.Note, -0.001)}}
	steps, unmeasured := shortSteps(r, nil, 5, 20)
	require.Equal(t, []shortStep{{"up to 5 %", 5, bySeverity{1, 0, 1}}, {"more than 5 to 20 %", 20, bySeverity{2, 0, 0}}, {"more than 20 %", math.Inf(1), bySeverity{0, 1, 0}}}, steps)
	require.Equal(t, bySeverity{0, 0, 1}, unmeasured)
}
