package remedy

import (
	"cmp"
	"math"

	"dryarc/audit"
)

// better orders answers by what the criteria prefer, then by name.
func (x *bench) better(a, b *answer) int {
	for _, p := range x.prefer {
		var order int
		switch p {
		case audit.FewestChanges:
			order = cmp.Or(cmp.Compare(a.move, b.move), cmp.Compare(a.changes, b.changes), cmp.Compare(a.units, b.units))
		case audit.LeastPrice:
			order = cmp.Or(compareUnknownLast(a.price, b.price), compareBool(a.strange, b.strange))
		case audit.LeastLength:
			order = compareUnknownLast(a.lengthMM, b.lengthMM)
		}
		if order != 0 {
			return order
		}
	}
	return cmp.Or(cmp.Compare(a.to.Unit, b.to.Unit), cmp.Compare(a.to.Strings, b.to.Strings), cmp.Compare(a.to.UnitsPerString, b.to.UnitsPerString))
}

func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

func compareUnknownLast(a, b float64) int {
	if math.IsNaN(a) || math.IsNaN(b) {
		return compareBool(math.IsNaN(a), math.IsNaN(b))
	}
	return cmp.Compare(a, b)
}

// isBetterSomehow tells whether an answer is better than another in one respect at least, as far as is known.
func (a *answer) isBetterSomehow(than *answer) bool {
	changes := cmp.Or(cmp.Compare(a.move, than.move), cmp.Compare(a.changes, than.changes), cmp.Compare(a.units, than.units))
	return changes < 0 || a.price < than.price || a.lengthMM < than.lengthMM
}
