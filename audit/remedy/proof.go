package remedy

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"dryarc/audit"
)

// Jobs are found structure by structure. What they do to each other shows when all of them are in the register: a tension structure
// cuts a section, and with it the tensions around it; longer suspension strings are what tension strings are compared with. So
// the register with all jobs is audited, and where that does not bear out what the jobs say, the structure is solved again
// in the network as it then is.

// rounds is how often structures are solved again before jobs are withdrawn.
const rounds = 3

// spot is what exceptions before and after the work are matched by: rows and phases change with it.
type spot struct {
	check, line, structure int
	circuit                audit.Symbol
}

func spotOf(e *audit.Exception) spot { return spot{e.Check, e.Line, e.Structure, e.Circuit} }

// prove makes the jobs bear out each other.
func (s *stock) prove(ctx context.Context, r *audit.Result, jobs []Job, o Options) ([]Job, error) {
	fell := map[spot]audit.Severity{}
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		if worst, known := fell[spotOf(e)]; !known || e.Verdict.Severity < worst {
			fell[spotOf(e)] = e.Verdict.Severity
		}
	}
	for round := 0; ; round++ {
		again, err := s.auditWith(ctx, r, jobs, o)
		if err != nil {
			return nil, err
		}
		refuted := refutedBy(again, r, fell, jobs, o)
		switch {
		case len(refuted) == 0:
			return jobs, nil
		case round < rounds:
			jobs = s.solveAgain(r, again, jobs, refuted, o)
		case !withdraw(r, jobs, refuted):
			return jobs, nil
		}
	}
}

// auditWith audits the lines of the jobs as they are with the work done.
func (s *stock) auditWith(ctx context.Context, r *audit.Result, jobs []Job, o Options) (*audit.Result, error) {
	n, err := audit.Arrange(apply(r.Project, jobs, true))
	if err != nil {
		return nil, fmt.Errorf("arranging the register with its remedies: %w", err)
	}
	if err := audit.Derive(ctx, n, o.Workers); err != nil {
		return nil, err
	}
	var lines []string
	for i := range jobs {
		if i == 0 || jobs[i].Line != jobs[i-1].Line {
			lines = append(lines, n.Project.Symbols.Text(n.Lines[jobs[i].Line].Symbol))
		}
	}
	return audit.Assess(ctx, n, r.Checks, audit.Options{Version: r.Run.Version, AsOf: r.Run.AsOf, Lines: lines, Workers: o.Workers})
}

// refutedBy lists the structures where an audit after the work finds what the jobs say it will not, each once, in order: a line and
// a structure.
func refutedBy(again, r *audit.Result, fell map[spot]audit.Severity, jobs []Job, o Options) (at [][2]int) {
	open := map[spot]bool{}
	for i := range jobs {
		for _, left := range jobs[i].Open {
			open[spot{left.Check, jobs[i].Line, jobs[i].Structure, left.Circuit}] = true
		}
	}
	want := wanted(o)
	for i := range again.Exceptions {
		e := &again.Exceptions[i]
		before, known := fell[spotOf(e)]
		stands := known && before <= e.Verdict.Severity
		switch kind := r.Checks[e.Check].Of; {
		case e.Verdict.Severity == audit.Note, e.Structure < 0, e.To >= 0:
		case open[spotOf(e)] && (stands || kind == audit.OfStructure):
		case stands && e.Verdict.Severity > want:
		case stands && kind == audit.OfStructure:
		default:
			at = append(at, [2]int{e.Line, e.Structure})
		}
	}
	slices.SortFunc(at, func(a, b [2]int) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	return slices.Compact(at)
}

// solveAgain solves structures in the network as it is with the work done, starting from what the register has there.
func (s *stock) solveAgain(r, again *audit.Result, jobs []Job, at [][2]int, o Options) []Job {
	var b *bench
	line := -1
	for _, spot := range at {
		if spot[0] != line {
			line = spot[0]
			b = s.benchOf(r, line, o)
			b.then = again.Network.NewSite(line, r.Checks, "a remedy")
		}
		i, known := find(jobs, spot)
		var exceptions []int
		if known {
			exceptions = jobs[i].Exceptions
		}
		job := b.solve(spot[1], exceptions)
		switch {
		case job == nil:
		case known:
			jobs[i] = *job
		default:
			jobs = slices.Insert(jobs, i, *job)
		}
	}
	return jobs
}

func find(jobs []Job, at [2]int) (int, bool) {
	return slices.BinarySearchFunc(jobs, at, func(j Job, at [2]int) int {
		return cmp.Or(cmp.Compare(j.Line, at[0]), cmp.Compare(j.Structure, at[1]))
	})
}

// withdraw takes back the jobs of structures whose promise does not hold, and where there is none all of the line; false where
// nothing is left to take back.
func withdraw(r *audit.Result, jobs []Job, at [][2]int) (any bool) {
	for _, spot := range at {
		i, known := find(jobs, spot)
		for k := range jobs {
			if (known && len(jobs[i].rows) > 0 && k == i || (!known || len(jobs[i].rows) == 0) && jobs[k].Line == spot[0]) && len(jobs[k].rows) > 0 {
				jobs[k].withdraw(r)
				any = true
			}
		}
	}
	return any
}

// withdraw leaves the structure as it is.
func (j *Job) withdraw(r *audit.Result) {
	const why = "What serves here by itself does not together with the work on the other structures of the line."
	j.rows, j.dropped, j.Remedies, j.Alternatives = nil, nil, nil, nil
	j.StoppedBy = append(j.StoppedBy, Stop{Check: -1, Sentence: why})
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
