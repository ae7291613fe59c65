package history

import (
	"fmt"
	"slices"
	"strings"
)

// Work is a job as far as decisions concern it.
type Work struct {
	Structure  int
	Exceptions []int // of the result, that it is for
	NeededBy   []int // structures whose work makes it necessary
}

// WorkDecision is what people decided of a job: of how many of the exceptions that it is for, by what is in force and, of Done, by what is
// still found.
type WorkDecision struct {
	Of                                 int
	Accepted, Planned, DataWrong, Done int
	Until                              string // the last day on which all of that holds; empty where nothing of it has one
	By                                 string
	Reason, Wrong                      string // why, and of Wrong why data are said to be wrong; one after the other
	// Aside tells that nobody is to do the job while that holds: all of it is accepted, or it is for accepted work alone. A job that other
	// work needs stays.
	Aside bool
	// Needed tells that all of it is accepted and other work needs it all the same.
	Needed bool
}

// OfWork says what was decided of each job. This is the one place that tells what becomes of work by decisions: accept takes a job away
// where it is of all its exceptions, plan, data wrong and done never do.
func (j *Decided) OfWork(jobs []Work) []WorkDecision {
	said := make([]WorkDecision, len(jobs))
	if j == nil {
		return said
	}
	at := make(map[int]int, len(jobs))
	for i := range jobs {
		said[i], at[jobs[i].Structure] = j.OfExceptions(jobs[i].Exceptions), i
	}
	stays := func(k int) bool { return k < 0 || said[k].Of > 0 && !said[k].allAccepted() }
	isAccepted := func(k int) bool { return said[k].allAccepted() }
	for i := range jobs {
		d := &said[i]
		if d.Of > 0 && !d.allAccepted() {
			continue
		}
		needs := neededFor(jobs, at, i)
		d.Needed = d.Of > 0 && slices.ContainsFunc(needs, stays)
		d.Aside = !slices.ContainsFunc(needs, stays) && slices.ContainsFunc(needs, isAccepted)
	}
	return said
}

// neededFor are a job and all that need it, whether themselves or through others; -1 stands for one that is not among the jobs.
func neededFor(jobs []Work, at map[int]int, job int) []int {
	found, seen := []int{job}, map[int]bool{job: true}
	for next := 0; next < len(found); next++ {
		if found[next] < 0 {
			continue
		}
		for _, structure := range jobs[found[next]].NeededBy {
			k, known := at[structure]
			if !known {
				k = -1
			}
			if !seen[k] {
				found, seen[k] = append(found, k), true
			}
		}
	}
	return found
}

// OfExceptions counts what was decided of exceptions.
func (j *Decided) OfExceptions(exceptions []int) (said WorkDecision) {
	if j == nil {
		return said
	}
	said.Of = len(exceptions)
	var by, reasons, wrong []string
	for _, e := range exceptions {
		d := j.Of(e)
		switch {
		case d == nil:
			continue
		case d.Status == StillThere:
			said.Done++
		case d.Status != InForce:
			continue
		case d.Verb == Accept:
			said.Accepted++
		case d.Verb == Plan:
			said.Planned++
		case d.Verb == DataWrong:
			said.DataWrong++
			wrong = addText(wrong, d.Reason)
		}
		by, reasons = addText(by, d.By), addText(reasons, d.Reason)
		if d.Status == InForce && d.Until != "" && (said.Until == "" || dayOf(d.Until).Before(dayOf(said.Until))) {
			said.Until = d.Until
		}
	}
	said.By, said.Reason, said.Wrong = strings.Join(by, "; "), strings.Join(reasons, "; "), strings.Join(wrong, "; ")
	return said
}

func (d *WorkDecision) allAccepted() bool { return d.Of > 0 && d.Accepted == d.Of }

// Whole tells whether the same was decided of all of it, or nothing of any.
func (d *WorkDecision) Whole() bool {
	return max(d.Accepted, d.Planned, d.DataWrong, d.Done) == d.Of || d.Accepted+d.Planned+d.DataWrong+d.Done == 0
}

// State is what was decided in a few words, without dates and names; empty for nothing.
func (d *WorkDecision) State() string {
	var parts []string
	for _, part := range [...]struct {
		n    int
		what string
	}{{d.Accepted, "accepted"}, {d.Planned, "planned"}, {d.DataWrong, DataWrong.String()}, {d.Done, StillThere.String()}} {
		switch part.n {
		case 0:
		case d.Of:
			parts = append(parts, part.what)
		default:
			parts = append(parts, fmt.Sprintf("%d of %d %s", part.n, d.Of, part.what))
		}
	}
	switch {
	case d.Needed:
		parts = append(parts, "needed by other work all the same")
	case d.Of == 0 && d.Aside:
		parts = append(parts, "for accepted work alone")
	}
	return strings.Join(parts, ", ")
}

// String is what was decided, until when, by whom and why, in one line; empty for nothing.
func (d *WorkDecision) String() string {
	text := d.State()
	switch {
	case d.Until != "":
		text += ", until " + d.Until
	case d.Accepted+d.Planned > 0:
		text += ", never comes back for review"
	}
	if d.By != "" {
		text += ", by " + d.By
	}
	if d.Reason != "" {
		text += " (" + strings.Join(strings.Fields(d.Reason), " ") + ")"
	}
	return text
}
