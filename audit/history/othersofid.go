package history

import (
	"cmp"
	"slices"
	"strings"

	"dryarc/geo"

	"github.com/paulmach/orb"
)

// noteOthers notes in a decision what is not there any more while another exception has its id now, of the same key: one of several rows of which no cell tells
// which is which. Where that one was decided of too, its own figures are enough.
func (d *deciding) noteOthers(decision *Decision) {
	figures := parseFigures(decision.Was)
	decision.Was = strings.Join(slices.DeleteFunc(strings.Split(decision.Was, "; "), func(part string) bool {
		id := figuresID(part)
		was, taken := d.takenFrom(id)
		_, decided := figures[was]
		return taken && was != "" && was != id && decided && decision.Exception == ""
	}), "; ")
	decision.eachHeld(func(f *held) bool {
		was := *f
		i, there := d.places.byID[f.id]
		switch _, taken := d.takenFrom(f.id); {
		case d.namedAnew(f.id):
			f.named = d.r.Run.AsOf
		case taken && f.named != d.r.Run.AsOf: // else a run that this one repeats gave it that id
			f.other = d.r.Run.AsOf
		case there && f.other == d.r.Run.AsOf && d.changes.Exceptions[i].Was != nil: // by a run that this one repeats
			f.other = ""
		}
		return f.other != was.other || f.named != was.named
	})
}

// noteSeen holds what a decision of a workbook is of against the day since which the row showed it, once: what is known only since a later day, or was not there
// when the run compared with was, is another, and what was decided of met before it came, or was away. From then on the file follows it.
func (d *deciding) noteSeen(decision *Decision) {
	decision.eachHeld(func(f *held) bool {
		seen, since := f.seen, d.changes.Since
		if seen == "" {
			return false
		}
		stoodAt := func(p orb.Point) bool { return !located(f.at) || !located(p) || geo.Within(f.at, p, surveyedM) } // else its number is that of another structure now
		rec := d.places.was[f.id]
		var known string
		if i, there := d.places.byID[f.id]; rec != nil && stoodAt(rec.Position) {
			known = rec.FirstSeen
		} else if there && stoodAt(positionOf(d.r.Network, d.r.Exceptions[i].Structure)) {
			rec, known = d.found[i].Was, d.found[i].FirstSeen
		} else {
			return false
		}
		f.seen = ""
		if _, met := f.metOn(); since != nil && f.other == "" && !met && known > seen && (rec != nil && !d.changes.began || rec == nil && since.AsOf >= seen) {
			f.other = known
		}
		return true
	})
}

// namedAnew tells whether what had an id has another of the same key now.
func (d *deciding) namedAnew(id string) bool {
	now := cmp.Or(d.places.became[id].id, d.places.ids[id])
	key, _, _ := strings.Cut(id, "-")
	keyNow, _, _ := strings.Cut(now, "-")
	return now != "" && now != id && key == keyNow
}

// takenFrom tells whether an exception of this run has the id of one that is not there any more, and which id it had.
func (d *deciding) takenFrom(id string) (was string, taken bool) {
	i, there := d.places.byID[id]
	cleared := d.places.cleared[id]
	if !there || cleared == nil || cleared.Why == NotInRun || cleared.Why == NotAssessed {
		return "", false
	}
	if at := positionOf(d.r.Network, d.r.Exceptions[i].Structure); located(at) && located(cleared.Position) && !geo.Within(at, cleared.Position, surveyedM) {
		return "", false // by its number, which is that of another structure now: a decision goes by places
	}
	if then := d.changes.Exceptions[i].Was; then != nil {
		was = then.ID
	}
	return was, true
}
