package history

import (
	"strings"

	"dryarc/audit"
)

// meetsAnew is a verdict by which meets what figures are of and of which the comparison does not say what became of it, or not in which row it is; nil where it does
// not, or nobody can tell. Where no row has its key the rows are asked that have its phases and sides now; met are those of these rows that meet, where others do not.
func (d *deciding) meetsAnew(decision *Decision, f *held) (v *audit.Verdict, met holds) {
	cleared := d.places.cleared[f.id]
	whichUnknown := cleared != nil && cleared.Why == NotAssessed && cleared.Detail == whichRow
	line, structure, found := d.siteOf(decision, f)
	if !found || cleared != nil && !whichUnknown {
		return nil, 0
	}
	var own, parts []told
	for _, t := range d.toldAt(line, structure) {
		key := d.r.KeyOf(t.check, &t.at, t.verdict.Missing)
		if decision.Structure != "" {
			key.Structure = decision.Structure // it may have another number since
		}
		switch id, _, _ := strings.Cut(f.id, "-"); {
		case key.ID() == id:
			own = append(own, t)
		case d.r.Checks[t.check].Of == audit.OfAssembly && extentOfKey(key).phases&f.of.phases != 0 && f.of.wouldHave(key, id) && (key.Phase != "" || d.r.MayBeOf("", &t.at)):
			parts = append(parts, t)
			if d.meets(decision, &t) {
				met |= extentOfKey(key).phases
			}
		}
	}
	switch {
	case len(own) > 0 && !whichUnknown:
		return d.leastMet(decision, f, own), 0
	case len(own) == 0 && d.cover(parts, f.of.phases):
		v = d.leastMet(decision, f, parts)
	}
	if len(own) > 0 || f.of.phases&^met == 0 { // whether all of it met the verdict tells
		met = 0
	}
	return v, met
}

// siteOf is the line that what figures are of is judged with, and its structure, or -1 for a check of lines and their sections.
func (d *deciding) siteOf(decision *Decision, f *held) (line, structure int, found bool) {
	line, there := d.places.lines[decision.Line]
	if !there || !d.r.Lines[line].Assessed {
		return 0, 0, false
	}
	if check := d.checkCalled(decision.Check); check != nil && (check.Of == audit.OfSection || check.Of == audit.OfLine) {
		return line, -1, true
	}
	structure = d.structureOf(line, decision.Structure, f.at)
	return line, structure, structure >= 0 && (!located(f.at) || mayBeMeasuredAnew(d.r.Network, line, structure, f.at))
}

// leastMet is the verdict of some rows that all meet by which what figures are of would least have met what was required when it was decided; nil where one does not meet.
func (d *deciding) leastMet(decision *Decision, f *held, rows []told) (least *audit.Verdict) {
	for i := range rows {
		v := &rows[i].verdict
		if !d.meets(decision, &rows[i]) {
			return nil
		}
		if least == nil || f.weighed().metBy(least) {
			least = v
		}
	}
	return least
}

// meets tells whether a row meets, or what was decided of was mended in it: that no unit is defective its row has to say, or that what hangs is younger.
func (d *deciding) meets(decision *Decision, t *told) bool {
	v := &t.verdict
	return v.Outcome == audit.Meets || mended(v) && (v.Reason != audit.NoneDefective || d.r.SaysNoneDefective(&t.at) || d.r.InstalledSince(audit.DayOf(decision.Decided), &t.at))
}

// wouldHave tells whether a row of an extent, of the check and circuit of another row and of a side where that is of one, would have an id.
func (e extent) wouldHave(key audit.Key, id string) bool {
	back, ahead := audit.Phases(e.phases), audit.Phases(e.phases>>aheadShift)
	switch {
	case key.Side == "" && back != ahead, key.Side != "" && back != ahead && back != 0 && ahead != 0:
		return false
	case key.Side != "" && back == ahead:
		key.Side = audit.BothSides.String()
	case key.Side != "" && back != 0:
		key.Side = audit.Back.String()
	case key.Side != "":
		key.Side = audit.Ahead.String()
	}
	if back|ahead == audit.EveryPhase {
		key.Phase = ""
		return key.ID() == id
	}
	for _, between := range [...]string{",", ""} { // as rows write phases
		if key.Phase = strings.ReplaceAll((back | ahead).String(), ",", between); key.ID() == id {
			return true
		}
	}
	return false
}

// cover tells whether rows have all phases of something, and no other row may have any.
func (d *deciding) cover(rows []told, phases holds) bool {
	if len(rows) == 0 {
		return false
	}
	at := make([]audit.Location, len(rows))
	for i := range rows {
		at[i] = rows[i].at
		phases &^= extentOfKey(d.r.KeyOf(rows[i].check, &at[i], 0)).phases
	}
	return (phases == 0 || audit.Phases(phases).Count() > mostPhases && d.r.Cover(at, true, true)) && !d.r.MayHoldMore(at[0].Line, at[0].Structure, at...)
}

// toldAt are the verdicts on a structure, or with one below 0 on a line and its sections.
func (d *deciding) toldAt(line, structure int) []told {
	at := [2]int{line, structure}
	all, known := d.judgedAnew[at]
	if !known {
		d.r.Rejudge(line, structure, func(check int, at audit.Location, v audit.Verdict) { all = append(all, told{check, v, at}) })
		d.judgedAnew[at] = all
	}
	return all
}
