package audit

import "sync"

// Assemblies of a structure that are alike but for their one phase are told alike by every check, and those of a line by every check that says
// what of a structure it reads, where that is the same. What falls short is judged for each all the same, since its sentence may name the phase;
// the rest is heard once.

// hearing is what the checks said of one assembly.
type hearing struct {
	of       heardOf
	site     SiteKey   // of one along the line
	said     []said    // by check
	verdicts []Verdict // the same as a whole, where somebody is told each
}

// hearingRoom is where it is kept what was heard and counted of a line, which the next one takes.
type hearingRoom struct {
	tallies    []tally   // by check
	heard      []hearing // of assemblies of the structure at hand
	alongLine  []hearing // of assemblies of the line, by checks that say what of a structure they read
	kinds      rowKinds
	resolved   *alikeStrings[Assembly] // rows of any line
	exceptions []Exception
}

func newHearingRooms(checks int) *sync.Pool {
	return &sync.Pool{New: func() any {
		return &hearingRoom{tallies: make([]tally, checks), resolved: new(alikeStrings[Assembly])}
	}}
}

// emptied is the room with nothing in it.
func (r *hearingRoom) emptied() hearingRoom {
	clear(r.tallies)
	return hearingRoom{r.tallies, r.heard[:0], r.alongLine[:0], r.kinds, r.resolved, r.exceptions[:0]}
}

// heardOf is all that a check is told of an assembly of one phase, but for that.
type heardOf struct {
	kind   int    // of what its row says
	own    RowOwn // as far as it is told
	odd    Odd
	side   Side // as its structure leaves it
	ends   bool // its circuit ends
	mayEnd bool // it may
	dated  bool // a factor goes by when it was installed, and that is known
	since  Day
}

// rowKinds numbers what rows say as others do, but for their one phase, with the figures that they state. Rows of one number say the same; of rows
// that say the same one may have another number where others were looked at in between. The zero value is ready. No row may change meanwhile.
type rowKinds struct {
	kept  [8]rowKind // that were looked at last
	next  int
	found int // numbers that were given
}

type rowKind struct {
	said   *RowSaid
	what   toldByRow
	number int
}

// toldByRow is what a check is told by what a row says as others do.
type toldByRow struct {
	said    saidKey
	figures FigureBits
}

// of is the number of what a row says, which states some figures of its own.
func (k *rowKinds) of(said *RowSaid, figures func() FigureBits) int {
	for i := range k.kept {
		if k.kept[i].said == said {
			return k.kept[i].number
		}
	}
	phaseless := said.withoutPhase()
	what, number := toldByRow{saidKeyOf(&phaseless), figures()}, k.found
	for i := range k.kept {
		if k.kept[i].said != nil && k.kept[i].what == what {
			number = k.kept[i].number
		}
	}
	if number == k.found {
		k.found++
	}
	k.kept[k.next%len(k.kept)] = rowKind{said, what, number}
	k.next++
	return number
}

// said is what one check said, as far as it is counted.
type said struct {
	margin   float64
	outcome  Outcome
	reason   Reason
	oneWorse bool // it meets and would fall short one class worse
	known    bool
}

// mostHearings is how many assemblies of a structure, and how many along a line, others are compared with: most have three that are alike (a
// choice of this program).
const mostHearings = 6

// heardOf is what is told of an assembly; false of one that others are not like, whatever they say.
func (n *Network) heardOf(kinds *rowKinds, s *Subject, at *Location) (of heardOf, ok bool) {
	said := n.Project.Assemblies.saidOf(uint32(at.Assembly))
	if len(s.Repeats) > 0 || said.Phases.Count() != 1 || s.Assembly.IsUnsure() {
		return of, false
	}
	kind := kinds.of(said, func() FigureBits {
		figures := n.Project.directAt(said.Direct)
		return figures.Bits()
	})
	return heardOf{kind: kind, own: n.Project.Assemblies.ownOf(uint32(at.Assembly)).told(), odd: s.Assembly.Odd, side: s.Assembly.Side, ends: s.Assembly.CircuitEnds,
		mayEnd: s.Assembly.CircuitMayEnd, dated: s.Assembly.Dated, since: s.Assembly.Installed}, true
}

// listen finds what was heard of an assembly like the one at hand at its structure, and where there is none what was heard of one along the line,
// and makes room for what is said of this one.
func (a *lineAssessor) listen(at *Location) {
	of, ok := a.n.heardOf(&a.kinds, &a.subject, at)
	if !ok {
		return
	}
	for i := range a.heard {
		if h := &a.heard[i]; h.of == of {
			a.like = h
			return
		}
	}
	a.along = a.heardAlong(&of)
	if len(a.heard) == mostHearings {
		return
	}
	if a.heard == nil {
		a.heard = make([]hearing, 0, mostHearings)
	}
	a.heard = a.heard[:len(a.heard)+1]
	a.own = &a.heard[len(a.heard)-1] // with the room that it had
	a.own.begin(&of, len(a.checks), a.each != nil)
}

// heardAlong is what was heard of such an assembly along the line, without what rests on what is otherwise at the structure at hand; where nothing
// was, it takes the place of what was begun first.
func (a *lineAssessor) heardAlong(of *heardOf) *hearing {
	if !a.siteKnown {
		a.site, a.siteKnown = a.subject.siteReads(), true
	}
	for i := range a.alongLine {
		h := &a.alongLine[i]
		if h.of != *of {
			continue
		}
		if h.site != a.site {
			for check := range h.said {
				h.said[check].known = h.said[check].known && a.site.As(&h.site, a.checks[check].Reads)
			}
			h.site = a.site
		}
		return h
	}
	if a.alongLine == nil {
		a.alongLine = make([]hearing, 0, mostHearings)
	}
	if len(a.alongLine) < mostHearings {
		a.alongLine = a.alongLine[:len(a.alongLine)+1]
	}
	h := &a.alongLine[a.begun%mostHearings]
	a.begun++
	h.begin(of, len(a.checks), a.each != nil)
	h.site = a.site
	return h
}

// begin makes room for what is said of another assembly.
func (h *hearing) begin(of *heardOf, checks int, whole bool) {
	h.of = *of
	if h.said == nil {
		h.said = make([]said, checks)
	}
	if h.verdicts == nil && whole {
		h.verdicts = make([]Verdict, checks)
	}
	for i := range h.said {
		h.said[i].known = false
	}
}

// repeat counts what a check said of an assembly like the one at hand; false where that is not known or has to be put into words.
func (a *lineAssessor) repeat(check int, at *Location) bool {
	from := a.like
	if from == nil && a.checks[check].Reads != 0 {
		from = a.along
	}
	if from == nil {
		return false
	}
	s := from.said[check]
	if !s.known || s.outcome == FallsShort {
		return false
	}
	a.tallies[check].count(s.outcome, s.reason, s.margin)
	if s.oneWorse {
		a.headroom++
	}
	if a.own != nil {
		a.own.said[check] = s
	}
	if a.each != nil {
		v := from.verdicts[check]
		if a.own != nil {
			a.own.verdicts[check] = v
		}
		a.each(check, *at, v)
	}
	if a.unjudged != nil && s.outcome == NotAssessed {
		a.unjudged(check, *at, s.reason)
	}
	return true
}

// hear keeps what a check said of the assembly at hand.
func (a *lineAssessor) hear(check int, v *Verdict, oneWorse bool) {
	keep := func(h *hearing) {
		if h.said[check] = (said{v.Margin, v.Outcome, v.Reason, oneWorse, true}); a.each != nil {
			h.verdicts[check] = *v
		}
	}
	if a.own != nil {
		keep(a.own)
	}
	if a.along != nil && a.checks[check].Reads != 0 {
		keep(a.along)
	}
}
