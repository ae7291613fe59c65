package report

import (
	"cmp"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/remedy"
)

// structureWork is what the layers say of the work on a structure.
type structureWork struct {
	severity string // of the worst exception there, of its job where that is for others; empty for none
	findings uint32
	rank     int       // of its job, 0 for none
	remedy   string    // what to hang, or what stops it; empty where there is no job
	decided  [3]string // of its job, by workDecisionNames
}

// structureWorks gathers it by structure of the network; what is of a span or a section counts where that begins.
func structureWorks(r *audit.Result, rows []workRow) map[int]*structureWork {
	found := map[int]*structureWork{}
	at := func(structure int) *structureWork {
		w := found[structure]
		if w == nil {
			w = &structureWork{}
			found[structure] = w
		}
		return w
	}
	all := r.Findings()
	for i := range all {
		e := &r.Exceptions[all[i].Exceptions[0]]
		if e.Structure < 0 {
			continue
		}
		w := at(e.Structure)
		if w.findings++; w.severity == "" { // findings stand worst first
			w.severity = e.Verdict.Severity.String()
		}
	}
	for i := range rows {
		w := at(rows[i].job.Structure)
		if severity := rows[i].why.Severity; w.severity == "" { // its job is for others
			w.severity = severity.String()
		}
		w.rank, w.remedy, w.decided = rows[i].rank, rows[i].workInWords(r), workDecisionTexts(&rows[i].said)
	}
	return found
}

// workInWords says in one line what was decided, and what to hang, or what stops it.
func (w *workRow) workInWords(r *audit.Result) string {
	text := w.toHang
	if text == "" {
		text = w.stopInWords(r)
	}
	return w.decided() + strings.ReplaceAll(text, "\n", "; ")
}

// stopInWords says that nothing is to be hung yet, and what stops it: its limit or what is not known, then that in sentences; where no stop is told what
// the job leaves open.
func (w *workRow) stopInWords(r *audit.Result) string {
	text := sentenceCase(joinedBy(": ", stopWord(r, w.job), joined(limitsInShort(r, w.job)))) + "."
	for _, s := range strings.Split(cmp.Or(w.stoppedBy, w.open), "\n") {
		if s = strings.TrimRight(s, ".;"); s != "" {
			text += " " + sentenceCase(s) + "."
		}
	}
	return text
}

// stopInShort says what kind of thing stops a job, and which limits or missing data that are.
func stopInShort(r *audit.Result, job *remedy.Job) string {
	why := joined(limitsInShort(r, job))
	if why == "" && len(job.StoppedBy) > 0 {
		why = strings.TrimSuffix(job.StoppedBy[0].Sentence, ".")
	}
	return joinedBy(": ", stopWord(r, job), why)
}

// limitsInShort names the limits that stop a job, and what is not known; what has no name is told by its sentence alone.
func limitsInShort(r *audit.Result, job *remedy.Job) (limits []string) {
	for i := range job.StoppedBy {
		stop := &job.StoppedBy[i]
		limit := limitOf(r, stop)
		switch {
		case isGap(r, stop):
			limit = r.Checks[stop.Check].ID
		case stop.Unjudged || stop.Lacks != "":
		case stop.Check < 0 && !stop.TooLong:
			continue
		default:
			limit = "limit " + limit
		}
		if !slices.Contains(limits, limit) {
			limits = append(limits, limit)
		}
	}
	return limits
}

// joinedBy joins two texts by what stands between them, where the second is not empty.
func joinedBy(between, first, second string) string {
	if second == "" {
		return first
	}
	return first + between + second
}
