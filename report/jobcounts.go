package report

import (
	"fmt"
	"slices"

	"dryarc/audit"
	"dryarc/audit/history"
	"dryarc/audit/remedy"
)

// jobCounts counts the jobs of a run. Every job is one of ready, look first, unmended, unjudged and accepted; all outputs that say how many there are say
// these.
type jobCounts struct {
	All       int `json:"all"`
	Ready     int `json:"ready"`          // to be done as they stand
	LookFirst int `json:"look_first"`     // that begin with a look at what hangs, or an entry in the register
	Unmended  int `json:"nothing_serves"` // that nothing to choose from mends
	Unjudged  int `json:"not_judged"`     // of which it cannot be judged what mends them
	Accepted  int `json:"accepted"`       // that nobody is to do while a decision holds
	Partly    int `json:"partly"`         // of those to be done: nothing to choose from mends all of it
	Planned   int `json:"planned"`        // of those to be done: all of the job is planned
	dated     int // of the accepted: those with a day until which all of that holds
	endless   int // of the accepted: those that never come back for review; one for accepted work alone ends with that
	until     string
	differ    bool // untils of the dated; until is the first of them
}

// countJobs counts jobs, whatever their order.
func countJobs(r *audit.Result, jobs []remedy.Job, d *history.Decided) (c jobCounts) {
	for i, said := range saidOf(jobs, d) {
		c.add(r, &jobs[i], &said)
	}
	return c
}

// countRows counts the jobs of rows.
func countRows(r *audit.Result, rows []workRow) (c jobCounts) {
	for i := range rows {
		c.add(r, rows[i].job, &rows[i].said)
	}
	return c
}

func (c *jobCounts) add(r *audit.Result, j *remedy.Job, said *history.WorkDecision) {
	c.All++
	switch {
	case said.Aside:
		c.Accepted++
		if said.Until != "" {
			c.dated++
		} else if said.Of > 0 {
			c.endless++
		}
		c.differ = c.differ || c.until != "" && said.Until != "" && c.until != said.Until
		if said.Until != "" && (c.until == "" || said.Until < c.until) { // both as year, month and day
			c.until = said.Until
		}
		return
	case wantsLook(r, j):
		c.LookFirst++
	case isUnjudged(j):
		c.Unjudged++
	case len(j.Remedies) == 0:
		c.Unmended++
	default:
		c.Ready++
	}
	if len(j.Remedies) > 0 && len(j.StoppedBy) > 0 {
		c.Partly++
	}
	if said.Planned > 0 && said.Planned == said.Of {
		c.Planned++
	}
}

// asTheyStand says of jobs that no look comes before them.
const asTheyStand = "to be done as they stand"

// inWords says how many jobs there are and how each begins.
func (c jobCounts) inWords() string {
	text := counted(c.All, "job", "jobs") + " in all"
	for _, kind := range [...]struct {
		n    int
		what string
	}{{c.Accepted, c.acceptedInWords()}, {c.Ready, asTheyStand}, {c.LookFirst, "with a look or an entry in the register to be made first"}, {c.Unmended, "that nothing to choose from mends"},
		{c.Unjudged, "of which it cannot be judged what mends them"}, {c.Partly, "of which nothing to choose from mends all"}, {c.Planned, "of which planned"}} {
		if kind.n > 0 {
			text += fmt.Sprintf("; %s %s", grouped(kind.n), kind.what)
		}
	}
	return text
}

// acceptedInWords says until when nobody is to do the accepted jobs, and of how many that has no end.
func (c jobCounts) acceptedInWords() string {
	const aside = "and not to be done"
	switch {
	case c.endless > 0 && c.differ:
		return fmt.Sprintf("accepted %s, %s with an end, the first until %s, %s without end", aside, grouped(c.dated), c.until, grouped(c.endless))
	case c.endless > 0 && c.dated > 0:
		return fmt.Sprintf("accepted %s, %s until %s, %s without end", aside, grouped(c.dated), c.until, grouped(c.endless))
	case c.endless > 0:
		return "accepted without end " + aside
	case c.differ:
		return "accepted, the first until " + c.until + ", " + aside
	case c.dated > 0:
		return "accepted until " + c.until + " " + aside
	}
	return "accepted " + aside
}

// wantsLook tells whether a job begins with a look at what hangs or an entry in the register: where that has nothing or contradicts itself, or
// where it is all that stops the job.
func wantsLook(r *audit.Result, j *remedy.Job) bool {
	if len(j.Remedies) == 0 {
		return wantsEntry(r, j)
	}
	return slices.ContainsFunc(j.Remedies, func(x remedy.Remedy) bool {
		return x.Unregistered || slices.ContainsFunc(x.Changes, func(c remedy.Change) bool { return c.RowsContradict || c.Unlike != nil })
	})
}

// wantsEntry tells whether what stops all of a job is a gap or a contradiction of the register, which no unit mends.
func wantsEntry(r *audit.Result, job *remedy.Job) bool {
	for _, s := range job.StoppedBy {
		if !isGap(r, &s) {
			return false
		}
	}
	return len(job.StoppedBy) > 0
}

// isUnjudged tells whether a job has no work, and no more is known of it than that what may serve cannot be judged.
func isUnjudged(job *remedy.Job) bool {
	return len(job.Remedies) == 0 && len(job.StoppedBy) > 0 && !slices.ContainsFunc(job.StoppedBy, func(s remedy.Stop) bool { return !s.Unjudged })
}

// stopWord says what kind of thing stops a job.
func stopWord(r *audit.Result, job *remedy.Job) string {
	switch {
	case wantsEntry(r, job):
		return "look or enter first"
	case isUnjudged(job):
		return "not known what serves"
	}
	return "nothing serves"
}
