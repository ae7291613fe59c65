package report

import (
	"slices"

	"dryarc/audit"
	"dryarc/audit/history"
)

// pageDecisionNames are the names of what the page tells of a decision, as those of columns that are carried through.
var pageDecisionNames = []string{"Decision", "Decided"}

// addDecisions adds what was decided of the findings, where anything was.
func (h *htmlPage) addDecisions(out *exceptionsJSON, shown []audit.Finding, t *texts) {
	d := h.changes.Decided
	if !slices.ContainsFunc(shown, func(f audit.Finding) bool { return d.Of(f.Exceptions[0]) != nil }) {
		return
	}
	for i := range shown {
		first := shown[i].Exceptions[0]
		told := pageDecision(d.Of(first))
		out.Decision.add(t.number(told[0]))
		out.Decided.add(t.number(told[1]))
		out.Closed.add(oneIf(!d.Open(first)))
	}
}

// pageDecision tells a decision by pageDecisionNames: few different texts, to choose by, and the rest.
func pageDecision(j *history.Judged) []string {
	if j == nil {
		return []string{"", ""}
	}
	return []string{j.Word + ", " + j.Status.String(), decisionDetails(j)}
}

// carriedNames are the names of what the page tells of exceptions beside its columns.
func (h *htmlPage) carriedNames() []string {
	if h.changes.Decided == nil {
		return exceptionTextNames(h.result)
	}
	return exceptionTextNames(h.result, pageDecisionNames...)
}
