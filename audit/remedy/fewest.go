package remedy

import (
	"cmp"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// fewest is the least number of units that is tried: no fewer than strings of that unit have, unless those are longer than the line allows.
func (b *bench) fewest(q *ask, unit *basis.Unit, strings int) int {
	first := 1
	for i := range q.models {
		if m := &q.models[i]; b.isModel(m, unit, strings) {
			first = max(first, m.UnitsPerString)
		}
	}
	return first
}

// isModel tells whether a string tells how many of a unit are the least, and that so many serve where the checks cannot judge it.
func (b *bench) isModel(m *audit.Assembly, unit *basis.Unit, strings int) bool {
	return isOf(m, unit) && sideBySide(m) <= strings && audit.AtMost(m.LengthMM(), b.site.Line().Row.LongestStringMM, "mm").Outcome != audit.FallsShort
}

// least finds the least number of a unit with which so many strings serve, or what stops them, and the first of those that may serve; anew where
// nothing stays of strings that state figures of their own or cannot be read.
func (b *bench) least(q *ask, u, strings int, anew bool) (serving *answer, stopped, may *block) {
	number := b.askOf(q)
	if number == notRemembered {
		return b.seekLeast(q, u, strings, anew)
	}
	of := question{number, b.orderOf(), u, strings, anew}
	if f := b.recall(q, of); f != nil {
		if f.units > 0 {
			return b.answer(q, u, f.units, strings, anew), nil, nil
		}
		return nil, b.inWordsOf(q, of, f.stopped), b.inWordsOf(q, of, f.may)
	}
	w := &b.memory.watch
	*w = watch{on: true, passed: w.passed[:0], served: w.served[:0]}
	serving, stopped, may = b.seekLeast(q, u, strings, anew)
	if w.on = false; (serving != nil || stopped != nil) && !w.spoilt {
		b.remember(q, of, serving, stopped, may)
	}
	return serving, stopped, may
}

// seekLeast is least where nothing is remembered.
func (b *bench) seekLeast(q *ask, u, strings int, anew bool) (serving *answer, stopped, may *block) {
	unit := b.unit(u)
	first := b.fewest(q, unit, strings)
	last := max(first, mostUnits)
	b.forgetSaid()
	if !unit.Kind.HasUnitCount() {
		last = first
	}
	short := 0 // the longest that is known not to serve
	stepwise := false
	var nearest *block         // of those that the last check stopped one after the other: with more units some fall short by more
	var blocked, behind *block // behind: the longest that nothing stops but that it may be less than what hangs there
	var before audit.Verdict   // of the check that stopped the last trial
	beforeBy := serves
	for n := first; n <= last; {
		check, v, asm := b.tryString(q, u, n, strings, anew)
		stop := b.tooLong(q, u, n, strings, anew) // as is every longer one, unless it is only not known
		if check == serves {
			for n-1 >= first && n-1 > short {
				if lower, _, _ := b.tryString(q, u, n-1, strings, anew); lower != serves {
					break
				}
				n--
				stop = b.tooLong(q, u, n, strings, anew)
			}
			if stop != nil && stop.mayServe {
				return nil, stop, cmp.Or(may, stop)
			}
			if stop != nil {
				return nil, stop, may
			}
			serving = b.answer(q, u, n, strings, anew)
			if behind != nil {
				serving.notFewer = behind.sentence
			}
			return serving, nil, nil
		}
		if tried := max(short, first-1); n-1 > tried && !stepwise && !(check >= 0 && v.Outcome == audit.FallsShort && b.result.Checks[check].Sizes) {
			n, stepwise = tried+1, true // a step too far: something else stops so long a string, and one between may serve
			continue
		}
		if stop != nil && stop.mayServe {
			stop = nil
		}
		byHorns := check >= 0 && b.isByHorns(check, &asm, &v)
		if byHorns {
			stop = nil // no length changes it
		}
		ofLength := v.Outcome == audit.FallsShort && v.Required.Number == b.site.Line().Row.LongestStringMM // the check itself says that it is too long
		if stop != nil && blocked != nil && !blocked.assessed {
			return nil, blocked, may // which no length changes
		}
		if tooLong := stop != nil && v.Outcome != audit.NotAssessed; tooLong || ofLength {
			if horns := b.heldByHorns(q, u, n, strings, anew); horns != nil && horns.byHorns { // which a longer string would not mend
				if horns.mayServe {
					may = cmp.Or(may, horns)
				}
				return nil, horns, may
			}
			if tooLong && !ofLength {
				return nil, cmp.Or(behind, stop), may
			}
		}
		short = n
		if check == fallsBehind {
			text, noUnits := b.less, b.lessWhatever
			blocked = &block{check: -1, margin: math.NaN(), assessed: true, unsure: true, lacks: lacksMeasure, sentence: func() string { return text + "." }}
			if noUnits {
				return nil, blocked, may
			}
			behind = blocked
			n++
			continue
		}
		if v.Outcome == audit.NotAssessed && blocked != nil && !blocked.assessed {
			n++
			continue
		}
		blocked = b.blockedBy(q, check, n, asm, &v, byHorns)
		if v.Outcome == audit.NotAssessed {
			horns := b.heldByHorns(q, u, n, strings, anew)
			switch {
			case horns != nil && horns.byHorns && !horns.mayServe: // whatever else is not known
				return nil, horns, may
			case horns != nil && !horns.byHorns:
				blocked = horns // and a longer one may serve
			default:
				blocked.mayServe = stop == nil
			}
		}
		if blocked.mayServe {
			may = cmp.Or(may, blocked)
		}
		if v.Outcome == audit.FallsShort {
			if stop != nil || inWords(&v) || byHorns || beforeBy == check && !b.result.Checks[check].Sizes && before.Observed == v.Observed && before.Required == v.Required {
				if ofLength {
					return nil, cmp.Or(behind, blocked), may
				}
				return nil, blocked, may // units do not change it
			}
			if nearest == nil || nearest.check != check || !(blocked.margin < nearest.margin) {
				nearest = blocked
			}
			before, beforeBy = v, check
			if !stepwise && b.result.Checks[check].Sizes && v.Observed.Number > 0 && v.Required.Number > v.Observed.Number {
				n = max(n+1, int(math.Ceil(float64(n)*v.Required.Number/v.Observed.Number*(1-basis.Tolerance))))
				if unit.Kind.HasUnitCount() {
					last = max(last, min(n, audit.MostUnitsAsked))
				}
				if n > last && short < last {
					n = last
				}
				continue
			}
		}
		n++
	}
	if blocked != nil && blocked.assessed && nearest != nil && nearest.check == blocked.check {
		blocked = nearest
	}
	return nil, blocked, may
}

// tryString puts the checks to strings of some units, on every side, until one stops them: what cannot be judged only where nothing falls short.
func (b *bench) tryString(q *ask, u, units, strings int, anew bool) (stopped int, v audit.Verdict, asm audit.Assembly) {
	var seen [kindsOfMembers][audit.BothSides + 1]bool
	sizesOpen := false
	stopped = serves
	var open audit.Verdict // of what cannot be judged
	var openOf audit.Assembly
	hung := b.hung[:0]
	b.asked = b.asked[:0]
	for i := range q.members {
		m := &q.members[i]
		if q.isLike(i) {
			continue
		}
		bound := q.binds(i, b.unit(u), anew)
		apart := b.kindOf(q, i, strings)
		if !bound && seen[apart][m.Row.Side] {
			continue
		}
		seen[apart][m.Row.Side] = seen[apart][m.Row.Side] || !bound
		made := b.make(q, i, u, units, strings, anew)
		if bound {
			if b.wasAsked(&made.row) {
				continue
			}
			b.asked = append(b.asked, made.row)
		}
		b.tried = made.asm
		asm = b.tried
		hung = append(hung, asm)
		said := b.saidOf(i, unlike{u, strings, anew})
		for k, check := range b.checks {
			if q.isSettled(i, check) {
				continue
			}
			var stops bool
			if known := said.of(check, units); known != nil {
				v, stops = known.verdict, known.stops
			} else {
				var anyCount bool
				v, anyCount = b.site.PutCount(check, &b.tried)
				stops = b.stops(q, i, check, &v, b.unit(u), strings, anew)
				if anyCount {
					said.keep(check, v, stops)
				}
				b.memory.watch.note(b.result.Checks[check], check, i, units, &v, stops, anyCount, ratingBits(&b.tried))
			}
			if stops {
				if v.Outcome == audit.NotAssessed {
					if stopped == serves {
						stopped, open, openOf, b.stoppedAt = check, v, asm, i
					}
					continue
				}
				if k > 0 {
					copy(b.checks[1:k+1], b.checks[:k])
					b.checks[0], b.order = check, 0
				}
				b.stoppedAt = i
				return check, v, asm
			}
			sizesOpen = sizesOpen || leavesSizeOpen(b.result.Checks[check], &v)
		}
	}
	b.hung = hung
	if stopped != serves {
		return stopped, open, openOf
	}
	w := &b.memory.watch
	w.served, w.spoilt = append(w.served, units), w.spoilt || sizesOpen
	isOwn := b.isOwn(q, b.unit(u), units, strings, anew)
	for i := range hung {
		if b.less, b.lessWhatever = b.behind(q, &hung[i], isOwn, sizesOpen); b.less != "" {
			w.spoilt = true
			return fallsBehind, v, hung[i]
		}
	}
	return serves, v, asm
}
