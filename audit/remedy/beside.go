package remedy

import (
	"fmt"
	"slices"
	"sync"

	"dryarc/audit"
)

// What the work does to verdicts that no job is for: it mends some of them in passing, and where it leaves one string unlike the others it
// brings a note. Both are told of the audit with all work done.

// isBeside returns a function that tells whether an exception after the work is one to tell of: at the place of a job what falls short, and what
// cannot be judged of what fell short before.
func isBeside(fell map[spot]audit.Severity, jobs []Job) func(e *audit.Exception) bool {
	isJob := map[int]bool{}
	for i := range jobs {
		isJob[jobs[i].Structure] = true
	}
	return func(e *audit.Exception) bool {
		if e.To >= 0 || !isJob[e.Structure] {
			return false
		}
		_, known := fell[spotOf(e)]
		return e.Verdict.Outcome == audit.FallsShort || known
	}
}

// noteBeside notes in the jobs what they mend besides and what they bring, by what an audit after the work found at their places.
func noteBeside(r *audit.Result, fell map[spot]audit.Severity, jobs []Job, after []*audit.Exception) {
	stays := map[spot]bool{}
	had := sync.OnceValue(func() map[spotRow]bool {
		had := make(map[spotRow]bool, len(r.Exceptions))
		for i := range r.Exceptions {
			had[spotRow{spotOf(&r.Exceptions[i]), r.Exceptions[i].Assembly}] = true
		}
		return had
	})
	for _, e := range after {
		stays[spotOf(e)] = true
		k, known := find(jobs, e.Line, e.Structure)
		if !known || len(jobs[k].rows) == 0 {
			continue
		}
		j := &jobs[k]
		if _, before := fell[spotOf(e)]; before {
			j.noteStanding(e, r.Project.Assemblies.Len(), had)
			continue
		}
		if slices.ContainsFunc(j.Open, func(o Open) bool { return o.Check == e.Check && o.Circuit == e.Circuit }) {
			continue
		}
		j.Open = append(j.Open, Open{Check: e.Check, Circuit: e.Circuit, Exception: -1, Brought: e.Verdict.Severity == audit.Note, beside: true})
		j.tellBeside(fmt.Sprintf("The work brings this %s: %s", e.Verdict.Severity, e.Verdict.Sentence))
	}
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		if e.Structure < 0 || e.To >= 0 || e.Verdict.Severity == audit.Note || stays[spotOf(e)] {
			continue
		}
		if k, known := find(jobs, e.Line, e.Structure); known && jobs[k].changes(e) && !slices.Contains(jobs[k].Exceptions, i) {
			jobs[k].AlsoMends = append(jobs[k].AlsoMends, i)
		}
	}
}

// spotRow is a row of the register at a spot.
type spotRow struct {
	spot
	row int
}

// noteStanding notes in a job an exception of a milder severity than jobs are for that stands with the work done on what the job changes, as one
// that it leaves, or where that row had none, brings. Notes are not told of again.
func (j *Job) noteStanding(e *audit.Exception, rows int, had func() map[spotRow]bool) {
	if e.Verdict.Outcome != audit.FallsShort || e.Verdict.Severity == audit.Note || e.Assembly < 0 || !j.touches(e.Assembly, rows) {
		return
	}
	what := "brings"
	if had()[spotRow{spotOf(e), e.Assembly}] {
		what = "leaves"
	}
	if text := fmt.Sprintf("The work %s this %s: %s", what, e.Verdict.Severity, e.Verdict.Sentence); !slices.Contains(j.Trace, text) {
		j.tellBeside(text)
	}
	if !slices.ContainsFunc(j.Open, func(o Open) bool {
		return o.Check == e.Check && o.Circuit == e.Circuit && (o.Exception >= 0 || o.Reason == audit.NoReason && !o.Brought)
	}) {
		j.Open = append(j.Open, Open{Check: e.Check, Circuit: e.Circuit, Exception: -1, beside: true})
	}
}

func (j *Job) tellBeside(text string) {
	j.Trace, j.beside = append(j.Trace, text), append(j.beside, text)
}

// forgetBeside takes back what noteBeside noted after an earlier proof: with more work done it may be otherwise.
func (j *Job) forgetBeside() {
	j.AlsoMends = nil
	j.Open = slices.DeleteFunc(j.Open, func(o Open) bool { return o.beside })
	j.Trace = slices.DeleteFunc(j.Trace, func(text string) bool { return slices.Contains(j.beside, text) })
	j.beside = nil
}

// touches tells whether a job changes a row of the register, or adds it behind those that it has.
func (j *Job) touches(row, rows int) bool {
	return row >= rows || slices.ContainsFunc(j.rows, func(t audit.TrialRow) bool { return t.At == row }) ||
		slices.ContainsFunc(j.dropped, func(d repeated) bool { return d.repeat == row })
}

// changes tells whether a job surely changes what an exception is of: its row, or the circuit where it is of none. Work that is done only where
// a look shows that nothing hangs, or which row is right, is not sure.
func (j *Job) changes(e *audit.Exception) bool {
	if j.contradicts(e.Circuit) {
		return false
	}
	if e.Assembly >= 0 {
		return slices.ContainsFunc(j.rows, func(t audit.TrialRow) bool { return t.At == e.Assembly }) ||
			slices.ContainsFunc(j.dropped, func(d repeated) bool { return d.repeat == e.Assembly })
	}
	return slices.ContainsFunc(j.Remedies, func(x Remedy) bool { return x.Circuit == e.Circuit && !x.Unregistered })
}
