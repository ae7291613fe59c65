package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/history"
)

// lineRank is how a line stands among the others.
type lineRank struct {
	line int
	open bySeverity // exceptions that are neither accepted nor planned, in force
	per  float64    // of these per 100 structures
}

// rankedLines are all lines, those first with the most open exceptions per 100 structures, then with the most shortfalls per 100; those that were not
// assessed stand last.
func rankedLines(r *audit.Result, d *history.Decided) []lineRank {
	ranks := make([]lineRank, len(r.Lines))
	for l, open := range openByLine(r, d) {
		ranks[l].line, ranks[l].open = l, open
	}
	perHundred := func(l, n int) float64 {
		return 100 * float64(n) / float64(max(1, r.Network.Lines[l].End-r.Network.Lines[l].First))
	}
	for l := range ranks {
		ranks[l].per = perHundred(l, ranks[l].open.total())
		if !r.Lines[l].Assessed {
			ranks[l].per = math.NaN()
		}
	}
	slices.SortStableFunc(ranks, func(a, b lineRank) int {
		return cmp.Or(cmp.Compare(b.per, a.per), cmp.Compare(perHundred(b.line, b.open[audit.Shortfall]), perHundred(a.line, a.open[audit.Shortfall])))
	})
	return ranks
}

// openByLine counts the exceptions of every line of the network that are neither accepted nor planned, in force.
func openByLine(r *audit.Result, d *history.Decided) []bySeverity {
	counts := make([]bySeverity, len(r.Network.Lines))
	for i := range r.Exceptions {
		if d.Open(i) {
			e := &r.Exceptions[i]
			counts[e.Line][e.Verdict.Severity]++
		}
	}
	return counts
}

// worstLine is the first of them, where it has open exceptions.
func worstLine(r *audit.Result, d *history.Decided) (worst lineRank, some bool) {
	if ranked := rankedLines(r, d); len(ranked) > 0 {
		return ranked[0], ranked[0].open.total() > 0
	}
	return worst, false
}

// inWords names the line as named has it, and says how much is open on it.
func (l *lineRank) inWords(r *audit.Result, named func(string) string) string {
	line := &r.Network.Lines[l.line]
	return fmt.Sprintf("%s, %s open on %s, %.0f per 100", named(r.Project.Symbols.Text(line.Symbol)), counted(l.open.total(), "exception", "exceptions"),
		counted(line.End-line.First, "structure", "structures"), l.per)
}
