package remedy

import (
	"math"
	"slices"

	"dryarc/audit"
)

// shortened are strings of which so few units are taken away that the rest serves, where no number of the same units that is no less than
// what hangs there does: a string that swings too far may do so for the wind on it, and one that is too long needs no more than its end off.
//
// may is one that may serve for all that is known, where none is found.
func (b *bench) shortened(q *ask, serve []answer) (found []answer, may *block) {
	if q.newcomer || slices.ContainsFunc(serve, func(a answer) bool { return a.move <= MoreUnits }) {
		return nil, nil
	}
	for i := range q.old {
		if !q.staying[i].can || q.old[i].Unit.Name != q.old[0].Unit.Name || sideBySide(&q.old[i]) != sideBySide(&q.old[0]) {
			return nil, nil
		}
	}
	u, known := b.numbers[q.old[0].Unit.Name]
	if !known || !b.unit(u).Kind.HasUnitCount() {
		return nil, nil
	}
	least := q.old[0].UnitsPerString
	for i := range q.old {
		if !q.stays(i, b.unit(u), false) {
			return nil, nil
		}
		least = min(least, q.old[i].UnitsPerString)
	}
	strings := sideBySide(&q.old[0])
	b.forgetSaid()
	for n := least - 1; n >= 1; n-- {
		check, v, asm := b.tryString(q, u, n, strings, false)
		switch {
		case check == serves && b.tooLong(q, u, n, strings, false) != nil:
			continue
		case check == serves:
			found = b.addShortened(q, serve, found, u, n, strings)
			for i := range q.old { // so many more off that none defective is left
				if sound := q.old[i].UnitsPerString - q.old[i].Defective; sound >= 1 && sound < n {
					if check, _, _ := b.tryString(q, u, sound, strings, false); check == serves && b.tooLong(q, u, sound, strings, false) == nil {
						found = b.addShortened(q, serve, found, u, sound, strings)
					}
				}
			}
			return found, nil
		case check != fallsBehind && v.Outcome == audit.NotAssessed && b.tooLong(q, u, n, strings, false) == nil:
			if horns := b.heldByHorns(q, u, n, strings, false); horns != nil && !horns.mayServe {
				return nil, nil
			}
			of := asm
			return nil, &block{check: check, margin: math.NaN(), mayServe: true, sentence: func() string { return b.sentence(q, check, of) }}
		case check == fallsBehind, v.Outcome == audit.NotAssessed, b.result.Checks[check].Sizes:
			return nil, nil // still less of it is no better
		}
	}
	return nil, nil
}

// addShortened adds strings of so many units to what was found, unless they stand there already.
func (b *bench) addShortened(q *ask, serve, found []answer, u, units, strings int) []answer {
	isIt := func(a answer) bool { return a.move == FewerUnits && a.to.UnitsPerString == units }
	if slices.ContainsFunc(serve, isIt) || slices.ContainsFunc(found, isIt) {
		return found
	}
	a := b.answer(q, u, units, strings, false)
	a.from = b.fromOf(a, b.from[0])
	return append(found, *a)
}

// notAllShorter is the best string of more units than an answer has, nil where none serves and is better: where strings of different lengths
// hang, some would get shorter by the answer, or all of them, and the longest may be too long.
func (b *bench) notAllShorter(q *ask, u int, a *answer, strings int) (best *answer) {
	longest := 0
	for i := range q.old {
		longest = max(longest, q.old[i].UnitsPerString)
	}
	if a.move == FewerUnits {
		longest-- // with all that are shorter some get longer
	}
	b.forgetSaid()
	for n := a.to.UnitsPerString + 1; n <= longest && b.tooLong(q, u, n, strings, false) == nil; n++ {
		if check, _, _ := b.tryString(q, u, n, strings, false); check != serves {
			continue
		}
		other := b.answer(q, u, n, strings, false)
		if fits := other.move == MoreUnits || a.move != FewerUnits && other.move != FewerUnits && b.better(other, a) < 0; fits && (best == nil || b.better(other, best) < 0) {
			best = other
		}
	}
	return best
}
