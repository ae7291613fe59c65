package report

import (
	"strings"

	"dryarc/audit"
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
		text = sentenceCase(stopWord(r, w.job)) + ". " + w.stoppedBy
	}
	return w.decided() + strings.ReplaceAll(text, "\n", "; ")
}
