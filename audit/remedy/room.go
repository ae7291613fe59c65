package remedy

import "dryarc/audit"

// room is where questions of one structure keep what they ask about, which those of the next one take.
type room struct {
	rows    roomOf[audit.TrialRow]
	strings roomOf[audit.Assembly]
	figures roomOf[audit.DirectValues]
}

func (r *room) empty() {
	r.rows.taken, r.strings.taken, r.figures.taken = 0, 0, 0
}

// mostRoom is how many values it grows to by itself (a choice of this program).
const mostRoom = 256

type roomOf[T any] struct {
	all   []T
	taken int
}

// take is room for so many values, to append to: what is more than that goes elsewhere.
func (r *roomOf[T]) take(count int) []T {
	if r.taken+count > len(r.all) { // what was taken stays where it is
		r.all, r.taken = make([]T, max(count, min(2*(len(r.all)+count), mostRoom))), 0
	}
	from := r.taken
	r.taken += count
	return r.all[from:from:r.taken]
}
