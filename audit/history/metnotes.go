package history

import (
	"slices"

	"dryarc/audit"
	"dryarc/geo"
)

// noteCleared notes in a decision what met since the run compared with, by the names that that one knew, in place of what a run of this day noted where this one
// repeats it.
func (d *deciding) noteCleared(decision *Decision) {
	decision.eachHeld(func(f *held) bool {
		cleared, was, in := d.places.cleared[f.id], f.met, f.metIn
		if cleared == nil || located(f.at) && located(cleared.Position) && !geo.Within(f.at, cleared.Position, surveyedM) {
			return false
		}
		if day, met := f.metOn(); met && cleared.Why != NotInRun && d.notedToday(f, day, cleared.FirstSeen) {
			f.met, f.metIn = "", ""
		}
		switch {
		case cleared.Why == Meets && !d.roomGoverns(cleared.Check):
			d.noteDay(f)
		case cleared.met != nil:
			d.noteVerdict(f, cleared.met, weighed{valueText(cleared.Observed), valueText(cleared.Required)})
		}
		return f.met != was || f.metIn != in
	})
}

// roomGoverns tells whether a check asks for what the sheet Lines says there is room for and for nothing that what hangs makes more or less, so that less is required
// only where that sheet says so.
func (d *deciding) roomGoverns(id string) bool {
	check := d.checkCalled(id)
	return check != nil && check.OfLine&audit.ReadsLimits != 0 && check.OfLine&audit.ReadsPulls == 0
}

// noteVerdict notes that something meets by a verdict: with the day where it would have met what was required when it was decided, or when it last fell short.
func (d *deciding) noteVerdict(f *held, v *audit.Verdict, last ...weighed) {
	byThat := func(short weighed) bool { return short.metBy(v) }
	if f.weighed().metBy(v) || slices.ContainsFunc(last, byThat) {
		d.noteDay(f)
	} else if _, met := f.metOn(); !met {
		d.noteLess(f, v)
	}
}

// noteDay notes that a run saw meet what figures are of, but where one did before: what fell short since was another already, and a run that is repeated takes no
// more back than it noted. What a run of another project saw stays too: what is there since is known from a later day.
func (d *deciding) noteDay(f *held) {
	if _, met := f.metOn(); !met || f.met <= d.r.Run.AsOf && f.metIn == "" {
		f.met, f.metIn = d.r.Run.AsOf, projectOf(d.r)
	}
}

// notedToday tells whether it was a run of this day, which this one repeats, that noted a day of figures, of what was there before that day.
func (d *deciding) notedToday(f *held, day, firstSeen string) bool {
	return day == d.r.Run.AsOf && firstSeen < day && (f.metIn == "" || f.metIn == projectOf(d.r))
}

// noteMet notes in a decision what meets and of which the run compared with knew nothing, as where its file was lost or the decision came late, and
// takes back what is not so: what was noted by a run of this day where this one repeats it and finds the exception.
func (d *deciding) noteMet(decision *Decision) {
	decision.eachHeld(func(f *held) bool {
		was, in, phases := f.met, f.metIn, f.of.phases
		i, there := d.places.byID[f.id]
		if there {
			f.of.phases &^= d.metBeside(decision, f, i)
		}
		day, met := f.metOn()
		less, byLess := f.metLess()
		if byLess {
			day = less.day
		}
		switch {
		case there && (byLess && day == "" || d.notedToday(f, day, d.changes.Exceptions[i].FirstSeen)):
			f.met, f.metIn = "", ""
		case !there && !met:
			v, beside := d.meetsAnew(decision, f)
			if v != nil {
				d.noteVerdict(f, v)
			}
			f.of.phases &^= beside
		}
		return f.met != was || f.metIn != in || f.of.phases != phases
	})
}

// metBeside are the phases that figures are of and an exception that is there is not, since they have rows of their own now, which meet: what falls short of them
// later is more than was decided of.
func (d *deciding) metBeside(decision *Decision, f *held, exception int) (met holds) {
	e, key := &d.r.Exceptions[exception], d.r.Key(exception)
	now := extentOf(d.r, exception)
	if now.phases == 0 || f.of.phases&^now.phases == 0 {
		return 0
	}
	for _, t := range d.toldAt(e.Line, e.Structure) {
		row := d.r.KeyOf(t.check, &t.at, 0)
		if kept := d.places.cleared[row.ID()]; t.check != e.Check || !d.meets(decision, &t) || kept != nil && kept.Why == NotAssessed || row.Circuit != key.Circuit || !d.r.MayBeOf(d.r.Left(&e.Location), &t.at) {
			continue
		}
		if phases, known := heldBy(row); known {
			met |= phases &^ now.phases
		}
	}
	return met
}
