package audit

import (
	"math"
	"slices"

	"dryarc/audit/basis"
)

// mostUnits is the longest trial string where no check tells how many units it needs, and MostUnitsAsked where one does, in units (choices of this
// program).
const (
	mostUnits      = 80
	MostUnitsAsked = 150
)

// UnitsNeeded finds the least number of units with which a subject's assembly meets every sizing check on trial that can be
// judged, and the check that governs. The assembly is a trial of like units, see TrialOf, whose number of units it
// changes. 0 and nil where nothing can be judged; more than MostUnitsAsked where no string can be shown to do, since it would
// be longer than that or than the tables go. It runs the very checks of the audit; where one of them fails, nothing is known
// of what it asks for, and the answer is 0 and nil.
func (t *Trials) UnitsNeeded(s *Subject) (units int, governs *Check) {
	s.Trial = true
	for i, check := range t.checks {
		if !check.Sizes {
			continue
		}
		n, outcome := leastUnits(max(units, 1), func(n int) Verdict {
			s.Assembly.setUnits(n)
			return t.run(i, s)
		})
		switch {
		case slices.Contains(t.failed, i):
			return 0, nil
		case outcome == Meets && (n > units || governs == nil):
			units, governs = n, check
		case outcome == FallsShort:
			return MostUnitsAsked + 1, check
		}
	}
	return units, governs
}

// Trials are checks that are put to trial assemblies at one structure, and the errors of those that failed.
type Trials struct {
	checks []*Check
	what   string // they are tried for
	at     Location
	errors *CheckErrors
	failed []int // checks that did, each told once
}

// TrialsOf returns trials by a list of checks.
func TrialsOf(checks []*Check) *Trials {
	return &Trials{checks: checks, what: "the schedule", errors: new(CheckErrors)}
}

// run puts one of the checks to a trial subject.
func (t *Trials) run(check int, s *Subject) Verdict {
	v, failed := t.checks[check].try(s, nil)
	t.note(check, failed)
	return v
}

// runCount is run, and tells whether the verdict on an assembly, which nothing repeats, is the same for any number of units in a string.
func (t *Trials) runCount(check int, s *Subject) (v Verdict, anyCount bool) {
	v, anyCount, failed := t.checks[check].tryCount(s)
	t.note(check, failed)
	return v, anyCount
}

// note keeps the error of a check that failed, each once at a structure.
func (t *Trials) note(check int, failed string) {
	if failed != "" && !slices.Contains(t.failed, check) {
		t.failed = append(t.failed, check)
		e := CheckError{Check: check, Location: t.at, Trial: t.what, Cause: failed}
		t.errors.add(e)
	}
}

// leastUnits finds the least number of units, from first on, with which a verdict meets. The outcome is that of the verdict
// there; FallsShort where none up to MostUnitsAsked meets, or where the tables end before one does; otherwise the check is
// silent. A figure that falls short tells how far to leap: strings gain at most in proportion to their units, or
// nearly so, and a leap too far is walked back.
func leastUnits(first int, judge func(n int) Verdict) (n int, outcome Outcome) {
	short, leap := 0, true // the longest trial that fell short
	last := mostUnits
	for n = first; n <= last; {
		v := judge(n)
		switch {
		case v.Outcome == Meets:
			for n-1 >= first && n-1 > short && judge(n-1).Outcome == Meets {
				n--
			}
			return n, Meets
		case v.Reason == CheckFailed, v.Reason.AskedBy() != "": // nobody asks for it, however many units there are
			return n, NotAssessed
		case v.Outcome == FallsShort:
			short, n = n, n+1
			if leap {
				n = max(n, int(math.Ceil(float64(short)*v.Required.Number/v.Observed.Number*(1-tolerance))))
				last = max(last, min(n, MostUnitsAsked))
			}
		case v.Outcome == NotApplicable:
			return n, NotApplicable
		case short == 0: // the table begins at a longer string
			n++
		case leap && n > short+1: // leapt beyond the table
			leap, n = false, short+1
		default:
			return n, FallsShort
		}
	}
	if short > 0 {
		return n, FallsShort
	}
	return n, NotAssessed
}

// referenceUnit is the unit in which the requirements of a line are counted: the cap-and-pin unit of which its register
// has most strings, else the first stocked one, else U120B of IEC 60305. assumed tells that it is not the line's own.
func (n *Network) referenceUnit(line int) (unit *basis.Unit, assumed bool) {
	p, l := n.Project, &n.Lines[line]
	count := make([]int, len(p.Units))
	best := nowhere
	for i := l.First; i < l.End; i++ {
		for _, row := range n.AssemblyRows(i) {
			for _, part := range p.Makeups[p.Assemblies.saidOf(row).Makeup].Parts {
				if !p.Units[part.Unit].Kind.HasUnitCount() {
					continue
				}
				count[part.Unit]++
				if best < 0 || count[part.Unit] > count[best] {
					best = part.Unit
				}
			}
		}
	}
	if best >= 0 {
		return &p.Units[best], false
	}
	for _, wanted := range [...]func(u *basis.Unit) bool{
		func(u *basis.Unit) bool { return u.Stocked && u.Kind.HasUnitCount() },
		func(u *basis.Unit) bool { return u.Name == "U120B" },
	} {
		for i := range p.Units {
			if wanted(&p.Units[i]) {
				return &p.Units[i], true
			}
		}
	}
	return nil, true
}

// TrialOf is a single suspension string of one unit.
func TrialOf(unit *basis.Unit) Assembly {
	trial := Assembly{Duty: Suspension, Phases: EveryPhase, UnitsPerString: 1, Strings: 1, Direct: UnknownDirectValues(), VAngleDeg: math.NaN()}
	trial.SetMakeup(&Makeup{Text: unit.Name, Parts: []Part{{Unit: 0}}}, []basis.Unit{*unit})
	return trial
}
