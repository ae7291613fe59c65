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

// made is a member of a question as it was made for a trial.
type made struct {
	of   *ask
	like unlike
	row  audit.TrialRow
	asm  audit.Assembly
	// counts tells that with another number of units it differs in that number alone, and in the creepage that goes with it.
	counts bool
}

// make makes a member with so many units for a trial. It is reused by the next of the member.
func (b *bench) make(q *ask, i, u, units, strings int, anew bool) *made {
	for len(b.made) <= i {
		b.made = append(b.made, made{})
	}
	m, like := &b.made[i], unlike{u, strings, anew}
	if m.counts && m.of == q && m.like == like {
		m.row.Row.UnitsPerString = int16(units)
		b.site.Recount(&m.asm, units)
		return m
	}
	m.of, m.like, m.row = q, like, b.remake(q, i, u, units, strings, anew)
	m.asm = b.site.Assembly(&m.row)
	m.counts = !q.binds(i, b.unit(u), anew) && m.row.Row.Arrangement != audit.VSet && !m.asm.CreepageStated && !m.asm.Faulty.Has(audit.CellCreepage)
	return m
}

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
