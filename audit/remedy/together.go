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

// NeededByInWords says which work a job has to be done before, empty for none.
func NeededByInWords(r *audit.Result, j *Job) string {
	if len(j.NeededBy) == 0 {
		return ""
	}
	if at := structuresInWords(r, j.NeededBy); j.keepsUp == 0 {
		return "to be done before the work at " + at + ", which does not serve without it"
	}
	return "to keep up with the work at " + structuresInWords(r, j.NeededBy) + ", and to be done before it"
}

// NeedsInWords says which work a job is to be done with, empty for none.
func NeedsInWords(r *audit.Result, j *Job) string {
	if len(j.Needs) == 0 {
		return ""
	}
	return "only together with the work at " + structuresInWords(r, j.Needs) + ", which comes first"
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
