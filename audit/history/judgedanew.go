package history

import (
	"strings"

	"dryarc/audit"
)

// meets is a verdict by which what figures are of meets, nil where it does not, or nobody can tell. Of several rows with one key all have to, and the verdict
// is one by which it would not have met what was required when it was decided, where there is one.
func (d *deciding) meets(decision *Decision, f *held) (found *audit.Verdict) {
	line, there := d.places.lines[decision.Line]
	if !there || !d.r.Lines[line].Assessed {
		return nil
	}
	structure := -1
	if check := d.checkCalled(decision.Check); check == nil || check.Of != audit.OfSection && check.Of != audit.OfLine {
		if structure = d.structureOf(line, decision.Structure, f.at); structure < 0 {
			return nil
		}
		if located(f.at) && !mayBeMeasuredAnew(d.r.Network, line, structure, f.at) {
			return nil
		}
	}
	id, _, _ := strings.Cut(f.id, "-")
	all := d.toldAt(line, structure)
	for i := range all {
		t := &all[i]
		key := d.r.KeyOf(t.check, &t.at, t.verdict.Missing)
		if decision.Structure != "" {
			key.Structure = decision.Structure // it may have another number since
		}
		if key.ID() != id {
			continue
		}
		if t.verdict.Outcome != audit.Meets {
			return nil
		}
		if found == nil || f.weighed().metBy(found) {
			found = &t.verdict
		}
	}
	return found
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
