package remedy

import (
	"fmt"
	"slices"

	"dryarc/audit"
)

// What stops a structure may be its neighbours as they hang today: a tension string that has to get shorter is compared with suspension
// strings that have to as well. So once the jobs bear out each other, the structures where something is stopped are solved again in the
// network with their work done. What an audit of that does not bear out is taken back, so that nothing that was proved is lost.

// seekAgain solves the structures again where something is stopped and the work of the jobs has changed what a check is told, and returns the
// jobs with those that are stopped less for it; nil where there are none. Structures that are barred are left as they are.
func (s *stock) seekAgain(r *audit.Result, again secondAudit, jobs []Job, barred map[int]bool, o Options) (more []Job) {
	var b *bench
	var told []bool // what is told otherwise, by structure of the line
	line := -1
	for i := range jobs {
		j := &jobs[i]
		if len(j.StoppedBy) == 0 || barred[j.Structure] || slices.ContainsFunc(j.StoppedBy, func(s Stop) bool { return s.Check >= 0 && r.Checks[s.Check].Of == audit.OfSection }) {
			continue
		}
		if j.Line != line {
			line, b, told = j.Line, nil, again.network.ToldOtherwise(r.Network, j.Line)
		}
		if !told[j.Structure-r.Network.Lines[line].First] {
			continue
		}
		if b == nil {
			b = s.benchOf(r, line, o)
			b.then = again.network.NewSite(line, r.Checks, "a remedy")
		}
		b.hold = j.holds
		job := b.solve(j.Structure, j.Exceptions)
		r.NoteErrors(b.then.Errors())
		if job == nil || len(job.rows) == 0 || len(job.StoppedBy) >= len(j.StoppedBy) {
			continue
		}
		if more == nil {
			more = slices.Clone(jobs)
		}
		job.restsOn = workBeside(jobs, i)
		job.Trace = append(job.Trace, fmt.Sprintf("What stopped it beside what hangs there today does not with the other work on the line done: %s", j.StoppedBy[0].Sentence))
		more[i] = *job
	}
	return more
}

// isOfHabit tells whether a check compares strings with others of the line as is common practice, which keeps no shortfall from being mended.
func isOfHabit(check *audit.Check) bool { return check.ID == "tension-fewer-units" }

// seekYielding solves the structures where something is stopped again, where shortfalls are to be mended, with the work allowed to bring advisories of habit, which are then told
// of, and returns the jobs with those that are stopped less for it, or then by nothing that is known as a limit; nil where there are none.
func (s *stock) seekYielding(r *audit.Result, jobs []Job, barred map[int]bool, o Options) (more []Job) {
	if wanted(o) == audit.Advisory {
		return nil
	}
	var b *bench
	line := -1
	for i := range jobs {
		j := &jobs[i]
		if len(j.StoppedBy) == 0 || len(j.Exceptions) == 0 || j.keepsUp != 0 || len(j.restsOn) > 0 || barred[j.Structure] || slices.ContainsFunc(j.StoppedBy, func(s Stop) bool {
			return s.Lacks == lacksTogether || s.Check >= 0 && r.Checks[s.Check].Of == audit.OfSection
		}) {
			continue
		}
		if j.Line != line {
			line, b = j.Line, s.benchOf(r, j.Line, o)
			b.yields = true
		}
		b.hold = j.holds
		job := b.solve(j.Structure, j.Exceptions)
		r.NoteErrors(b.first.Errors())
		serves := job != nil && len(job.rows) > 0 && len(job.StoppedBy) < len(j.StoppedBy)
		mayServe := job != nil && len(job.rows) == 0 && len(j.rows) == 0 && len(job.StoppedBy) == len(j.StoppedBy) && countUnjudged(job) > countUnjudged(j)
		if !serves && !mayServe {
			continue
		}
		if more == nil {
			more = slices.Clone(jobs)
		}
		if more[i] = *job; mayServe {
			continue
		}
		job.yields = true
		job.Trace = append(job.Trace, fmt.Sprintf("What serves in every respect was not found, and what is common practice stops no work: %s", j.StoppedBy[0].Sentence))
		more[i] = *job
	}
	return more
}

// countUnjudged counts what stops a job of which no limit is known.
func countUnjudged(j *Job) (count int) {
	for i := range j.StoppedBy {
		if j.StoppedBy[i].Unjudged {
			count++
		}
	}
	return count
}

// workBeside lists the structures of other jobs of the line of one that have work.
func workBeside(jobs []Job, i int) (structures []int) {
	for k := range jobs {
		if k != i && jobs[k].Line == jobs[i].Line && len(jobs[k].rows) > 0 {
			structures = append(structures, jobs[k].Structure)
		}
	}
	return structures
}

// takeBack puts jobs that were proved in the place of those sought again since where an audit does not bear these out, and bars their structures: at
// the very structure, else all of the line; all there are where that is none, or it is the last time.
func takeBack(jobs, proved []Job, list []refuted, barred map[int]bool, last bool) []Job {
	var back []int
	note := func(fits func(j *Job) bool) {
		for i := range jobs {
			if len(jobs[i].StoppedBy) < len(proved[i].StoppedBy) && fits(&jobs[i]) {
				back = append(back, i)
			}
		}
	}
	for k := range list {
		at, had := &list[k], len(back)
		if note(func(j *Job) bool { return j.Structure == at.structure }); len(back) == had {
			note(func(j *Job) bool { return j.Line == at.line })
		}
	}
	if len(back) == 0 || last {
		note(func(*Job) bool { return true })
	}
	jobs = slices.Clone(jobs)
	for _, i := range back {
		jobs[i], barred[jobs[i].Structure] = proved[i], true
	}
	return jobs
}
