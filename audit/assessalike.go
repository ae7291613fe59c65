package audit

// Assemblies of a structure that are alike but for their one phase are told alike by every check. What falls short is judged for each all
// the same, since its sentence may name the phase; the rest is heard once.

// hearing is what the checks said of one assembly at the structure at hand.
type hearing struct {
	row  *AssemblyRow
	odd  Odd
	said []said // by check
}

// said is what one check said.
type said struct {
	verdict  Verdict
	oneWorse bool // it meets and would fall short one class worse
	known    bool
}

// mostHearings is how many assemblies of a structure others are compared with: most have three that are alike (a choice of this program).
const mostHearings = 6

// listen finds what was heard of an assembly like the one at hand, and where there is none makes room for what is said of this one.
func (a *lineAssessor) listen(at *Location) {
	p := a.n.Project
	row := &p.Assemblies[at.Assembly]
	if len(a.subject.Repeats) > 0 || row.Phases.Count() != 1 {
		return
	}
	bare, figures := row.withoutPhase(), p.directOf(row)
	for i := range a.heard {
		h := &a.heard[i]
		if h.odd == a.subject.Assembly.Odd && bare.Equals(h.row.withoutPhase()) && figures.Equals(p.directOf(h.row)) {
			a.like = h
			return
		}
	}
	if len(a.heard) == mostHearings {
		return
	}
	if a.heard == nil {
		a.heard = make([]hearing, 0, mostHearings)
	}
	a.heard = a.heard[:len(a.heard)+1]
	a.own = &a.heard[len(a.heard)-1] // with the room that it had
	a.own.row, a.own.odd = row, a.subject.Assembly.Odd
	if a.own.said == nil {
		a.own.said = make([]said, len(a.checks))
	}
	for i := range a.own.said {
		a.own.said[i].known = false
	}
}

// repeat counts what a check said of an assembly like the one at hand; false where that is not known or has to be put into words.
func (a *lineAssessor) repeat(check int, at *Location) bool {
	if a.like == nil {
		return false
	}
	s := &a.like.said[check]
	if !s.known || s.verdict.Outcome == FallsShort {
		return false
	}
	a.tallies[check].count(&s.verdict)
	if a.each != nil {
		a.each(check, *at, s.verdict)
	}
	if s.oneWorse {
		a.headroom++
	}
	return true
}

// hear keeps what a check said of the assembly at hand.
func (a *lineAssessor) hear(check int, v Verdict, oneWorse bool) {
	if a.own != nil {
		a.own.said[check] = said{v, oneWorse, true}
	}
}
