package audit

import (
	"math"

	"dryarc/audit/basis"
)

// mostUnits is the longest trial string, in units.
const mostUnits = 80

// UnitsNeeded finds the least number of units with which a subject's assembly, made of like units, meets every sizing
// check that can be judged, and the check that governs. 0 and nil where none can be judged; more than mostUnits where no
// string can be shown to do, since it would be longer than that or than the tables go. It runs the very checks of the
// audit on trial assemblies.
func UnitsNeeded(s Subject, unit *basis.Unit, checks []*Check) (units int, governs *Check) {
	trial := trialOf(unit, 1)
	s.Assembly = &trial
	try := func(check *Check, n int) Verdict {
		trial.UnitsPerString = n
		trial.SetMakeup(trial.Makeup, trial.units)
		return check.Run(s, nil)
	}
	for _, check := range checks {
		if !check.Sizes {
			continue
		}
		n, outcome := leastUnits(max(units, 1), func(n int) Verdict { return try(check, n) })
		switch {
		case outcome == Meets && (n > units || governs == nil):
			units, governs = n, check
		case outcome == FallsShort:
			return mostUnits + 1, check
		}
	}
	return units, governs
}

// leastUnits finds the least number of units, from first on, with which a verdict meets. The outcome is that of the verdict
// there; FallsShort where none up to mostUnits meets, or where the tables end before one does; otherwise the check is
// silent. A figure that falls short tells how far to leap: strings gain at most in proportion to their units, or
// nearly so, and a leap too far is walked back.
func leastUnits(first int, judge func(n int) Verdict) (n int, outcome Outcome) {
	short, leap := 0, true // the longest trial that fell short
	for n = first; n <= mostUnits; {
		v := judge(n)
		switch {
		case v.Outcome == Meets:
			for n-1 >= first && n-1 > short && judge(n-1).Outcome == Meets {
				n--
			}
			return n, Meets
		case v.Outcome == FallsShort:
			short, n = n, n+1
			if leap {
				n = max(n, int(math.Ceil(float64(short)*v.Required.Number/v.Observed.Number*(1-tolerance))))
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

// ReferenceUnit is the unit in which the requirements of a line are counted: the cap-and-pin unit of which its register
// has most strings, else the first stocked one, else U120B of IEC 60305. assumed tells that it is not the line's own.
func (n *Network) ReferenceUnit(line int) (unit *basis.Unit, assumed bool) {
	p, l := n.Project, &n.Lines[line]
	count := make([]int, len(p.Units))
	best := nowhere
	for i := l.First; i < l.End; i++ {
		for _, row := range n.AssemblyRows(i) {
			for _, part := range p.Makeups[p.Assemblies[row].Makeup].Parts {
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

// Requirement is what one structure needs on one line, whatever hangs there.
type Requirement struct {
	Structure int
	Duty      Duty // DutyUnknown where the role is not known
	Unit      *basis.Unit
	Units     int     // of the reference unit; 0 where nothing can be judged, or where no string of it can be shown to do
	LengthMM  float64 // of the string; NaN if unknown
	Governs   *Check  // the check that asks for most units, or that none can be shown to meet; nil where none can be judged
	// AssumedLevel tells that the lightning level is the highest standard one of the line's Um, since none is stated.
	AssumedLevel bool
	CreepageMM   float64 // required; NaN if unknown
	RatingKN     float64 // that a single string needs in the worst load case; NaN if unknown
	Strings      int     // parallel strings of the reference unit that its rating and the crossings ask for; 0 if unknown
	AsksDouble   string  // the crossing that asks for double strings; empty for none
}

// Schedule finds the requirement of every structure of a line. Where no lightning level is stated, the highest standard
// one of the highest voltage is assumed, and marked.
func (n *Network) Schedule(line int, checks []*Check) []Requirement {
	l := n.Lines[line] // a copy, which may hold an assumed level
	assumed := false
	if levels, ok := basis.LightningLevels(l.HighestKV); ok && math.IsNaN(l.Row.LightningKV) && !l.Row.Faulty.Has(FieldVoltage) {
		l.Row.LightningKV, assumed = levels[len(levels)-1], true
		l.WetKV = wetLevel(&l)
	}
	unit, _ := n.ReferenceUnit(line)
	subject := Subject{Criteria: &n.Project.Criteria, Line: &l, Name: n.Project.Symbols.Text}
	out := make([]Requirement, 0, l.End-l.First)
	for i := l.First; i < l.End; i++ {
		s := n.Structure(line, i)
		r := Requirement{Structure: i, Duty: n.Project.Criteria.Requires(&s), Unit: unit, LengthMM: math.NaN(), AssumedLevel: assumed,
			CreepageMM: math.NaN(), RatingKN: math.NaN()}
		if unit != nil {
			subject.Structure = &s
			r.Units, r.Governs = UnitsNeeded(subject, unit, checks)
			r.CreepageMM = requiredFigure(subject, unit, checks)
			if r.Units > mostUnits {
				r.Units = 0
			}
			if r.Units > 0 {
				r.LengthMM = float64(r.Units) * unit.SpacingMM
			}
			r.strengthen(subject, unit)
		}
		out = append(out, r)
	}
	return out
}

// requiredFigure is the creepage that the sizing check with headroom asks for, in mm; NaN if it cannot be judged.
func requiredFigure(s Subject, unit *basis.Unit, checks []*Check) float64 {
	trial := trialOf(unit, 1)
	s.Assembly = &trial
	for _, check := range checks {
		if check.Headroom {
			if v := check.Run(s, nil); v.Outcome <= FallsShort {
				return v.Required.Number
			}
		}
	}
	return math.NaN()
}

// trialOf is a single suspension string of a unit.
func trialOf(unit *basis.Unit, units int) Assembly {
	trial := Assembly{Duty: Suspension, Phases: EveryPhase, UnitsPerString: units, Strings: 1, Direct: UnknownDirectValues(), VAngleDeg: math.NaN()}
	trial.SetMakeup(&Makeup{Text: unit.Name, Parts: []Part{{Unit: 0}}}, []basis.Unit{*unit})
	return trial
}

// strengthen finds the rating that a single string needs and how many parallel strings of the unit give it.
func (r *Requirement) strengthen(s Subject, unit *basis.Unit) {
	trial := trialOf(unit, max(r.Units, 1))
	if r.Duty == Tension {
		trial.Duty = Tension
	}
	s.Assembly = &trial
	for _, asked := range [...]Asked{s.Structure.Back, s.Structure.Ahead} {
		if asked.Double != "" {
			r.Strings, r.AsksDouble = 2, asked.Double
		}
	}
	if pull, reason := s.WorstPull(0); reason == NoReason {
		r.RatingKN = pull.Required
		if !math.IsNaN(unit.RatingKN) {
			r.Strings = max(r.Strings, basis.UnitsNeeded(pull.Required, unit.RatingKN), 1)
		}
	}
}
