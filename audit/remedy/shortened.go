package remedy

import (
	"slices"

	"dryarc/audit"
)

// shortened are strings of which so few units are taken away that the rest serves, where no number of the same units that is no less than
// what hangs there does: a string that swings too far may do so for the wind on it, and one that is too long needs no more than its end off.
func (b *bench) shortened(q *ask, serve []answer) (found []answer) {
	if q.newcomer || slices.ContainsFunc(serve, func(a answer) bool { return a.move <= MoreUnits }) {
		return nil
	}
	for i := range q.old {
		if !q.staying[i].can || q.old[i].Unit.Name != q.old[0].Unit.Name || sideBySide(&q.old[i]) != sideBySide(&q.old[0]) {
			return nil
		}
	}
	u, known := b.numbers[q.old[0].Unit.Name]
	if !known || !b.unit(u).Kind.HasUnitCount() {
		return nil
	}
	least := q.old[0].UnitsPerString
	for i := range q.old {
		if !q.stays(i, b.unit(u), false) {
			return nil
		}
		least = min(least, q.old[i].UnitsPerString)
	}
	strings := sideBySide(&q.old[0])
	for n := least - 1; n >= 1; n-- {
		check, v, _ := b.tryString(q, u, n, strings, false)
		switch {
		case check == serves && b.tooLong(q, u, n, strings, false) != nil:
			continue
		case check == serves:
			isThere := slices.ContainsFunc(serve, func(a answer) bool { return a.move == FewerUnits && a.to.UnitsPerString == n })
			if !isThere {
				a := b.answer(q, u, n, strings, false)
				a.from = b.from[0]
				found = append(found, *a)
			}
			return found
		case check == fallsBehind, v.Outcome == audit.NotAssessed, b.result.Checks[check].Sizes:
			return nil // still less of it is no better
		}
	}
	return nil
}
