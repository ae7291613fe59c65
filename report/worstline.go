package report

import (
	"cmp"
	"fmt"
	"slices"

	"dryarc/audit"
	"dryarc/audit/history"
)

// lineRank is a line that was assessed with its open exceptions: those that are neither accepted nor planned.
type lineRank struct {
	line, structures int
	open             bySeverity
}

// perHundred is how many open exceptions there are per 100 structures.
func (l *lineRank) perHundred() float64 { return 100 * float64(l.open.total()) / float64(l.structures) }

// rankedLines are the lines with open exceptions, those first with most per 100 structures, of equal ones those with most shortfalls.
func rankedLines(r *audit.Result, d *history.Decided) []lineRank {
	open := make([]bySeverity, len(r.Network.Lines))
	for i := range r.Exceptions {
		if e := &r.Exceptions[i]; d.Open(i) {
			open[e.Line][e.Verdict.Severity]++
		}
	}
	var ranked []lineRank
	for l := range open {
		if line := &r.Network.Lines[l]; open[l].total() > 0 && line.End > line.First {
			ranked = append(ranked, lineRank{l, line.End - line.First, open[l]})
		}
	}
	slices.SortStableFunc(ranked, func(a, b lineRank) int {
		return cmp.Or(cmp.Compare(b.perHundred(), a.perHundred()), cmp.Compare(b.open[audit.Shortfall], a.open[audit.Shortfall]))
	})
	return ranked
}

// worstLine is the first of them.
func worstLine(r *audit.Result, d *history.Decided) (worst lineRank, some bool) {
	ranked := rankedLines(r, d)
	if len(ranked) == 0 {
		return worst, false
	}
	return ranked[0], true
}

func (l *lineRank) inWords(r *audit.Result) string {
	return fmt.Sprintf("%s, %s open on %s, %.0f per 100", r.Project.Symbols.Text(r.Network.Lines[l.line].Symbol), counted(l.open.total(), "exception", "exceptions"),
		counted(l.structures, "structure", "structures"), l.perHundred())
}
