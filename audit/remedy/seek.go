package remedy

import (
	"cmp"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// seeker looks for the least number of a unit with which so many strings serve, from the least that is tried up.
type seeker struct {
	*bench
	q          *ask
	u, strings int
	anew       bool
	unit       *basis.Unit

	first, last int
	short       int  // the longest that is known not to serve
	isStepwise  bool // one after the other, since a step was too far

	serving *answer
	stopped *block // what stops all of them, once that is known
	may     *block // the first that may serve
	blocked *block // what stopped the last trial
	behind  *block // the longest that nothing stops but that it may be less than what hangs there
	nearest *block // of those that the last check stopped one after the other: with more units some fall short by more
	before  stop   // what the last that fell short did so by
}

// stop is the check that stopped a trial, and what it said.
type stop struct {
	check   int
	verdict audit.Verdict
}

// trial is what a string of so many units came to.
type trial struct {
	units int
	stop
	asm     audit.Assembly
	tooLong *block // for the line, as every longer one is, unless it is only not known
	byHorns bool   // falls short by arcing horns
	// saysTooLong tells that what the check says is that it is too long for the line.
	saysTooLong bool
}

// seek is least where nothing is remembered.
func (b *bench) seek(q *ask, u, strings int, anew bool) (serving *answer, stopped, may *block) {
	s := seeker{bench: b, q: q, u: u, strings: strings, anew: anew, unit: b.unit(u), before: stop{check: serves}}
	s.first = b.fewest(q, s.unit, strings)
	s.last = max(s.first, mostUnits)
	if !s.unit.Kind.HasUnitCount() {
		s.last = s.first
	}
	b.forgetSaid()
	for units := s.first; units <= s.last; {
		units = s.next(units)
		if s.serving != nil || s.stopped != nil {
			return s.serving, s.stopped, s.may
		}
	}
	if s.blocked != nil && s.blocked.assessed && s.nearest != nil && s.nearest.check == s.blocked.check {
		s.blocked = s.nearest
	}
	return nil, s.blocked, s.may
}

// next tries a number of units and says which is to be tried next, unless it settles the matter.
func (s *seeker) next(units int) int {
	t := s.trial(units)
	if t.check == serves {
		s.serve(&t)
		return units
	}
	if tried := max(s.short, s.first-1); units-1 > tried && !s.isStepwise && !(t.check >= 0 && t.verdict.Outcome == audit.FallsShort && s.result.Checks[t.check].Sizes) {
		s.isStepwise = true // a step too far: something else stops so long a string, and one between may serve
		return tried + 1
	}
	if s.isOver(&t) {
		return units
	}
	s.short = units
	switch {
	case t.check == fallsBehind:
		return s.fallBehind(units)
	case t.verdict.Outcome == audit.NotAssessed && s.blocked != nil && !s.blocked.assessed:
		return units + 1
	case t.verdict.Outcome == audit.NotAssessed:
		s.leaveOpen(&t)
		return units + 1
	}
	return s.fallShort(&t)
}

// asked is how many units the check that stopped a trial asks for, at least one more.
func (t *trial) asked() int {
	observed, required := t.verdict.Observed.Number, t.verdict.Required.Number
	if !(observed > 0) || !(required > observed) {
		return t.units + 1
	}
	return max(t.units+1, int(math.Ceil(float64(t.units)*required/observed*(1-basis.Tolerance))))
}

// trialOf puts the checks to strings of some units.
func (s *seeker) trialOf(units int) trial {
	t := trial{units: units}
	t.check, t.verdict, t.asm = s.tryString(s.q, s.u, units, s.strings, s.anew)
	return t
}

// trial is trialOf with what the line allows and what is by horns.
func (s *seeker) trial(units int) trial {
	t := s.trialOf(units)
	t.tooLong = s.tooLong(s.q, s.u, units, s.strings, s.anew)
	t.byHorns = t.check >= 0 && s.isByHorns(t.check, &t.asm, &t.verdict)
	t.saysTooLong = t.verdict.Outcome == audit.FallsShort && t.verdict.Required.Number == s.site.Line().Row.LongestStringMM
	return t
}

// serve takes a string that no check stops, or one of fewer units where a step went over it, unless it is too long.
func (s *seeker) serve(t *trial) {
	units, tooLong := t.units, t.tooLong
	for units-1 >= s.first && units-1 > s.short {
		if lower, _, _ := s.tryString(s.q, s.u, units-1, s.strings, s.anew); lower != serves {
			break
		}
		units--
		tooLong = s.tooLong(s.q, s.u, units, s.strings, s.anew)
	}
	if tooLong != nil {
		if s.stopped = tooLong; tooLong.mayServe {
			s.may = cmp.Or(s.may, tooLong)
		}
		return
	}
	if s.serving = s.answer(s.q, s.u, units, s.strings, s.anew); s.behind != nil {
		s.serving.notFewer = s.behind.sentence
	}
}

// isOver ends the search where a string is too long for the line already, so that no longer one serves.
func (s *seeker) isOver(t *trial) bool {
	if t.tooLong != nil && t.tooLong.mayServe || t.byHorns { // no length changes what horns do
		t.tooLong = nil
	}
	if t.tooLong != nil && s.blocked != nil && !s.blocked.assessed {
		s.stopped = s.blocked // which no length changes
		return true
	}
	isTooLong := t.tooLong != nil && t.verdict.Outcome != audit.NotAssessed && s.unit.Kind.HasUnitCount() // of others there is none that is longer
	if !isTooLong && !t.saysTooLong {
		return false
	}
	switch horns := s.heldByHorns(s.q, s.u, t.units, s.strings, s.anew); {
	case horns != nil && horns.byHorns: // which a longer string would not mend
		s.stopped = horns
		if horns.mayServe {
			s.may = cmp.Or(s.may, horns)
		}
	case isTooLong && !t.saysTooLong:
		if s.stopped = cmp.Or(s.behind, t.tooLong); s.stopped == t.tooLong {
			s.stopped = cmp.Or(s.shortHoweverLong(t), t.tooLong)
		}
	}
	return s.stopped != nil
}

// shortHoweverLong is what strings fall short by that are as long as what decides their length asks for, and the longest that is tried too, whatever the line allows; nil where there is no
// such check.
func (s *seeker) shortHoweverLong(t *trial) *block {
	if t.check < 0 { // no check stopped it
		return nil
	}
	by := s.nearest
	if s.result.Checks[t.check].Sizes {
		at := s.trialOf(t.asked())
		if by = nil; at.check >= 0 && at.verdict.Outcome == audit.FallsShort && !s.result.Checks[at.check].Sizes {
			by = s.blockedBy(s.q, at.check, at.units, at.asm, &at.verdict, s.isByHorns(at.check, &at.asm, &at.verdict))
		}
	} else if by != nil && by.check != t.check {
		by = nil
	}
	if by == nil {
		return nil
	}
	if longest := s.trialOf(s.last); longest.check != by.check || longest.verdict.Outcome != audit.FallsShort {
		return nil
	}
	return by
}

// fallBehind notes a string that nothing stops but that it may be less than what hangs there.
func (s *seeker) fallBehind(units int) (next int) {
	text := s.less
	s.blocked = &block{check: -1, margin: math.NaN(), assessed: true, unsure: true, lacks: lacksMeasure, sentence: func() string { return text + "." }}
	if s.lessWhatever {
		s.stopped = s.blocked
	}
	s.behind = s.blocked
	return units + 1
}

// leaveOpen notes a string of which something cannot be judged that has to be.
func (s *seeker) leaveOpen(t *trial) {
	s.blocked = s.blockedBy(s.q, t.check, t.units, t.asm, &t.verdict, t.byHorns)
	switch horns := s.heldByHorns(s.q, s.u, t.units, s.strings, s.anew); {
	case horns != nil && horns.byHorns && !horns.mayServe: // whatever else is not known
		s.stopped = horns
		return
	case horns != nil && !horns.byHorns:
		s.blocked = horns // and a longer one may serve
	default:
		s.blocked.mayServe = t.tooLong == nil
	}
	if s.blocked.mayServe {
		s.may = cmp.Or(s.may, s.blocked)
	}
}

// fallShort notes a string that falls short by a check, and says how many units that asks for.
func (s *seeker) fallShort(t *trial) (next int) {
	s.blocked = s.blockedBy(s.q, t.check, t.units, t.asm, &t.verdict, t.byHorns)
	if s.blocked.mayServe {
		s.may = cmp.Or(s.may, s.blocked)
	}
	sizes := s.result.Checks[t.check].Sizes
	isSame := s.before.check == t.check && !sizes && s.before.verdict.Observed == t.verdict.Observed && s.before.verdict.Required == t.verdict.Required
	if t.tooLong != nil || t.saysTooLong || inWords(&t.verdict) || t.byHorns || isSame {
		if s.stopped = s.blocked; t.saysTooLong {
			s.stopped = cmp.Or(s.behind, s.blocked)
		}
		return t.units // units do not change it
	}
	if s.nearest == nil || s.nearest.check != t.check || !(s.blocked.margin < s.nearest.margin) {
		s.nearest = s.blocked
	}
	s.before = t.stop
	if s.isStepwise || !sizes {
		return t.units + 1
	}
	next = t.asked()
	if s.unit.Kind.HasUnitCount() {
		s.last = max(s.last, min(next, audit.MostUnitsAsked))
	}
	if next > s.last && s.short < s.last {
		next = s.last
	}
	return next
}
