package history

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/geo"

	"github.com/paulmach/orb"
)

// A decision has ended where a run saw what it is of meet: what falls short there later is another exception, of which nobody has decided, be
// its figures what they were. The figures of the decision note the day. What is not there for another reason, since it cannot be judged, is gone
// or does not apply, is what was decided of when it comes back, and so is what met by another rule alone, until it meets by its own. A report that something is done hides
// nothing, and is told beside what falls short again.

// metByRule stands in place of a day where only another rule let something meet, with behind it, where that is known, the rule by which it fell short: by no
// other it is asked again whether it does.
const metByRule = "rule"

// ruleEnds is between metByRule and the rule.
const ruleEnds = ":"

// ownRule tells whether only another rule let meet what the figures are of, and by which rule it fell short; empty where that is not known.
func (f *held) ownRule() (rule string, is bool) {
	word, rule, _ := strings.Cut(f.met, ruleEnds)
	return rule, word == metByRule
}

// metOn tells whether a run saw meet what the figures are of, and on which day.
func (f *held) metOn() (day string, is bool) {
	_, byRule := f.ownRule()
	return f.met, f.met != "" && !byRule
}

// metBefore tells whether an exception that is there came after what the figures are of had met: a run of this project saw that on an earlier day, or what is
// there is known since a later one. Else the run that saw it meet was repeated with other data, or is of another project.
func (d *deciding) metBefore(f *held, exception int) bool {
	day, met := f.metOn()
	return met && (d.changes.Exceptions[exception].FirstSeen > day || f.metIn == projectOf(d.r) && d.r.Run.AsOf > day)
}

// noteDay notes that a run saw meet what figures are of. What a run of another project saw stays: what is there since is known from a later day.
func (d *deciding) noteDay(f *held) {
	project := projectOf(d.r)
	if _, met := f.metOn(); !met || f.metIn == "" || f.metIn == project {
		f.met, f.metIn = d.r.Run.AsOf, project
	}
}

// projectOf is a short hash of where the project file is, from the file of decisions, which may serve several.
func projectOf(r *audit.Result) string {
	file := filepath.Base(r.Project.File)
	if from, err := filepath.Rel(filepath.Dir(r.Project.Decisions), r.Project.File); err == nil {
		file = from
	}
	sum := sha256.Sum256([]byte(filepath.ToSlash(file)))
	return hex.EncodeToString(sum[:])[:hashDigits]
}

// noteCleared notes in a decision what met since the run compared with, by the names that that one knew.
func (d *deciding) noteCleared(decision *Decision) {
	decision.eachHeld(func(f *held) bool {
		cleared, was, in := d.places.cleared[f.id], f.met, f.metIn
		if cleared == nil || located(f.at) && located(cleared.Position) && !geo.Within(f.at, cleared.Position, surveyedM) {
			return false
		}
		switch _, met := f.metOn(); {
		case cleared.Why == Meets && !(met && f.met > d.r.Run.AsOf):
			d.noteDay(f)
		case cleared.Why == RuleChanged && !met:
			if f.met = metByRule; cleared.own != "" {
				f.met += ruleEnds + cleared.own
			}
		}
		return f.met != was || f.metIn != in
	})
}

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
		if since != nil && f.other == "" && f.met == "" && known > seen && (rec != nil && !d.changes.began || rec == nil && since.AsOf >= seen) {
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

// noteMet notes in a decision what meets and of which the run compared with knew nothing, as where its file was lost or the decision came late, and
// takes back what is not so: of a rule where the exception is there again, of a run of this day where this one repeats it and finds it.
func (d *deciding) noteMet(decision *Decision) {
	decision.eachHeld(func(f *held) bool {
		was, in, phases := f.met, f.metIn, f.of.phases
		i, there := d.places.byID[f.id]
		if there {
			f.of.phases &^= d.metBeside(f, i)
		}
		own, byRule := f.ownRule()
		switch {
		case there && byRule, there && f.met == d.r.Run.AsOf && d.changes.Exceptions[i].FirstSeen < f.met:
			f.met, f.metIn = "", ""
		case !there && (f.met == "" || own != "") && d.places.cleared[f.id] == nil && d.meets(decision, f, own):
			d.noteDay(f)
		}
		return f.met != was || f.metIn != in || f.of.phases != phases
	})
}

// metBeside are the phases that figures are of and an exception that is there is not, since they have rows of their own now, which meet: what falls short of them
// later is more than was decided of.
func (d *deciding) metBeside(f *held, exception int) (met holds) {
	e, key := &d.r.Exceptions[exception], d.r.Key(exception)
	now := extentOf(d.r, exception)
	if now.phases == 0 || f.of.phases&^now.phases == 0 {
		return 0
	}
	for _, t := range d.toldAt(e.Line, e.Structure) {
		row := d.r.KeyOf(t.check, &t.at, 0)
		if kept := d.places.cleared[row.ID()]; t.check != e.Check || t.verdict.Outcome != audit.Meets || kept != nil && kept.Why == NotAssessed || row.Circuit != key.Circuit || !d.r.MayBeOf(d.r.Left(&e.Location), &t.at) {
			continue
		}
		if phases, known := heldBy(row); known {
			met |= phases &^ now.phases
		}
	}
	return met
}

// meets tells whether what figures are of is judged, and meets; where a rule is named by that, which asks for what it asked for then, as in another zone it
// does not. Of several rows with one key all have to.
func (d *deciding) meets(decision *Decision, f *held, rule string) bool {
	line, there := d.places.lines[decision.Line]
	if !there || !d.r.Lines[line].Assessed {
		return false
	}
	structure := -1
	if check := d.checkCalled(decision.Check); check == nil || check.Of != audit.OfSection && check.Of != audit.OfLine {
		if structure = d.structureOf(line, decision.Structure, f.at); structure < 0 {
			return false
		}
		if located(f.at) && !mayBeMeasuredAnew(d.r.Network, line, structure, f.at) {
			return false
		}
	}
	id, _, _ := strings.Cut(f.id, "-")
	outcomes := map[audit.Outcome]bool{}
	for _, t := range d.toldAt(line, structure) {
		key := d.r.KeyOf(t.check, &t.at, t.verdict.Missing)
		if decision.Structure != "" {
			key.Structure = decision.Structure // it may have another number since
		}
		if key.ID() == id {
			if rule != "" && (rule != d.changes.RuleOf(d.r, key.Check, line) || !sameText(valueText(t.verdict.Required), f.required)) {
				return false
			}
			outcomes[t.verdict.Outcome] = true
		}
	}
	return outcomes[audit.Meets] && len(outcomes) == 1
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

// backSince says of what was reported done that it met, and falls short again.
func (d *deciding) backSince(decision *Decision, exceptions []int) string {
	was := parseFigures(decision.Was)
	for _, i := range exceptions {
		if then := was[d.ids[i]]; d.metBefore(&then, i) {
			return fmt.Sprintf("%s met on %s, and falls short again", d.inWords(i), then.met)
		}
	}
	return ""
}

// settledSince says when what a decision is of was last seen to meet; empty where that is not known.
func settledSince(decision *Decision) string {
	last := ""
	decision.eachHeld(func(f *held) bool {
		if day, met := f.metOn(); met {
			last = max(last, day)
		}
		return false
	})
	if last == "" {
		return ""
	}
	return fmt.Sprintf("it met on %s", last)
}

// keepMet gives figures the days on which those of an earlier decision on the same met.
func keepMet(figures, earlier string) string {
	then, d := parseFigures(earlier), Decision{Was: figures}
	d.eachHeld(func(f *held) bool {
		was := *f
		f.met, f.metIn = then[f.id].met, then[f.id].metIn
		return f.met != was.met || f.metIn != was.metIn
	})
	return d.Was
}
