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
	for l := range ranks {
		ranks[l].line = l
	}
	for i := range r.Exceptions {
		if d.Open(i) {
			e := &r.Exceptions[i]
			ranks[e.Line].open[e.Verdict.Severity]++
		}
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

// shortStep is a range of shares by which exceptions fall short: above the one before, up to its bound, in per cent.
type shortStep struct {
	label  string
	to     float64
	counts bySeverity
}

// shortSteps counts how far exceptions fall short, by severity, in ranges up to some bounds and beyond; unmeasured are those without a figure of
// which it would be a share.
func shortSteps(r *audit.Result, bounds ...float64) (steps []shortStep, unmeasured bySeverity) {
	from := 0.0
	for i, to := range append(bounds[:len(bounds):len(bounds)], math.Inf(1)) {
		label := fmt.Sprintf("more than %g to %g %%", from, to)
		switch {
		case i == 0:
			label = fmt.Sprintf("up to %g %%", to)
		case i == len(bounds):
			label = fmt.Sprintf("more than %g %%", from)
		}
		steps, from = append(steps, shortStep{label: label, to: to}), to
	}
	for i := range r.Exceptions {
		v := &r.Exceptions[i].Verdict
		short := -100 * v.Margin
		if math.IsNaN(short) {
			unmeasured[v.Severity]++
			continue
		}
		steps[slices.IndexFunc(steps, func(s shortStep) bool { return short <= s.to })].counts[v.Severity]++
	}
	return steps, unmeasured
}
