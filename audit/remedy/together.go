package remedy

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
)

// keepsUp is why a structure was solved again in the network with the other work done.
type keepsUp uint8

const (
	bySpans keepsUp = 1 << iota // a check that judges by spans and their tensions fell short there
	byOthers
)

// whyAgain is why an audit after the work finds something at a structure that nobody said there would be.
func whyAgain(r *audit.Result, again *secondAudit, at *refuted) (why keepsUp) {
	for _, k := range at.found {
		if r.Checks[again.found[k].Check].BySpans {
			why |= bySpans
		} else {
			why |= byOthers
		}
	}
	return why
}

// nameTogether notes in the jobs which of them another needs, so that neither is done alone. A structure whose spans pull more is put to
// the nearest work each way that hangs tension sets where none are; else, as where strings are compared, to all work of the line.
func nameTogether(r *audit.Result, jobs []Job) {
	nameRests(jobs)
	for i := range jobs {
		j := &jobs[i]
		if j.keepsUp == 0 || len(j.restsOn) > 0 || len(j.rows) == 0 {
			continue
		}
		var with []int
		if j.keepsUp == bySpans {
			with = nearestCuts(jobs, i)
		}
		for k := range jobs {
			if len(with) == 0 || j.keepsUp&byOthers != 0 {
				if k != i && jobs[k].Line == j.Line && len(jobs[k].rows) > 0 && (jobs[k].keepsUp == 0 || len(jobs[k].Exceptions) > 0) && !slices.Contains(j.NeededBy, jobs[k].Structure) {
					j.NeededBy = append(j.NeededBy, jobs[k].Structure)
				}
			}
		}
		for _, k := range with {
			if !slices.Contains(j.NeededBy, jobs[k].Structure) {
				j.NeededBy = append(j.NeededBy, jobs[k].Structure)
			}
		}
	}
	for i := range jobs {
		j := &jobs[i]
		slices.Sort(j.NeededBy)
		for _, structure := range j.NeededBy {
			k, _ := find(jobs, j.Line, structure)
			jobs[k].Needs = append(jobs[k].Needs, j.Structure)
		}
	}
	nameRings(jobs)
	for i := range jobs {
		j := &jobs[i]
		for _, text := range [...]string{NeededByInWords(r, j), NeedsInWords(r, j)} {
			if text != "" {
				j.Trace = append(j.Trace, strings.ToUpper(text[:1])+text[1:]+".")
			}
		}
	}
}

// nameRests notes in the jobs those that rest on them.
func nameRests(jobs []Job) {
	for i := range jobs {
		if len(jobs[i].rows) == 0 {
			continue
		}
		for _, structure := range jobs[i].restsOn {
			if k, known := find(jobs, jobs[i].Line, structure); known && len(jobs[k].rows) > 0 {
				jobs[k].NeededBy = append(jobs[k].NeededBy, jobs[i].Structure)
			}
		}
	}
}

// nearestCuts finds the jobs nearest to one, each way along its line, that hang tension sets where none are.
func nearestCuts(jobs []Job, i int) (nearest []int) {
	cuts := func(k int) bool {
		return slices.ContainsFunc(jobs[k].Remedies, func(m Remedy) bool { return m.To.Duty == audit.Tension && m.Move >= OtherDuty })
	}
	for _, way := range [...]int{-1, 1} {
		for k := i + way; k >= 0 && k < len(jobs) && jobs[k].Line == jobs[i].Line; k += way {
			if cuts(k) {
				nearest = append(nearest, k)
				break
			}
		}
	}
	return nearest
}

// nameRings notes in the jobs which of those that they need, or that need them, they are in a ring with, in which each needs the next: none of
// them is first.
func nameRings(jobs []Job) {
	w := ringWalk{jobs: jobs, at: make([]int, len(jobs)), ring: make([]int, len(jobs))}
	for i := range jobs {
		if w.at[i] == 0 && w.mayBeInRing(i) {
			w.walk(i)
		}
	}
	for i := range jobs {
		j := &jobs[i]
		for _, others := range [...][]int{j.NeededBy, j.Needs} {
			for _, structure := range others {
				if k, _ := find(jobs, j.Line, structure); w.ring[i] > 0 && w.ring[k] == w.ring[i] && !slices.Contains(j.inRing, structure) {
					j.inRing = append(j.inRing, structure)
				}
			}
		}
		slices.Sort(j.inRing)
	}
}

// ringWalk finds the jobs that need each other, at once or by way of others, in one walk along those that need them (Tarjan's algorithm).
type ringWalk struct {
	jobs   []Job
	at     []int // from 1, in the order in which they are come to; 0 before
	ring   []int // from 1, those of one ring alike; 0 while it is open
	open   []int // come to and in no ring yet
	walked int
}

// mayBeInRing tells whether a job both needs another and is needed.
func (w *ringWalk) mayBeInRing(i int) bool {
	return len(w.jobs[i].NeededBy) > 0 && len(w.jobs[i].Needs) > 0
}

// walk closes the rings that are come to from a job, and returns the earliest job of an open one that it leads back to.
func (w *ringWalk) walk(i int) (back int) {
	w.walked++
	w.at[i], w.open, back = w.walked, append(w.open, i), w.walked
	for _, structure := range w.jobs[i].NeededBy {
		k, _ := find(w.jobs, w.jobs[i].Line, structure)
		switch {
		case !w.mayBeInRing(k):
		case w.at[k] == 0:
			back = min(back, w.walk(k))
		case w.ring[k] == 0:
			back = min(back, w.at[k])
		}
	}
	if back == w.at[i] {
		first := slices.Index(w.open, i)
		for _, k := range w.open[first:] {
			w.ring[k] = back
		}
		w.open = w.open[:first]
	}
	return back
}

// apart leaves those structures that are in no ring with a job.
func (j *Job) apart(structures []int) []int {
	return slices.DeleteFunc(slices.Clone(structures), func(s int) bool { return slices.Contains(j.inRing, s) })
}

// NeededByInWords says which work a job has to be done before, empty for none.
func NeededByInWords(r *audit.Result, j *Job) string {
	after := j.apart(j.NeededBy)
	at := structuresInWords(r, after)
	switch {
	case len(j.NeededBy) == 0, j.keepsUp == 0 && len(after) == 0:
		return ""
	case j.keepsUp == 0:
		return "to be done before the work at " + at + ", which does not serve without it"
	}
	text := "to keep up with the work at " + structuresInWords(r, j.NeededBy)
	switch len(after) {
	case 0:
		return text
	case len(j.NeededBy):
		return text + ", and to be done before it"
	}
	return text + ", and to be done before that at " + at
}

// NeedsInWords says which work a job is to be done with, empty for none.
func NeedsInWords(r *audit.Result, j *Job) string {
	var parts []string
	if first := j.apart(j.Needs); len(first) > 0 {
		parts = append(parts, structuresInWords(r, first)+", which comes first")
	}
	if len(j.inRing) > 0 {
		parts = append(parts, structuresInWords(r, j.inRing)+", of which none comes first")
	}
	if len(parts) == 0 {
		return ""
	}
	return "only together with the work at " + strings.Join(parts, ", and with that at ")
}

// structuresInWords lists structures by their numbers, the first few.
func structuresInWords(r *audit.Result, structures []int) string {
	const most = 6
	var numbers []string
	for _, s := range structures[:min(len(structures), most)] {
		numbers = append(numbers, r.Network.Number(s))
	}
	text := strings.Join(numbers, ", ")
	if more := len(structures) - most; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}
