package audit

import "cmp"

// Exception is one subject that falls short of one check.
type Exception struct {
	Location
	Check   int // in Result.Checks
	Verdict Verdict
}

// Phases returns the phases of an exception as text: those of the row as written, or those that a place lacks.
func (e *Exception) Phases(p *Project) string {
	if e.Verdict.Missing != 0 {
		return e.Verdict.Missing.String()
	}
	return p.Symbols.Text(e.Phase)
}

// compareExceptions orders exceptions worst first: by severity, by the order of the checks, by margin, and then
// by location and content, so that the order is total, and the same whatever the order of the rows.
func (n *Network) compareExceptions(a, b *Exception) int {
	// Most are told apart by what is compared first.
	if c := cmp.Or(cmp.Compare(a.Verdict.Severity, b.Verdict.Severity), cmp.Compare(a.Check, b.Check), cmp.Compare(a.Verdict.Margin, b.Verdict.Margin)); c != 0 {
		return c
	}
	if c := n.comparePlaces(&a.Location, &b.Location); c != 0 {
		return c
	}
	return cmp.Or(cmp.Compare(a.Verdict.Missing, b.Verdict.Missing), cmp.Compare(a.Verdict.Sentence, b.Verdict.Sentence), cmp.Compare(a.Assembly, b.Assembly))
}
