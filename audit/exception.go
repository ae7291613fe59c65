package audit

import "cmp"

// Exception is one subject that falls short of one check.
type Exception struct {
	Check     int // in Result.Checks
	Line      int // in Network.Lines
	Structure int // in the network; −1 where the whole line is meant
	To        int // the far structure of a span, else −1
	Assembly  int // in Project.Assemblies, else −1
	Circuit   Symbol
	Phase     Symbol // as written
	Side      Side
	Verdict   Verdict
}

// Phases returns the phases of an exception as text: those of the row as written, or those that a place lacks.
func (e *Exception) Phases(p *Project) string {
	if e.Verdict.Missing != 0 {
		return e.Verdict.Missing.String()
	}
	return p.Symbols.Text(e.Phase)
}

// compareExceptions orders exceptions worst first: by severity, by the order of the checks, by margin, and then
// by place, so that the order is total.
func (n *Network) compareExceptions(a, b *Exception) int {
	return cmp.Or(
		cmp.Compare(a.Verdict.Severity, b.Verdict.Severity), cmp.Compare(a.Check, b.Check),
		cmp.Compare(a.Verdict.Margin, b.Verdict.Margin), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Structure, b.Structure),
		cmp.Compare(a.To, b.To),
		naturalCompare([]byte(n.Project.Symbols.Text(a.Circuit)), []byte(n.Project.Symbols.Text(b.Circuit))),
		cmp.Compare(a.Side, b.Side), cmp.Compare(a.Assembly, b.Assembly), cmp.Compare(a.Verdict.Missing, b.Verdict.Missing))
}
