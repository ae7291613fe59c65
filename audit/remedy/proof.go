package remedy

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
)

// Jobs are found structure by structure. What they do to each other shows when all of them are in the register: a tension structure
// cuts a section, and with it the tensions around it; longer suspension strings are what tension strings are compared with. So
// the register with all jobs is audited, and where that does not bear out what the jobs say, the structure is solved again
// in the network as it then is. What could be judged of the place of a job and then cannot bears out nothing either.

// rounds is how often structures are solved again before jobs are withdrawn, and how often those where something is stopped are sought again
// (a choice of this program).
const rounds = 3

// spot is what exceptions before and after the work are matched by: rows and phases change with it.
type spot struct {
	check, line, structure int32
	circuit                audit.Symbol
}

func spotAt(check, line, structure int, circuit audit.Symbol) spot {
	return spot{int32(check), int32(line), int32(structure), circuit}
}

func spotOf(e *audit.Exception) spot { return spotAt(e.Check, e.Line, e.Structure, e.Circuit) }

// prove makes the jobs bear out each other.
func (s *stock) prove(ctx context.Context, r *audit.Result, jobs []Job, o Options) ([]Job, error) {
	if len(jobs) == 0 {
		return jobs, nil
	}
	for i := range jobs {
		jobs[i].forgetBeside()
	}
	fell := map[spot]audit.Severity{}
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		if worst, known := fell[spotOf(e)]; !known || e.Verdict.Severity < worst {
			fell[spotOf(e)] = e.Verdict.Severity
		}
	}
	had := map[spotRow]bool{} // what is milder than jobs are for, by row
	for i := range r.Exceptions {
		if e := &r.Exceptions[i]; isOfRow(e) && e.Verdict.Severity > wanted(o) {
			had[spotRow{spotOf(e), e.Assembly}] = true
		}
	}
	var proved []Job // that an audit bore out before some were sought again
	barred, sought, back := map[int]bool{}, 0, 0
	for round := 0; ; round++ {
		again, err := s.auditWith(ctx, r, fell, had, jobs, o)
		if err != nil {
			return nil, err
		}
		refuted := refutedBy(again, o)
		switch {
		case len(refuted) == 0:
			if sought++; sought <= rounds {
				more := s.seekAgain(r, again, jobs, barred, o)
				if more == nil {
					more = s.seekYielding(r, jobs, barred, o)
				}
				if more != nil {
					proved, jobs = jobs, more
					continue
				}
			}
			noteBeside(r, fell, jobs, again.beside)
			return jobs, nil
		case proved != nil:
			back++
			jobs = takeBack(jobs, proved, refuted, barred, back == rounds)
			continue
		case round < rounds:
			jobs = s.solveAgain(r, again, jobs, refuted, o)
			continue
		}
		for i := range refuted {
			if !refuted[i].grave {
				jobs = accept(jobs, &refuted[i], again, notToBeHelped)
			}
		}
		if !withdraw(r, jobs, refuted, again) {
			noteBeside(r, fell, jobs, again.beside)
			return jobs, nil
		}
	}
}

// refuted is a structure where an audit after the work finds what the jobs say it will not.
type refuted struct {
	line, structure int
	found           []int // in what that audit found
	grave           bool  // one of them is of those that were to be mended
}

// networkWith is the network as it is with the work of jobs done.
func (s *stock) networkWith(ctx context.Context, r *audit.Result, jobs []Job, o Options) (*audit.Network, error) {
	n, err := audit.ArrangeLike(apply(r.Project, jobs, true), r.Network, linesOf(jobs))
	if err != nil {
		return nil, fmt.Errorf("arranging the register with its remedies: %w", err)
	}
	return n, audit.DeriveLike(ctx, n, r.Network, o.Workers)
}

// secondAudit is the network with all jobs done, and what the jobs do not bear out there, by structure: exceptions, and what cannot be judged.
type secondAudit struct {
	network *audit.Network
	checks  []*audit.Check
	found   []*audit.Exception
	beside  []*audit.Exception // what they do not speak of, as isBeside tells
}

// auditWith audits the lines of the jobs as they are with the work done.
func (s *stock) auditWith(ctx context.Context, r *audit.Result, fell map[spot]audit.Severity, had map[spotRow]bool, jobs []Job, o Options) (again secondAudit, err error) {
	again.checks = r.Checks
	if again.network, err = s.networkWith(ctx, r, jobs, o); err != nil {
		return again, err
	}
	lines := linesOf(jobs)
	isRefuting, isBeside := refutes(r, fell, had, jobs, o), isBeside(fell, jobs)
	all, err := r.Reassess(ctx, again.network, lines, o.Workers, func(e *audit.Exception) bool { return isRefuting(e) || isBeside(e) })
	again.beside = all[:0]
	for _, e := range all {
		if isRefuting(e) {
			again.found = append(again.found, e)
		} else {
			again.beside = append(again.beside, e)
		}
	}
	again.found = s.withoutOpenBefore(r, again.found, o)
	return again, err
}

// linesOf are the lines of jobs, which are in their order.
func linesOf(jobs []Job) (lines []int) {
	for i := range jobs {
		if i == 0 || jobs[i].Line != jobs[i-1].Line {
			lines = append(lines, jobs[i].Line)
		}
	}
	return lines
}

// withoutOpenBefore leaves out what cannot be judged and could not be before the work, of one phase or all.
func (s *stock) withoutOpenBefore(r *audit.Result, found []*audit.Exception, o Options) []*audit.Exception {
	var b *bench
	line, structure := -1, -1
	return slices.DeleteFunc(found, func(e *audit.Exception) bool {
		if e.Verdict.Outcome != audit.NotAssessed {
			return false
		}
		if e.Line != line {
			b, line, structure = s.benchOf(r, e.Line, o), e.Line, -1
			b.site = b.first
		}
		if e.Structure != structure {
			structure = e.Structure
			b.site.MoveTo(structure)
			b.look()
		}
		before := b.state(e.Circuit, e.Check)
		return before.unassessed || !before.met && !before.fell
	})
}

// refutes returns a function that tells whether an exception after the work is one that the jobs say there will not be, or may be one: at the
// place of a job what it does not say stays open. What is milder than jobs are for is one too on a row that no job touches and that had it not, as on one side of a structure of which
// the other had.
func refutes(r *audit.Result, fell map[spot]audit.Severity, had map[spotRow]bool, jobs []Job, o Options) func(e *audit.Exception) bool {
	open, accepted, isJob, yields := map[spot]bool{}, map[spot]bool{}, map[int]bool{}, map[int]bool{}
	for i := range jobs {
		isJob[jobs[i].Structure], yields[jobs[i].Structure] = true, jobs[i].yields
		for _, left := range jobs[i].Open {
			at := spotAt(left.Check, jobs[i].Line, jobs[i].Structure, left.Circuit)
			if open[at] = true; left.Exception < 0 {
				accepted[at] = true
			}
		}
	}
	isNewOnRow := func(e *audit.Exception) bool {
		if !isOfRow(e) || accepted[spotOf(e)] || had[spotRow{spotOf(e), e.Assembly}] {
			return false
		}
		i, known := find(jobs, e.Line, e.Structure)
		return !known || !jobs[i].touches(e.Assembly, r.Project.Assemblies.Len())
	}
	want := wanted(o)
	return func(e *audit.Exception) bool {
		if e.Verdict.Outcome == audit.NotAssessed {
			return isJob[e.Structure] && !open[spotOf(e)]
		}
		before, known := fell[spotOf(e)]
		stands, mild := known && before <= e.Verdict.Severity, e.Verdict.Severity > want
		switch ofStructure := r.Checks[e.Check].Of == audit.OfStructure; {
		case e.Verdict.Severity == audit.Note:
		case mild && isNewOnRow(e):
			return true
		case mild && yields[e.Structure] && isOfHabit(r.Checks[e.Check]):
		case open[spotOf(e)] && (stands || ofStructure || mild):
		case stands && (mild || ofStructure):
		default:
			return true
		}
		return false
	}
}

// refutedBy lists the structures where an audit after the work finds what the jobs say it will not, in order.
func refutedBy(again secondAudit, o Options) (list []refuted) {
	for i := range again.found {
		e := again.found[i]
		if k := len(list); k == 0 || list[k-1].line != e.Line || list[k-1].structure != e.Structure {
			list = append(list, refuted{line: e.Line, structure: e.Structure})
		}
		last := &list[len(list)-1]
		last.found, last.grave = append(last.found, i), last.grave || e.Verdict.Severity <= wanted(o)
	}
	return list
}

// solveAgain solves structures in the network as it is with the work done, starting from what the register has there. Where that
// cannot do as much, and it is only advisories that the work brings, the job stays and names them.
func (s *stock) solveAgain(r *audit.Result, again secondAudit, jobs []Job, list []refuted, o Options) []Job {
	var b *bench
	for k := range list {
		at := &list[k]
		if k == 0 || list[k-1].line != at.line {
			b = s.benchOf(r, at.line, o)
			b.then = again.network.NewSite(at.line, r.Checks, "a remedy")
		}
		i, known := find(jobs, at.line, at.structure)
		var exceptions []int
		b.hold = nil
		if known {
			exceptions, b.hold = jobs[i].Exceptions, jobs[i].holds
		}
		job := b.solve(at.structure, exceptions)
		if k+1 == len(list) || list[k+1].line != at.line {
			r.NoteErrors(b.then.Errors())
		}
		switch {
		case job == nil && !at.grave && !known: // and more of it here is not looked for
			jobs = accept(jobs, at, again, "With the work on the line, and left as what falls short by the same here already")
		case job == nil:
		case !at.grave && (!known && len(job.StoppedBy) > 0 || known && len(job.StoppedBy) > len(jobs[i].StoppedBy)):
			jobs = accept(jobs, at, again, notToBeHelped)
		case known:
			job.restsOn, job.without = jobs[i].restsOn, jobs[i].without
			if !at.grave && len(job.without) == 0 && len(jobs[i].rows) > 0 && !job.doesAs(&jobs[i]) {
				job.without = []Job{jobs[i]}
			}
			if job.keepsUp = jobs[i].keepsUp; !job.doesAs(&jobs[i]) {
				job.keepsUp |= whyAgain(r, &again, at)
			}
			jobs[i] = *job
		default:
			job.keepsUp = whyAgain(r, &again, at)
			jobs = slices.Insert(jobs, i, *job)
		}
	}
	return jobs
}

// doesAs tells whether two jobs of one structure ask for the same work, and differ in no more than what they leave open.
func (j *Job) doesAs(other *Job) bool {
	return slices.EqualFunc(j.Remedies, other.Remedies, func(a, b Remedy) bool {
		return a.Circuit == b.Circuit && a.Duty == b.Duty && a.Phases == b.Phases && a.To == b.To
	})
}

const notToBeHelped = "With the work on the line, and not to be helped here"

// accept names what the work brings at a structure in its job, and how that comes.
func accept(jobs []Job, at *refuted, again secondAudit, how string) []Job {
	i, known := find(jobs, at.line, at.structure)
	if !known {
		jobs = slices.Insert(jobs, i, Job{Line: at.line, Structure: at.structure})
	}
	j := &jobs[i]
	for _, k := range at.found {
		e := again.found[k]
		if slices.ContainsFunc(j.Open, func(o Open) bool { return o.Check == e.Check && o.Circuit == e.Circuit && o.Exception < 0 }) {
			continue
		}
		text, reason := e.Verdict.Sentence, audit.NoReason
		if e.Verdict.Outcome == audit.NotAssessed {
			reason = e.Verdict.Reason
			text = fmt.Sprintf("%s cannot be judged any more: %s.", again.checks[e.Check].ID, reason)
		}
		j.Open = append(j.Open, Open{Check: e.Check, Circuit: e.Circuit, Exception: -1, Reason: reason})
		j.Trace = append(j.Trace, fmt.Sprintf("%s: %s", how, text))
	}
	return jobs
}

func find(jobs []Job, line, structure int) (int, bool) {
	return slices.BinarySearchFunc(jobs, structure, func(j Job, structure int) int {
		return cmp.Or(cmp.Compare(j.Line, line), cmp.Compare(j.Structure, structure))
	})
}

// withdraw takes back the jobs of structures whose promise does not hold, and where there is none all of the line, those that do more than they did for an advisory to what they did;
// false where nothing is left to take back.
func withdraw(r *audit.Result, jobs []Job, list []refuted, again secondAudit) (any bool) {
	for k := range list {
		at := &list[k]
		if !at.grave {
			any = true // what was accepted has to be proved
			continue
		}
		i, known := find(jobs, at.line, at.structure)
		own := known && len(jobs[i].rows) > 0
		for k := range jobs {
			j := &jobs[k]
			if len(j.rows) == 0 || own && k != i || !own && j.Line != at.line {
				continue
			}
			if any = true; len(j.without) > 0 { // an advisory keeps nothing from being mended
				*j = j.without[0]
				j.Trace = append(slices.Clone(j.Trace), fmt.Sprintf("More, for what the other work on the line brings, does not serve together with it: %s.", again.toldOf(at)))
				continue
			}
			j.withdraw(r, again.toldOf(at))
		}
	}
	return any
}

// toldOf says what an audit with the work done found at a structure first.
func (again *secondAudit) toldOf(at *refuted) string {
	e := again.found[at.found[0]]
	text := strings.TrimSuffix(e.Verdict.Sentence, ".")
	if e.Verdict.Outcome == audit.NotAssessed || text == "" {
		text = fmt.Sprintf("%s cannot be judged then (%s)", again.checks[e.Check].ID, e.Verdict.Reason)
		if e.Verdict.Reason.IsFaulty() { // the inputs are as they were
			text = again.checks[e.Check].ID + " cannot be judged then, since what the register would say is doubted; where that is as many strings as phases, a row for each phase tells it without doubt"
		}
	}
	return fmt.Sprintf("at structure %s %s", again.network.Number(at.structure), text)
}

// withdraw leaves the structure as it is, since with all work done an audit found what is told.
func (j *Job) withdraw(r *audit.Result, told string) {
	why := "What serves here by itself does not together with the work on the other structures of the line: " + told + "."
	j.rows, j.dropped, j.Remedies, j.Alternatives = nil, nil, nil, nil
	j.StoppedBy = append(j.StoppedBy, Stop{Check: -1, Unjudged: true, Lacks: lacksTogether, Sentence: why}) // nothing else was tried
	j.Trace = append(j.Trace, why)
	for _, i := range j.Exceptions {
		e := &r.Exceptions[i]
		if !slices.ContainsFunc(j.Open, func(o Open) bool { return o.Exception == i }) {
			j.Open = append(j.Open, Open{Check: e.Check, Circuit: e.Circuit, Exception: i})
		}
	}
}

func wanted(o Options) audit.Severity {
	if o.Advisories {
		return audit.Advisory
	}
	return audit.Shortfall
}
