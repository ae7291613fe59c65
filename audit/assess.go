package audit

import (
	"context"
	"slices"
	"sync/atomic"

	"dryarc/audit/basis"
)

// Assess puts every check to every subject of the chosen lines. Lines are worked on in parallel, each with a result of
// its own; the outcome is the same whatever the number of workers.
func Assess(ctx context.Context, n *Network, checks []*Check, o Options) (*Result, error) {
	if err := ValidateChecks(checks); err != nil {
		return nil, err
	}
	chosen, err := n.choose(o.Lines)
	if err != nil {
		return nil, err
	}
	r := &Result{Project: n.Project, Network: n, Checks: checks, Lines: make([]LineResult, len(n.Lines)), workers: o.Workers}
	var done atomic.Int64
	wanted, total := everyLine, len(n.Lines)
	if chosen != nil {
		wanted, total = func(line int) bool { return chosen[line] }, len(o.Lines)
	}
	rooms := newHearingRooms(len(checks))
	stands, every := n.unchangedOf(o.Before, checks, &o), askedOf(checks, nil)
	err = n.eachLine(ctx, o.Workers, wanted, func(i int) {
		room := rooms.Get().(*hearingRoom)
		defer rooms.Put(room)
		a := lineAssessor{n: n, checks: checks, asked: every, line: i, each: o.Each, unjudged: o.Unjudged, hearingRoom: room.emptied()}
		if stands != nil && stands.find(n, i, &o) {
			a.asked = askedOf(checks, stands.of[i])
		}
		r.Lines[i] = a.assess()
		if stands != nil {
			stands.add(&r.Lines[i], i)
		}
		*room = a.hearingRoom
		if now := int(done.Add(1)); o.Progress != nil {
			o.Progress(now, total)
		}
	})
	if err != nil {
		return nil, err
	}
	r.finish(o, stands)
	return r, nil
}

// lineAssessor puts the checks to the subjects of one line.
type lineAssessor struct {
	n         *Network
	checks    []*Check
	asked     asked
	line      int
	sentences map[string]string // of exceptions
	classes   classUse
	watched   ruleSet
	headroom  int
	subject   Subject   // at hand
	trial     Subject   // the same one class worse
	worse     Structure // the structure at hand, with the next worse class where there is one
	hearingRoom
	like, own *hearing // of the assembly at hand: of one like it, and where there is none its own
	begun     int      // of what was heard along the line
	along     *hearing // of one like the assembly at hand, where none is at its structure
	site      SiteKey  // of the structure at hand, once siteKnown
	siteKnown bool
	errors    CheckErrors
	each      func(check int, at Location, v Verdict)  // nil where nobody asks
	unjudged  func(check int, at Location, why Reason) // as each, of what is not assessed
}

// asked are the checks that are put to subjects of each kind, in their order.
type asked [OfLine + 1][]int

// askedOf are those of some checks of which it does not stand what they say.
func askedOf(checks []*Check, stands []bool) (of asked) {
	for i, check := range checks {
		if stands == nil || !stands[i] {
			of[check.Of] = append(of[check.Of], i)
		}
	}
	return of
}

// classUse counts what the assumptions about pollution classes touch.
type classUse struct{ byDefault, high int }

func (a *lineAssessor) assess() LineResult {
	v := visitor{n: a.n, line: a.line, resolved: a.resolved}
	for kind := range a.asked {
		if len(a.asked[kind]) == 0 {
			v.passes |= kinds(SubjectKind(kind))
		}
	}
	v.uncompared = !slices.ContainsFunc(a.asked[OfAssembly], func(check int) bool { return a.checks[check].Compares })
	v.all(func(kind SubjectKind, s Subject, at Location) {
		if kind == OfStructure {
			a.noteClass(s.Structure)
			a.watched |= s.Registered.Watched.is | s.Registered.Watched.may
			a.worse = *s.Structure
			a.worse.worsenClass(s.Criteria, s.Line)
		}
		a.put(kind, s, at)
	})
	return a.result()
}

func (a *lineAssessor) noteClass(s *Structure) {
	if s.Zone < 0 {
		a.classes.byDefault++
	}
	if basis.IsHighGround(s.GroundM) {
		a.classes.high++
	}
}

// put runs every check of one kind on a subject and keeps what falls short.
func (a *lineAssessor) put(kind SubjectKind, s Subject, at Location) {
	a.subject = s
	a.like, a.own, a.along = nil, nil, nil
	switch kind {
	case OfStructure:
		a.heard, a.siteKnown = a.heard[:0], false
	case OfAssembly:
		a.listen(&at)
	}
	for next := 0; next < len(a.asked[kind]); {
		next = a.putFrom(next, kind, &at)
	}
}

// putFrom runs the checks from the first one given on, and returns the next to run: one that panics ends the round, so
// that a subject, and not every check of it, has the cost of a recovery made ready.
func (a *lineAssessor) putFrom(first int, kind SubjectKind, at *Location) (next int) {
	k, asked := first, a.asked[kind]
	defer func() {
		if panicked := recover(); panicked != nil {
			a.passOver(asked[k], at, NotAssessed, CheckFailed)
			a.failed(asked[k], at, "", causeOf(panicked))
			next = k + 1
		}
	}()
	for ; k < len(asked); k++ {
		i := asked[k]
		if a.repeat(i, at) {
			continue
		}
		check := a.checks[i]
		var v Verdict
		if len(a.subject.Repeats) > 0 {
			v = check.worst(&a.subject, nil)
		} else {
			if outcome, reason := check.passesOver(&a.subject); reason != NoReason {
				a.passOver(i, at, outcome, reason)
				v = passedOver(outcome, reason)
				a.hear(i, &v, false)
				continue
			}
			v = check.judge(&a.subject, nil)
		}
		a.tallies[i].count(v.Outcome, v.Reason, v.Margin)
		if a.each != nil {
			a.each(i, *at, v)
		}
		if a.unjudged != nil && v.Outcome == NotAssessed {
			a.unjudged(i, *at, v.Reason)
		}
		oneWorse, errors := false, a.errors.Count
		if check.Headroom && v.Outcome == Meets && a.fallsShortOneClassWorse(i, at) {
			oneWorse = true
			a.headroom++
		}
		if a.errors.Count == errors {
			a.hear(i, &v, oneWorse)
		}
		if v.Outcome != FallsShort {
			continue
		}
		v.Sentence = a.saidBefore(v.Sentence)
		a.exceptions = append(a.exceptions, Exception{*at, i, v})
	}
	return k
}

func (a *lineAssessor) passOver(check int, at *Location, outcome Outcome, reason Reason) {
	a.tallies[check].passOver(outcome, reason)
	if a.each != nil {
		a.each(check, *at, passedOver(outcome, reason))
	}
	if a.unjudged != nil && outcome == NotAssessed {
		a.unjudged(check, *at, reason)
	}
}

// saidBefore is a sentence, held once for all exceptions of the line that say it: those of phases alike do.
func (a *lineAssessor) saidBefore(sentence string) string {
	if before, said := a.sentences[sentence]; said {
		return before
	}
	if a.sentences == nil {
		a.sentences = map[string]string{}
	}
	a.sentences[sentence] = sentence
	return sentence
}

func (a *lineAssessor) failed(check int, at *Location, trial, cause string) {
	a.errors.add(CheckError{check, *at, trial, cause})
}

// mostRoom is how many exceptions the next line may find room for (a choice of this program).
const mostRoom = 4096

// found are the exceptions of the line. Where they are very many their room goes with them.
func (a *lineAssessor) found() (list []Exception) {
	if len(a.exceptions) > mostRoom {
		list, a.exceptions = a.exceptions, nil
		return list
	}
	return append(list, a.exceptions...)
}

func (a *lineAssessor) result() LineResult {
	r := LineResult{Assessed: true, Exceptions: a.found(), classes: a.classes, watched: a.watched, OneClassWorse: a.headroom, Coverage: make([]Coverage, len(a.checks)), errors: a.errors}
	for i := range a.tallies {
		r.Coverage[i] = a.tallies[i].coverage()
	}
	return r
}

// fallsShortOneClassWorse tells whether a subject that meets would fall short if its pollution class were one worse.
func (a *lineAssessor) fallsShortOneClassWorse(check int, at *Location) bool {
	if a.worse.Class == a.subject.Structure.Class {
		return false
	}
	a.trial = a.subject
	a.trial.Structure, a.trial.Trial = &a.worse, true
	v, failed := a.checks[check].try(&a.trial, nil)
	if failed != "" {
		a.failed(check, at, "the class one worse", failed)
	}
	return v.Outcome == FallsShort
}
