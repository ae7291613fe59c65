package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/history"
)

// decisionsInWords says in one line how the decisions of people stand; empty where the project has none.
func decisionsInWords(d *history.Decided) string {
	if d == nil {
		return ""
	}
	soon, forever := 0, 0
	for i := range d.Decisions {
		if d.Decisions[i].Soon {
			soon++
		}
		if d.Decisions[i].Forever {
			forever++
		}
	}
	var parts, review []string
	part := func(to *[]string, n int, what string) {
		if n > 0 {
			*to = append(*to, fmt.Sprintf("%s %s", grouped(n), what))
		}
	}
	part(&parts, d.Count(history.StillThere), history.StillThere.String())
	part(&review, soon, noun(soon, "lapses", "lapse")+" within 30 days")
	part(&review, forever, noun(forever, "never comes", "never come")+" back for review")
	text := history.InForce.String()
	if len(review) > 0 {
		text += " (" + strings.Join(review, ", ") + ")"
	}
	part(&parts, d.Count(history.InForce), text)
	for _, status := range [...]history.Status{history.Overruled, history.Lapsed, history.Contradicted, history.Unreadable} {
		part(&parts, d.Count(status), status.String())
	}
	part(&parts, d.Count(history.Unmatched), noun(d.Count(history.Unmatched), "matches", "match")+" nothing")
	part(&parts, d.Count(history.Unjudged), "on what cannot be judged any more")
	part(&parts, d.Count(history.OutOfRun), "on lines that this run left out")
	part(&parts, len(d.Removed), "not in the file any more since the last run")
	if len(parts) == 0 {
		parts = append(parts, "none that stands")
	}
	return "decisions: " + strings.Join(parts, ", ")
}

// decidedOut is how many exceptions are accepted or planned, in force, and so count in no gate.
func decidedOut(r *audit.Result, d *history.Decided) (counts [3]int) {
	for i := range r.Exceptions {
		if !d.Open(i) {
			counts[r.Exceptions[i].Verdict.Severity]++
		}
	}
	return counts
}

// decidedOutInWords says how many exceptions that is; empty where none.
func decidedOutInWords(r *audit.Result, d *history.Decided) string {
	out := decidedOut(r, d)
	if out == [3]int{} {
		return ""
	}
	return fmt.Sprintf("; accepted or planned, and so not counted as open: %s (%s, %s, %s)", counted(out[0]+out[1]+out[2], "exception", "exceptions"), counted(out[0], "shortfall", "shortfalls"),
		counted(out[1], "advisory", "advisories"), counted(out[2], "note", "notes"))
}

// ofInWords says what a decision is of, and where it names no exception, of how many no narrower one speaks.
func ofInWords(r *audit.Result, j *history.Judged) string {
	var parts []string
	part := func(what, value string) {
		if value != "" {
			parts = append(parts, what+value)
		}
	}
	part("line ", j.Line)
	part("structure ", j.Structure)
	part("", j.Check)
	switch {
	case j.Exception == "":
		part("", counted(len(j.Governs), "exception", "exceptions")+structuresInWords(r, j))
	case len(j.Exceptions) > 0:
		key := r.Key(j.Exceptions[0])
		part("to ", key.To)
		part("circuit ", key.Circuit)
		part("phase ", key.Phase)
		part("side ", key.Side)
	}
	return strings.Join(parts, ", ")
}

// mostOfOne is how many structures are named that a decision on more than one exception is of (a choice of this program).
const mostOfOne = 3

// structuresInWords names the structures that a decision on a line is of, the first of many.
func structuresInWords(r *audit.Result, j *history.Judged) string {
	if j.Structure != "" {
		return ""
	}
	var names []string
	for _, i := range j.Governs {
		if name := r.Key(i).Structure; name != "" && !slices.Contains(names, name) {
			if len(names) == mostOfOne {
				names = append(names, "…")
				break
			}
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return " (structure " + strings.Join(names, ", ") + ")"
}

// removedInWords lists the decisions that the run before had and the file has not any more.
func removedInWords(d *history.Decided) []string {
	if d == nil {
		return nil
	}
	return d.RemovedInWords()
}

// decidedBy are the decisions of changes, which may be none.
func decidedBy(c *history.Changes) *history.Decided {
	if c == nil {
		return nil
	}
	return c.Decided
}

// standingInWords says what a decision is worth, and where it is not of the exception alone of what it is.
func standingInWords(j *history.Judged) string {
	if j == nil {
		return ""
	}
	text := j.Status.String()
	switch {
	case j.Exception != "":
	case j.Structure != "" && j.Check != "":
		text += ", of structure and check"
	case j.Structure != "":
		text += ", of the structure"
	default:
		text += ", of line and check"
	}
	if j.Exception == "" || j.Status != history.InForce && j.Status != history.StillThere {
		text += ": " + j.Said.String()
	}
	if j.Detail != "" {
		text += "; " + j.Detail
	}
	if j.Soon {
		text += "; lapses within 30 days"
	}
	if j.Forever {
		text += "; never comes back for review"
	}
	return text
}

// decisionDetails says until when, by whom and why something was decided, and what else there is to say of it.
func decisionDetails(j *history.Judged) string {
	var parts []string
	for _, part := range [...][2]string{{"until ", j.Until}, {"by ", j.By}, {"", j.Reason}, {"", j.Detail},
		{"", map[bool]string{true: "lapses within 30 days"}[j.Soon]}, {"", map[bool]string{true: "never comes back for review"}[j.Forever]}} {
		if part[1] != "" {
			parts = append(parts, part[0]+part[1])
		}
	}
	return strings.Join(parts, "; ")
}

// decidedNames are the names of decidedTexts in layers and CSV files, where the project keeps decisions.
var decidedNames = []string{"decision", "decision_status"}

// decidedTexts are what was decided of an exception and what that is worth.
func decidedTexts(j *history.Judged) [2]string {
	if j == nil {
		return [2]string{}
	}
	return [2]string{j.Word, j.Status.String()}
}

// decidedFindings takes findings apart whose exceptions are decided differently, and puts those first that were reported done.
func decidedFindings(r *audit.Result, d *history.Decided, found []audit.Finding) []audit.Finding {
	if d == nil {
		return found
	}
	type decided struct {
		history.Said
		standing string
	}
	var apart []audit.Finding
	for i := range found {
		var groups []decided
		members := map[decided][]int{}
		for _, e := range found[i].Exceptions {
			key := decided{d.Filled(e), standingInWords(d.Of(e))}
			if members[key] == nil {
				groups = append(groups, key)
			}
			members[key] = append(members[key], e)
		}
		if len(groups) == 1 {
			apart = append(apart, found[i])
			continue
		}
		for _, key := range groups {
			apart = append(apart, r.FindingsOf(members[key])...)
		}
	}
	slices.SortStableFunc(apart, func(a, b audit.Finding) int {
		return cmp.Compare(notDone(d, a.Exceptions[0]), notDone(d, b.Exceptions[0]))
	})
	return apart
}

// notDone is 0 for an exception that was reported done, else 1.
func notDone(d *history.Decided, exception int) int {
	if j := d.Of(exception); j != nil && j.Status == history.StillThere {
		return 0
	}
	return 1
}
