package remedy

import (
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
		return b.seek(q, u, strings, anew)
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
	serving, stopped, may = b.seek(q, u, strings, anew)
	if w.on = false; (serving != nil || stopped != nil) && !w.spoilt {
		b.remember(q, of, serving, stopped, may)
	}
	return serving, stopped, may
}

// tryString puts the checks to strings of some units, on every side, until one stops them: what cannot be judged only where nothing falls short.
func (b *bench) tryString(q *ask, u, units, strings int, anew bool) (stopped int, v audit.Verdict, asm audit.Assembly) {
	var seen [kindsOfMembers][audit.BothSides + 1]bool
	var sizesOpen audit.Rests // on what the checks rest that decide how long strings are and could not judge one
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
				v, stops, anyCount = b.put(q, i, check, b.unit(u), strings, anew)
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
			if leavesSizeOpen(b.result.Checks[check], &v) {
				sizesOpen |= b.result.Checks[check].Rests | audit.RestsOnLength
			}
		}
	}
	b.hung = hung
	if stopped != serves {
		return stopped, open, openOf
	}
	w := &b.memory.watch
	w.served, w.spoilt = append(w.served, units), w.spoilt || sizesOpen != 0
	isOwn := b.isOwn(q, b.unit(u), units, strings, anew)
	for i := range hung {
		if b.less, b.lessWhatever = b.behind(q, &hung[i], isOwn, sizesOpen); b.less != "" {
			w.spoilt = true
			return fallsBehind, v, hung[i]
		}
	}
	return serves, v, asm
}
