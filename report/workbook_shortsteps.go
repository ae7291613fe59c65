package report

import (
	"fmt"
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/history"
)

// shortStep is a range of shares by which exceptions fall short: above the one before, up to its bound, in per cent.
type shortStep struct {
	label  string
	to     float64
	counts bySeverity
}

// shortSteps counts how far open exceptions fall short, by severity, in ranges up to some bounds and beyond; unmeasured are those without a figure of
// which it would be a share.
func shortSteps(r *audit.Result, d *history.Decided, bounds ...float64) (steps []shortStep, unmeasured bySeverity) {
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
		if !d.Open(i) {
			continue
		}
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
