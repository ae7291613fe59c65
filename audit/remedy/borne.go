package remedy

import (
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// Many units are tried in the same place, of which checks of loads ask only what they weigh and are rated at. A string that weighs and is rated
// between others that are borne is not put to them.

// borne are strings in the place of members of a question, so many side by side, of which no check that more of them may answer falls short.
type borne struct {
	in      *ask
	strings int
	list    []load
}

// load is what a string in the place of a member weighs and is rated at.
type load struct {
	member             int
	weightKg, ratingKN float64
}

// loadOf is that of a string of so many units, of which a weight that is not stated counts as none.
func loadOf(member int, unit *basis.Unit, units int) load {
	weight := unit.WeightKg
	if math.IsNaN(weight) {
		weight = 0
	}
	return load{member, weight * float64(units), unit.RatingKN}
}

// of forgets what was borne in another question.
func (b *borne) of(q *ask, strings int) {
	if b.in != q || b.strings != strings {
		b.in, b.strings, b.list = q, strings, b.list[:0]
	}
}

// add adds a string in the place of a member.
func (b *borne) add(member int, unit *basis.Unit, units int) {
	b.list = append(b.list, loadOf(member, unit, units))
}

// covers tells whether some that are rated no higher weigh no less, and some no more.
func (b *borne) covers(member int, unit *basis.Unit, units int) bool {
	is := loadOf(member, unit, units)
	lighter, heavier := false, false
	for i := range b.list {
		if l := &b.list[i]; l.member == member && l.ratingKN <= is.ratingKN {
			lighter, heavier = lighter || l.weightKg <= is.weightKg, heavier || l.weightKg >= is.weightKg
		}
	}
	return lighter && heavier
}

// bears tells whether a check that goes by load lets a string pass, so that it does others.
func bears(check *audit.Check, v *audit.Verdict) bool {
	return check.ByLoad && (v.Outcome == audit.NotApplicable || v.Outcome == audit.Meets && v.Margin > clearOfRounding)
}

// goesByUnit tells whether a string of a unit in the place of a member has nothing of what its row states, so that it bears what the unit does.
func (q *ask) goesByUnit(i int, unit *basis.Unit, anew bool) bool {
	return q.members[i].Row.Arrangement != audit.VSet && !q.isContradicted(i, unit) && !q.stays(i, unit, anew)
}
