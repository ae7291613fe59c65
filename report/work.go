package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/remedy"
)

// workRow is a job as people read it.
type workRow struct {
	job                      *remedy.Job
	why                      remedy.Rank
	rank                     int // from 1, the first to do
	line, structure          string
	findings, hangs, toHang  string // a paragraph each
	fit, remove              []remedy.Count
	sets                     int
	price                    float64 // NaN where a unit to fit has no price, or nothing is to be fitted
	open, stoppedBy, chooses string
	carried                  []string // by Carried.Names; distinct texts of what hangs there, joined
}

// workRows are the jobs in the order of doing.
func workRows(r *audit.Result, jobs []remedy.Job) []workRow {
	rows := make([]workRow, 0, len(jobs))
	for i, why := range remedy.Order(r, jobs) {
		j := &jobs[why.Job]
		w := workRow{job: j, why: why, rank: i + 1, line: r.Project.Symbols.Text(r.Network.Lines[j.Line].Symbol), structure: r.Network.Number(j.Structure),
			findings: findingsInWords(r, j), open: openInWords(r, j), stoppedBy: stopsInWords(j), chooses: j.Candidates.String(), price: math.NaN()}
		var hangs, toHang []string
		for k := range j.Remedies {
			x := &j.Remedies[k]
			where := fmt.Sprintf("circuit %s, ", r.Project.Symbols.Text(x.Circuit))
			from := x.From
			if from == "" {
				from = "nothing"
			}
			hangs = append(hangs, where+x.Duty.String()+": "+from)
			toHang = append(toHang, where+x.To.Duty.String()+", phases "+phasesInWords(x.Phases)+sidesInWords(x.Sides)+": "+x.To.String()+" ("+x.Move.String()+")")
			w.fit, w.remove, w.sets = addCounts(w.fit, x.Fit), addCounts(w.remove, x.Remove), w.sets+x.Sets
			if k == 0 {
				w.price = 0
			}
			w.price += x.Price
		}
		for _, texts := range r.Network.CarriedHere(j.Line, j.Structure) {
			w.carried = append(w.carried, strings.Join(texts, ", "))
		}
		w.hangs, w.toHang = strings.Join(hangs, "\n"), strings.Join(toHang, "\n")
		if len(hangs) == 0 {
			w.hangs = installedAt(r, &audit.Location{Structure: j.Structure, Assembly: -1})
		}
		rows = append(rows, w)
	}
	return rows
}

// addCounts adds counts to others, which stay in the order of their names.
func addCounts(to, counts []remedy.Count) []remedy.Count {
	for _, c := range counts {
		i, known := slices.BinarySearchFunc(to, c.Unit, func(t remedy.Count, name string) int { return strings.Compare(t.Unit, name) })
		if !known {
			to = slices.Insert(to, i, remedy.Count{Unit: c.Unit})
		}
		to[i].Count += c.Count
	}
	return to
}

// findingsInWords says what a job is for: a paragraph for each check and circuit.
func findingsInWords(r *audit.Result, j *remedy.Job) string {
	if len(j.Exceptions) == 0 {
		return "to keep up with the work on other structures of the line"
	}
	var out []string
	for _, f := range r.FindingsOf(j.Exceptions) {
		out = append(out, findingInWords(r, &f))
	}
	return strings.Join(out, "\n")
}

// findingInWords says what is wrong and on which phases and sides.
func findingInWords(r *audit.Result, f *audit.Finding) string {
	e := &r.Exceptions[f.Exceptions[0]]
	where := []string{r.Checks[e.Check].ID}
	if e.Circuit != 0 {
		where = append(where, "circuit "+r.Project.Symbols.Text(e.Circuit))
	}
	if e.To >= 0 {
		where = append(where, "from "+r.Network.Number(e.Structure)+" to "+r.Network.Number(e.To))
	}
	for _, more := range []string{f.Phases, f.Sides} {
		if more != "" {
			where = append(where, more)
		}
	}
	return strings.Join(where, ", ") + ": " + f.Sentence(r)
}

// openInWords says what a job leaves open: the checks by what became of them.
func openInWords(r *audit.Result, j *remedy.Job) string {
	states := [...]string{"still falls short", "falls short with the work done", "not assessed"}
	var checks [len(states)][]string
	for _, o := range j.Open {
		state := 2
		switch {
		case o.Exception >= 0:
			state = 0
		case o.Reason == audit.NoReason:
			state = 1
		}
		if id := r.Checks[o.Check].ID; !slices.Contains(checks[state], id) {
			checks[state] = append(checks[state], id)
		}
	}
	var out []string
	for i, ids := range checks {
		if len(ids) > 0 {
			out = append(out, states[i]+": "+strings.Join(ids, ", "))
		}
	}
	return strings.Join(out, "\n")
}

// stopsInWords says what kept the best candidates from serving.
func stopsInWords(j *remedy.Job) string {
	var out []string
	for _, s := range j.StoppedBy {
		if !slices.Contains(out, s.Sentence) {
			out = append(out, s.Sentence)
		}
	}
	return strings.Join(out, "\n")
}

// unitsInWords lists units by type, empty for none.
func unitsInWords(counts []remedy.Count) string {
	if len(counts) == 0 {
		return ""
	}
	return countsInWords(counts)
}

// shortagePercent is by how much the exception that puts a job in its place falls short, NaN where that is no figure.
func (w *workRow) shortagePercent() float64 { return shownMargin(w.why.Shortage) * 100 }
