package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/history"
	"dryarc/audit/remedy"
)

// workRow is a job as people read it.
type workRow struct {
	job                      *remedy.Job
	why                      remedy.Rank
	said                     history.WorkDecision
	rank                     int // from 1, the first to do
	line, structure          string
	findings, hangs, toHang  string // a paragraph each
	takes                           // for certain
	afterLook                takes  // only if a look shows that it is needed
	open, stoppedBy, chooses string
	carried                  []string // by Carried.Names; distinct texts of what hangs there, joined
}

// What is said of a place of which the register has nothing.
const (
	nothingRegistered = "nothing registered"
	lookWhichUnit     = "look first which of the unlike units of the string are defective, which no input says"
	lookWhichRow      = "look first which of the rows that contradict each other is right"
	lookFirst         = "look what hangs and enter it in the register"
)

// rowsOf are jobs in their order of doing, those last that nobody is to do while a decision holds.
func rowsOf(r *audit.Result, jobs []remedy.Job, order []orderedJob, d *history.Decided) []workRow {
	rows := make([]workRow, 0, len(order))
	for i, ordered := range order {
		j := &jobs[ordered.Job]
		w := workRow{job: j, why: ordered.Rank, said: ordered.said, rank: i + 1, line: r.Project.Symbols.Text(r.Network.Lines[j.Line].Symbol), structure: r.Network.Number(j.Structure),
			findings: findingsInWords(r, j), open: openInWords(r, j), stoppedBy: stopsInWords(j), chooses: j.Candidates.String(), takes: takes{price: math.NaN()}, afterLook: takes{price: math.NaN()}}
		var hangs, toHang []string
		for k := range j.Remedies {
			x := &j.Remedies[k]
			where := fmt.Sprintf("circuit %s, ", r.Project.Symbols.Text(x.Circuit))
			from := hangsInWords(j, x)
			switch mended := slices.IndexFunc(j.Remedies, func(o remedy.Remedy) bool { return o.From != "" && o.Circuit == x.Circuit && o.Duty == x.Duty }); {
			case !x.Unregistered:
				hangs = append(hangs, where+x.Duty.String()+": "+from)
			case mended >= 0: // it stands there with what is mended of it
			default:
				for _, text := range circuitInWords(r, j.Structure, x.Circuit, []gapAt{gapOfRemedy(x)}) {
					if !slices.Contains(hangs, where+text) {
						hangs = append(hangs, where+text)
					}
				}
			}
			condition := ""
			if !w.said.Whole() && servesAcceptedAlone(r, j, x, d) {
				condition = acceptedAlone
			}
			if x.Unregistered {
				if condition += "if nothing hangs: "; !slices.Contains(toHang, lookFirst) {
					toHang = slices.Insert(toHang, 0, lookFirst)
				}
			}
			for _, change := range changesInWords(x) {
				toHang = append(toHang, condition+where+x.To.Duty.String()+", "+change)
			}
			certain, afterLook := partsOf(r, x)
			w.takes.add(r, &certain)
			w.afterLook.add(r, &afterLook)
			if phases := uncounted(x); phases != "" {
				w.uncounted = append(w.uncounted, x.Duty.String()+", "+phases)
			}
		}
		for _, texts := range r.Network.CarriedHere(j.Line, j.Structure) {
			w.carried = append(w.carried, strings.Join(texts, ", "))
		}
		w.hangs, w.toHang = strings.Join(hangs, "\n"), joinedLines(append(toHang, remedy.NeedsInWords(r, j))...)
		if len(hangs) == 0 {
			w.hangs = hangsWithout(r, j)
		}
		rows = append(rows, w)
	}
	return rows
}

// findingsInWords says what a job is for: a paragraph for each check and circuit.
func findingsInWords(r *audit.Result, j *remedy.Job) string {
	if len(j.Exceptions) == 0 {
		return cmp.Or(remedy.NeededByInWords(r, j), "to keep up with the work on other structures of the line")
	}
	var out []string
	for _, f := range r.FindingsOf(j.Exceptions) {
		out = append(out, findingInWords(r, &f))
	}
	return joinedLines(append(append(out, alsoMended(r, j)...), remedy.NeededByInWords(r, j))...)
}

// alsoMended says what a job mends besides, by check: a paragraph for each finding.
func alsoMended(r *audit.Result, j *remedy.Job) (out []string) {
	for _, f := range r.FindingsOf(j.AlsoMends) {
		out = append(out, "also mended by this job: "+r.Exceptions[f.Exceptions[0]].Verdict.Severity.String()+" "+findingInWords(r, &f))
	}
	return out
}

// findingInWords says what is wrong and on which phases and sides.
func findingInWords(r *audit.Result, f *audit.Finding) string {
	check := r.Checks[r.Exceptions[f.Exceptions[0]].Check].ID
	return strings.Join(append([]string{check}, whereFound(r, f)...), ", ") + ": " + f.Sentence(r)
}

// whereFound says of a finding which circuit, span, phases and sides it is of.
func whereFound(r *audit.Result, f *audit.Finding) (where []string) {
	e := &r.Exceptions[f.Exceptions[0]]
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
	return where
}

// openInWords says what a job leaves open: the checks by what became of them.
func openInWords(r *audit.Result, j *remedy.Job) string {
	var checks [len(openStates)][]string
	for _, o := range j.Open {
		state := openStateOf(&o)
		if id := r.Checks[o.Check].ID; !slices.Contains(checks[state], id) {
			checks[state] = append(checks[state], id)
		}
	}
	var out []string
	for i, ids := range checks {
		if len(ids) > 0 {
			out = append(out, openStates[i]+": "+strings.Join(ids, ", "))
		}
	}
	for _, o := range j.Open {
		if faults := faultsBehind(r, j, o.Reason); o.Exception < 0 && faults != "" && !slices.Contains(out, seeFaults+faults) {
			out = append(out, seeFaults+faults)
		}
	}
	return strings.Join(out, "\n")
}

// openStates are what may become of a check that a job leaves open, by openStateOf.
var openStates = [...]string{"still falls short", "falls short with the work done", "not assessed", "rests on which of the rows that contradict each other is right", "a note that the work brings",
	"an advisory alone with the work done"}

func openStateOf(o *remedy.Open) int {
	switch {
	case o.Advisory:
		return 5
	case o.Exception >= 0:
		return 0
	case o.RowsContradict:
		return 3
	case o.Brought:
		return 4
	case o.Reason == audit.NoReason:
		return 1
	}
	return 2
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
