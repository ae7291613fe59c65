package remedy

import (
	"iter"
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// sideBySide is how many strings carry one load together: in a V set those of one leg.
func sideBySide(a *audit.Assembly) int { return a.Alongside(a.Strings) }

// stringsToTry yields how many strings of a unit side by side are tried: more than hang there only where a check that they may answer asks, which is
// looked at once those have been tried.
func (b *bench) stringsToTry(q *ask, u int) iter.Seq[int] {
	return func(yield func(int) bool) {
		first, last := 1, mostStrings
		switch {
		case q.duty == audit.Pin, q.duty == audit.Post, q.duty == audit.Shackle, q.duty == audit.Jumper:
			last = 1
		case !q.newcomer:
			for i := range q.old {
				if first = max(first, sideBySide(&q.old[i])); q.old[i].Arrangement == audit.Parallel && !isSetKnown(&q.old[i]) {
					first = max(first, 2) // parallel are two at least
				}
			}
			if !yield(first) || first >= mostStrings || !b.askForMore(q, u, first) {
				return
			}
			first++
		}
		for n := first; n <= last; n++ {
			if !yield(n) {
				return
			}
		}
	}
}

// askForMore tells whether so many strings of a unit, the shortest or the longest tried, fall short of what more of them may answer.
func (b *bench) askForMore(q *ask, u, strings int) bool {
	unit := b.unit(u)
	tried := [...]int{b.fewest(q, unit, strings), mostUnits}
	units := tried[:]
	if !unit.Kind.HasUnitCount() {
		units = units[:1]
	}
	b.asked = b.asked[:0]
	b.borne.of(q, strings)
	for i := range q.members {
		if q.isLike(i) {
			continue
		}
		var ofAny [2]uint64            // what checks said of any number of units, as it is and anew: a bit each
		isBorne := [2]bool{true, true} // by all checks so far
		for _, n := range units {
			for as, anew := range [...]bool{false, true} {
				if anew && !q.stays(i, unit, false) {
					continue // as it is without
				}
				goesByUnit := q.goesByUnit(i, unit, anew)
				if goesByUnit && b.borne.covers(i, unit, n) {
					continue
				}
				made := b.make(q, i, u, n, strings, anew)
				if b.wasAsked(&made.row) {
					continue
				}
				b.asked = append(b.asked, made.row)
				b.tried = made.asm
				for k, check := range b.ofStrings {
					if ofAny[as]&(1<<k) != 0 || q.isSettled(i, check) {
						continue
					}
					v, anyCount := b.site.PutCount(check, &b.tried)
					if v.Outcome == audit.FallsShort {
						return true
					}
					if anyCount {
						ofAny[as] |= 1 << k
					}
					isBorne[as] = isBorne[as] && bears(b.result.Checks[check], &v)
				}
				if goesByUnit && isBorne[as] {
					b.borne.add(i, unit, n)
				}
			}
		}
	}
	return false
}

// wasAsked tells whether checks were put to a row like one already, in the same question.
func (b *bench) wasAsked(row *audit.TrialRow) bool {
	for i := range b.asked {
		if row.Row.UnitsPerString == b.asked[i].Row.UnitsPerString && b.site.AreAlike(row, &b.asked[i]) {
			return true
		}
	}
	return false
}

// hidesFittings tells whether the fittings of a suspension string are not known on trial, where a clearance asks for its length with them: what
// the length of the row tells of fittings is of the set that hangs there, and another number of strings has others. What the line states is of any set, as the audit takes it, and
// a length that is the units' and that tells no more.
func (b *bench) hidesFittings(q *ask, i int, to *audit.AssemblyRow) bool {
	if q.newcomer || i >= len(q.old) || to.Duty != audit.Suspension || !b.site.Structure().Room.AsksClearance() {
		return false
	}
	old := &q.old[i]
	return int(to.Strings) != old.Strings && isSetKnown(old) && old.FittingsMM() != 0 && !(math.Abs(old.FittingsMM()-b.site.Line().Row.FittingsMM) <= asWrittenMM)
}

// asWrittenMM is by how much lengths that are written in whole millimetres may differ and be the same.
const asWrittenMM = 0.5

// spread is the angle of a V set on trial: other legs on the same attachments make another one. It is not known
// where legs are longer or shorter and their length with fittings is not stated, or is no length that meets.
func (b *bench) spread(q *ask, i int, to *audit.TrialRow) {
	if q.newcomer || i >= len(q.old) || to.Row.Arrangement != audit.VSet || q.old[i].Arrangement != audit.VSet {
		return
	}
	old, asm := &q.old[i], b.site.Assembly(to)
	areFittingsKnown := old.FittingsMM() > 0 || b.site.Line().Row.FittingsMM > 0
	longer := longerMM(old, &asm)
	if longer == 0 && q.contrary[i] == nil {
		return
	}
	legs, angle := legMM(old, b.site.Line().Row.FittingsMM), math.NaN()
	if q.contrary[i] == nil && areFittingsKnown {
		angle = basis.VAngleDeg(legs, old.VAngleDeg, legs+longer)
	}
	if to.Row.VAngleDeg = 0; angle >= basis.LeastVAngleDeg && angle <= basis.MostVAngleDeg {
		to.Row.VAngleDeg = float32(angle)
	}
}
