package audit

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"sync/atomic"

	"dryarc/audit/basis"
)

// Options are what a run is told beyond the project.
type Options struct {
	Version string
	AsOf    string   // date, YYYY-MM-DD
	Lines   []string // the lines to assess; none means all
	Workers int      // lines worked on at a time; less than 1 means 1
	// Progress, where set, is told from any goroutine how many lines are done.
	Progress func(done, total int)
}

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
	err = n.eachLine(ctx, o.Workers, wanted, func(i int) {
		a := lineAssessor{n: n, checks: checks, line: i, tallies: make([]tally, len(checks))}
		r.Lines[i] = a.assess()
		if now := int(done.Add(1)); o.Progress != nil {
			o.Progress(now, total)
		}
	})
	if err != nil {
		return nil, err
	}
	r.finish(o)
	return r, nil
}

// choose marks the lines of the given names; nil means all.
func (n *Network) choose(names []string) ([]bool, error) {
	if len(names) == 0 {
		return nil, nil
	}
	chosen := make([]bool, len(n.Lines))
	for _, name := range names {
		i := slices.IndexFunc(n.Lines, func(l Line) bool { return n.Project.Symbols.Text(l.Symbol) == name })
		if i < 0 {
			return nil, &UnknownLine{Name: name}
		}
		chosen[i] = true
	}
	return chosen, nil
}

// UnknownLine is the error of a run that is asked for a line the structures do not have.
type UnknownLine struct{ Name string }

func (e *UnknownLine) Error() string {
	return fmt.Sprintf("line %q is no line of the structures", e.Name)
}

// tally counts the verdicts of one check on one line.
type tally struct {
	outcomes [outcomes]int32
	reasons  [outcomes][reasons]int32
	worst    float64
	judged   bool
}

// passOver counts a subject that a check passes over.
func (t *tally) passOver(outcome Outcome, reason Reason) {
	t.outcomes[outcome]++
	t.reasons[outcome][reason]++
}

func (t *tally) count(v *Verdict) {
	t.outcomes[v.Outcome]++
	if v.Reason != NoReason {
		t.reasons[v.Outcome][v.Reason]++
	}
	if v.Outcome <= FallsShort && !math.IsNaN(v.Margin) && (!t.judged || v.Margin < t.worst) {
		t.worst, t.judged = v.Margin, true
	}
}

// lineAssessor puts the checks to the subjects of one line.
type lineAssessor struct {
	n          *Network
	checks     []*Check
	line       int
	tallies    []tally
	exceptions []Exception
	classes    classUse
	headroom   int
	subject    Subject   // at hand
	trial      Subject   // the same one class worse
	worse      Structure // the structure at hand, with the next worse class where there is one
	errors     CheckErrors
}

// classUse counts what the assumptions about pollution classes touch.
type classUse struct{ byDefault, high int }

func (a *lineAssessor) assess() LineResult {
	v := visitor{n: a.n, line: a.line}
	v.all(func(kind SubjectKind, s Subject, at Exception) {
		if kind == OfStructure {
			a.noteClass(s.Structure)
			a.worse = *s.Structure
			a.worse.worsenClass(s.Criteria)
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
func (a *lineAssessor) put(kind SubjectKind, s Subject, at Exception) {
	a.subject = s
	for next := 0; next < len(a.checks); {
		next = a.putFrom(next, kind, &at)
	}
}

// putFrom runs the checks from the first one given on, and returns the next to run: one that panics ends the round, so
// that a subject, and not every check of it, has the cost of a recovery made ready.
func (a *lineAssessor) putFrom(first int, kind SubjectKind, at *Exception) (next int) {
	i := first
	defer func() {
		if panicked := recover(); panicked != nil {
			a.tallies[i].passOver(NotAssessed, CheckFailed)
			a.failed(i, at, "", causeOf(panicked))
			next = i + 1
		}
	}()
	for ; i < len(a.checks); i++ {
		check := a.checks[i]
		if check.Of != kind {
			continue
		}
		if outcome, reason := check.passesOver(&a.subject); reason != NoReason {
			a.tallies[i].passOver(outcome, reason)
			continue
		}
		v := check.judge(&a.subject, nil)
		a.tallies[i].count(&v)
		if check.Headroom && v.Outcome == Meets && a.fallsShortOneClassWorse(i, at) {
			a.headroom++
		}
		if v.Outcome != FallsShort {
			continue
		}
		e := *at
		e.Check, e.Verdict = i, v
		a.exceptions = append(a.exceptions, e)
	}
	return i
}

func (a *lineAssessor) failed(check int, at *Exception, trial, cause string) {
	e := CheckError{At: *at, Trial: trial, Cause: cause}
	e.At.Check = check
	a.errors.add(e)
}

func (a *lineAssessor) result() LineResult {
	r := LineResult{Assessed: true, Exceptions: a.exceptions, classes: a.classes, OneClassWorse: a.headroom, Coverage: make([]Coverage, len(a.checks)), errors: a.errors}
	for i := range a.tallies {
		r.Coverage[i] = a.tallies[i].coverage()
	}
	return r
}

func (t *tally) coverage() Coverage {
	c := Coverage{
		Meets: int(t.outcomes[Meets]), FallsShort: int(t.outcomes[FallsShort]),
		NotApplicable: int(t.outcomes[NotApplicable]), NotAssessed: int(t.outcomes[NotAssessed]), WorstMargin: math.NaN(),
	}
	if t.judged {
		c.WorstMargin = t.worst
	}
	for outcome := range t.reasons {
		for reason, count := range t.reasons[outcome] {
			if count > 0 {
				c.Reasons = append(c.Reasons, ReasonCount{Outcome(outcome), Reason(reason), int(count)})
			}
		}
	}
	return c
}

// fallsShortOneClassWorse tells whether a subject that meets would fall short if its pollution class were one worse.
func (a *lineAssessor) fallsShortOneClassWorse(check int, at *Exception) bool {
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

// worsenClass puts a structure into the next worse pollution class; the worst, an unknown class and one without a worse
// one stay.
func (s *Structure) worsenClass(criteria *Criteria) {
	if worse := s.Class.Worse(); worse != s.Class {
		s.Class, s.SpecificCreepage = worse, criteria.SpecificCreepage(worse)
	}
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
