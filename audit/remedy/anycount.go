package remedy

import "dryarc/audit"

// Strings that differ in nothing but how many units they have, and in the figures of the whole that go with it, are tried one after the
// other. What a check says of any number of them it is asked once.

// unlike is in what strings on trial differ beside their number of units.
type unlike struct {
	unit, strings int
	anew          bool
}

// anyCount is what checks say of one member of a question, whatever the number of units.
type anyCount struct {
	like  unlike
	known []bool // by check
	said  []saidOfAny
}

type saidOfAny struct {
	verdict audit.Verdict
	stops   bool // it does not allow the string
}

// fewestAlike is the least number of units from which on they are alike: one may stand alone.
const fewestAlike = 2

// forgetSaid begins another question, or another place.
func (b *bench) forgetSaid() {
	for i := range b.said {
		b.said[i].like = unlike{unit: -1}
	}
}

// saidOf is what was said of a member so far.
func (b *bench) saidOf(member int, of unlike) *anyCount {
	for len(b.said) <= member {
		count := len(b.result.Checks)
		b.said = append(b.said, anyCount{like: unlike{unit: -1}, known: make([]bool, count), said: make([]saidOfAny, count)})
	}
	a := &b.said[member]
	if a.like != of {
		a.like = of
		clear(a.known)
	}
	return a
}

// of is what a check said of any number, nil where it is not known.
func (a *anyCount) of(check, units int) *saidOfAny {
	if units < fewestAlike || !a.known[check] {
		return nil
	}
	return &a.said[check]
}

func (a *anyCount) keep(check int, v audit.Verdict, stops bool) {
	a.known[check], a.said[check] = true, saidOfAny{v, stops}
}
