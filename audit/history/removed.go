package history

import (
	"fmt"
	"slices"
)

// Decisions that a run showed and that are not in the file any more. What was filled in on a row is missed there already (Decided.Lost);
// one that lapsed or is contradicted stands on none, so that only the audit.json of the run before tells that it was there.

// The words for what a decision is of, in audit.json.
const (
	OfException         = "exception"
	OfStructureAndCheck = "structure and check"
	OfStructure         = "structure"
	OfLineAndCheck      = "line and check"
)

// Of says what a decision is of.
func (d *Decision) Of() string {
	switch {
	case d.Exception != "":
		return OfException
	case d.Structure != "" && d.Check != "":
		return OfStructureAndCheck
	case d.Structure != "":
		return OfStructure
	}
	return OfLineAndCheck
}

// shown is a decision of an exception as audit.json shows it.
func shown(rec *Record, of string, said Said) (d Decision, is bool) {
	f := held{rec.ID, rec.Severity, rec.Margin, valueText(rec.Observed), valueText(rec.Required), rec.Position, extent{}, "", "", "", "", ""}
	d = Decision{Line: rec.Line, Structure: rec.Structure, Check: rec.Check, Said: said, Was: f.String()}
	switch of {
	case OfException:
		d.Exception = rec.ID
	case OfStructureAndCheck:
	case OfStructure:
		d.Check = ""
	case OfLineAndCheck:
		d.Structure = ""
	default:
		return d, false
	}
	return d, true
}

// OfKept is the decision that stands of an exception which a run keeps without having found it, since it left its line out or cannot judge it:
// the narrowest, as Of has it of those that it found; nil for none.
func (j *Decided) OfKept(rec *Record) *Judged {
	if j == nil {
		return nil
	}
	for _, of := range [...]thing{{exception: rec.ID}, {line: rec.Line, structure: rec.Structure, check: rec.Check}, {line: rec.Line, structure: rec.Structure}, {line: rec.Line, check: rec.Check}} {
		if standing := j.standing[of]; len(standing) > 0 {
			return &j.Decisions[j.judged[standing[0]]]
		}
	}
	return nil
}

// findRemoved finds the decisions that the run before showed and the store has not any more, each once.
func (d *deciding) findRemoved() {
	for _, before := range d.changes.decided {
		known := before
		d.follow(&before)
		ended := slices.ContainsFunc(d.over[known.thing()], func(over *Decision) bool { return over.Said == known.Said }) // by its name then, which it keeps
		if ended || d.has(&before) || d.elsewhereNow(&known) || slices.ContainsFunc(d.Removed, func(r Decision) bool { return r.thing() == before.thing() && r.Said == before.Said }) {
			continue
		}
		d.Removed = append(d.Removed, before)
	}
	slices.SortFunc(d.Removed, func(a, b Decision) int { return compareDecisions(&a, &b) })
}

// elsewhereNow tells whether what a decision says stands of something on a line whose numbers moved, which may be what it was of.
func (d *deciding) elsewhereNow(before *Decision) bool {
	return d.places.moved[before.Line] != nil && slices.ContainsFunc(d.Decisions, func(j Judged) bool { return j.Said == before.Said })
}

// RemovedInWords are the removed decisions, a sentence each.
func (j *Decided) RemovedInWords() (texts []string) {
	since := ""
	if j.since != "" {
		since = " since the run of " + j.since
	}
	for i := range j.Removed {
		d := &j.Removed[i]
		of := "line " + d.Line
		if d.Structure != "" {
			of += ", structure " + d.Structure
		}
		if d.Check != "" {
			of += ", " + d.Check
		}
		texts = append(texts, fmt.Sprintf("The decision %q of %s was removed from the file of decisions%s.", d.Said, of, since))
	}
	return texts
}
