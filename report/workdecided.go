package report

import (
	"cmp"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/history"
	"dryarc/audit/remedy"
)

// orderedJob is a job at its place in the order of doing, with what was decided of it.
type orderedJob struct {
	remedy.Rank
	said history.WorkDecision
}

// orderedJobs are the jobs in the order of doing. Those that were reported done and are still there stand before all, with what these need done before;
// those that nobody is to do while a decision holds stand last.
func orderedJobs(r *audit.Result, jobs []remedy.Job, d *history.Decided) []orderedJob {
	said := saidOf(jobs, d)
	ordered := make([]orderedJob, 0, len(jobs))
	for _, why := range remedy.Order(r, jobs) {
		ordered = append(ordered, orderedJob{why, said[why.Job]})
	}
	reported := reportedDone(jobs, said)
	place := func(o *orderedJob) int64 { return oneIf(o.said.Aside) - oneIf(reported[o.Job]) }
	slices.SortStableFunc(ordered, func(a, b orderedJob) int { return cmp.Compare(place(&a), place(&b)) })
	return ordered
}

// reportedDone tells of each job whether any of it was reported done and is still there, or whether one of those needs it.
func reportedDone(jobs []remedy.Job, said []history.WorkDecision) []bool {
	reported, at := make([]bool, len(jobs)), make(map[int]int, len(jobs))
	var next []int
	for i := range jobs {
		if at[jobs[i].Structure] = i; said[i].Done > 0 {
			reported[i], next = true, append(next, i)
		}
	}
	for len(next) > 0 {
		last := next[len(next)-1]
		next = next[:len(next)-1]
		for _, structure := range jobs[last].Needs {
			if k, is := at[structure]; is && !reported[k] {
				reported[k], next = true, append(next, k)
			}
		}
	}
	return reported
}

// saidOf is what the decisions come to for each job.
func saidOf(jobs []remedy.Job, d *history.Decided) []history.WorkDecision {
	work := make([]history.Work, len(jobs))
	for i := range jobs {
		work[i] = history.Work{Structure: jobs[i].Structure, Exceptions: jobs[i].Exceptions, NeededBy: jobs[i].NeededBy}
	}
	return d.OfWork(work)
}

// workDecisionNames are the names of workDecisionTexts in layers and CSV files, where the project keeps decisions.
var workDecisionNames = []string{"work_decision", "work_until", "work_by"}

// workDecisionTexts are what was decided of a job, until when and by whom.
func workDecisionTexts(d *history.WorkDecision) [3]string {
	return [...]string{d.State(), d.Until, d.By}
}

// workDecision is what was decided of a job in audit.json: of how many of its exceptions.
type workDecision struct {
	State     string `json:"state"` // in words
	Aside     bool   `json:"aside"` // nobody is to do the job while that holds
	Accepted  int    `json:"accepted"`
	Planned   int    `json:"planned"`
	DataWrong int    `json:"data_wrong"`
	Done      int    `json:"done"` // and still found
	Until     string `json:"until"`
	By        string `json:"by"`
}

func workDecisionOf(d *history.WorkDecision) *workDecision {
	if d.State() == "" {
		return nil
	}
	return &workDecision{d.State(), d.Aside, d.Accepted, d.Planned, d.DataWrong, d.Done, d.Until, d.By}
}

// wrongDatum says what is to be looked at before anything of a job, where a datum of it is said to be wrong.
func wrongDatum(d *history.WorkDecision) string {
	if d.DataWrong == 0 {
		return ""
	}
	return "look first: the datum is said to be wrong: " + cmp.Or(strings.Join(strings.Fields(d.Wrong), " "), "nobody wrote why")
}

// acceptedAlone stands before work that serves accepted findings alone.
const acceptedAlone = "only for what is accepted, although its units are counted: "

// servesAcceptedAlone tells whether a remedy of a job serves accepted findings alone: those of its circuit, and where the job is for any of no
// circuit those too. Work that other work needs serves that.
func servesAcceptedAlone(r *audit.Result, j *remedy.Job, x *remedy.Remedy, d *history.Decided) bool {
	var served []int
	for _, e := range j.Exceptions {
		if circuit := r.Exceptions[e].Circuit; circuit == x.Circuit || circuit == 0 {
			served = append(served, e)
		}
	}
	said := d.OfExceptions(served)
	return len(j.NeededBy) == 0 && said.Of > 0 && said.Accepted == said.Of
}

// decided says what was decided of a job before what it is to be; empty for nothing.
func (w *workRow) decided() string {
	if text := w.said.String(); text != "" {
		return text + ": "
	}
	return ""
}
