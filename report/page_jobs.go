package report

import (
	"strings"

	"dryarc/audit/remedy"
)

// jobJSON is a job as its sheet shows it, a text for each paragraph.
type jobJSON struct {
	At       int64   `json:"at"`      // structure on the page
	Rank     int     `json:"rank"`    // from 1, the first to do
	Why      int64   `json:"why"`     // text
	Decided  int64   `json:"decided"` // text: what was decided of it
	Aside    int64   `json:"aside"`   // 1 where nobody is to do it while that holds
	Line     int64   `json:"line"`    // text: its name, voltage and circuits
	Spans    []int64 `json:"spans"`
	Notes    []int64 `json:"notes"` // remarks and what is carried
	Findings []int64 `json:"findings"`
	Mends    []int64 `json:"mends"`  // found there too, and mended in passing
	Beside   []int64 `json:"beside"` // found there too, and not for the job to mend
	Hangs    []int64 `json:"hangs"`
	Begin    []int64 `json:"begin"` // what is to be done before anything is hung, or where nothing is
	Hang     []int64 `json:"hang"`
	Fit      []int64 `json:"fit"`
	Remove   []int64 `json:"remove"`
	Sets     int     `json:"sets"`
	Price    int64   `json:"price"`     // text
	Look     []int64 `json:"afterLook"` // what is taken only if a look shows that it is needed
	Open     []int64 `json:"open"`
	Stopped  []int64 `json:"stopped"` // with what kind of thing it is
	Chosen   int64   `json:"chosen"`  // text: where the units come from that are not in stock
}

// addJobs adds the first jobs to do of the structures on the page, and how many there are.
func (h *htmlPage) addJobs(out *pageJSON, t *texts) {
	out.JobsInAll, out.Jobs = len(h.jobs), []jobJSON{}
	paragraphs := func(text string) (numbers []int64) {
		numbers = []int64{}
		for paragraph := range strings.SplitSeq(text, "\n") {
			if paragraph != "" {
				numbers = append(numbers, t.whole(paragraph))
			}
		}
		return numbers
	}
	units := func(counts, fewer []remedy.Count) (numbers []int64) {
		numbers = []int64{}
		for i := range counts {
			numbers = append(numbers, t.number(rangesInWords(counts[i:i+1], fewer)))
		}
		return numbers
	}
	each := func(list []string, number func(text string) int64) (numbers []int64) {
		numbers = []int64{}
		for _, text := range list {
			numbers = append(numbers, number(text))
		}
		return numbers
	}
	listed := func(list []string) []int64 { return each(list, t.number) }
	whole := func(list []string) []int64 { return each(list, t.whole) } // sentences of the program
	r, beside := h.result, besides(h.result, h.jobs)
	for i := range h.jobs {
		w := &h.jobs[i]
		at := h.chosen.index[w.job.Structure]
		if at < 0 || len(out.Jobs) == h.limits.jobs {
			continue
		}
		stopped := []int64{}
		for paragraph := range strings.SplitSeq(w.stoppedBy, "\n") {
			if paragraph != "" {
				stopped = append(stopped, t.whole(stopWord(r, w.job)+": "+paragraph))
			}
		}
		out.Jobs = append(out.Jobs, jobJSON{At: int64(at), Rank: w.rank, Why: t.number(w.why.Severity.String() + ", " + w.why.Danger.String()), Decided: t.number(w.said.String()), Aside: oneIf(w.said.Aside),
			Line: t.number(lineOnSheet(r, w.job.Line)), Spans: listed(spansOnSheet(r, w.job.Line, w.job.Structure)), Notes: listed(notesOnSheet(r, w)),
			Findings: whole(findingsOnSheet(r, w, decidedBy(h.changes))), Mends: whole(besideOnSheet(r, w.job.AlsoMends)), Beside: whole(besideOnSheet(r, beside[w.job.Structure])), Hangs: paragraphs(w.hangs), Begin: whole(beginOnSheet(r, w)), Hang: paragraphs(w.toHang), Fit: units(w.fit, w.fewer), Remove: append(units(w.remove, w.removeFewer), paragraphs(unknownRemoval(w.uncounted))...),
			Sets: w.sets, Price: t.number(w.costInWords()), Look: paragraphs(w.afterLook.inWords()), Open: whole(openOnSheet(r, w.job)), Stopped: stopped, Chosen: t.number(w.chosen())})
	}
}
