package remedy

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
)

// A section between tension structures that is too long is divided: at some structures within it tension sets take the place of what hangs
// there. Of the ways to do it the fewest structures count first, then how many of them turn, then how even the parts are.

// attempts is how many structures of a section may turn out not to bear a change before it is given up (a choice of this program).
const attempts = 12

// division is a section that is too long with the work of the other jobs done, and the exceptions that say so already.
type division struct {
	line, check int
	section     audit.Section
	exceptions  []int // in Result.Exceptions; none where it is the work that tells what hangs within
}

// divide adds jobs that divide the sections that are too long with the work of the other jobs done.
func (s *stock) divide(ctx context.Context, r *audit.Result, jobs []Job, o Options) ([]Job, error) {
	at := limitedSections(r, jobs, o)
	if len(at) == 0 {
		return jobs, nil
	}
	n, err := s.networkWith(ctx, r, jobs, o)
	if err != nil {
		return nil, err
	}
	for _, d := range tooLongIn(n, r, at, o) {
		var why string
		var mayServe bool
		if jobs, why, mayServe = s.divideOne(r, n, jobs, &d, o); why != "" {
			jobs = leaveSection(r, jobs, &d, why, mayServe)
		}
	}
	if jobs, err = s.prove(ctx, r, jobs, o); err != nil {
		return nil, err
	}
	if n, err = s.networkWith(ctx, r, jobs, o); err != nil {
		return nil, err
	}
	for _, d := range tooLongIn(n, r, at, o) {
		if !isLeft(jobs, &d) {
			jobs = leaveSection(r, jobs, &d, "tension sets that would divide it do not serve together with the other work", false)
		}
	}
	creditOthers(r, jobs, o)
	leaveEverywhere(r, jobs)
	return jobs, nil
}

// leaveEverywhere names what is left of a section as open in all jobs that are for it too: that of another place where it was to be divided, which
// alone does not do, or that of a part of it.
func leaveEverywhere(r *audit.Result, jobs []Job) {
	left := map[int]Stop{} // by exception
	for i := range jobs {
		for _, stop := range jobs[i].StoppedBy {
			for _, open := range jobs[i].Open {
				if open.Exception >= 0 && open.Check == stop.Check && r.Checks[open.Check].Of == audit.OfSection {
					left[open.Exception] = stop
				}
			}
		}
	}
	for i := range jobs {
		j := &jobs[i]
		for _, e := range j.Exceptions {
			stop, is := left[e]
			if !is || slices.ContainsFunc(j.Open, func(o Open) bool { return o.Exception == e }) {
				continue
			}
			j.Open = append(j.Open, Open{Check: stop.Check, Circuit: r.Exceptions[e].Circuit, Exception: e})
			j.StoppedBy, j.Trace = append(j.StoppedBy, stop), append(j.Trace, stop.Sentence)
		}
	}
}

// creditOthers puts exceptions of sections that are mended in passing into the jobs that hang tension sets within, for whatever reason.
func creditOthers(r *audit.Result, jobs []Job, o Options) {
	named := map[int]bool{}
	for i := range jobs {
		for _, e := range jobs[i].Exceptions {
			named[e] = true
		}
	}
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		if named[i] || r.Checks[e.Check].Of != audit.OfSection || e.Verdict.Severity > wanted(o) {
			continue
		}
		for k := range jobs {
			j := &jobs[k]
			within := e.Structure <= j.Structure && j.Structure <= e.To || e.To <= e.Structure
			if j.Line == e.Line && within && slices.ContainsFunc(j.Remedies, func(m Remedy) bool { return m.To.Duty == audit.Tension && (e.Circuit == 0 || m.Circuit == e.Circuit) }) {
				j.Exceptions = append(j.Exceptions, i)
			}
		}
	}
}

// lineCheck is a check of sections that asks something of a line.
type lineCheck struct{ line, check int }

// limitedSections lists the lines that have work or an exception of a section, with the checks that a section of theirs can fall short of.
func limitedSections(r *audit.Result, jobs []Job, o Options) (list []lineCheck) {
	lines := map[int]bool{}
	for i := range jobs {
		lines[jobs[i].Line] = true
	}
	for i := range r.Exceptions {
		if e := &r.Exceptions[i]; r.Checks[e.Check].Of == audit.OfSection && e.Verdict.Severity <= wanted(o) && o.mends(e.Line) {
			lines[e.Line] = true
		}
	}
	endless := audit.Section{LengthM: math.MaxFloat32, SurelyM: math.MaxFloat32, Spans: 1}
	for _, line := range slices.Sorted(maps.Keys(lines)) {
		var site *audit.Site
		for c, check := range r.Checks {
			if check.Of != audit.OfSection {
				continue
			}
			if site == nil {
				site = r.Network.NewSite(line, r.Checks, "a division of a section")
			}
			if v := site.PutSection(c, &endless); v.Outcome == audit.FallsShort && v.Severity <= wanted(o) {
				list = append(list, lineCheck{line, c})
			}
		}
	}
	return list
}

// tooLongIn lists the sections of a network that fall short.
func tooLongIn(n *audit.Network, r *audit.Result, at []lineCheck, o Options) (list []division) {
	for _, l := range at {
		site, sections := n.NewSite(l.line, r.Checks, "a division of a section"), n.SectionsAsRegistered(l.line)
		for k := range sections {
			if v := site.PutSection(l.check, &sections[k]); v.Outcome == audit.FallsShort && v.Severity <= wanted(o) {
				d := division{line: l.line, check: l.check, section: sections[k]}
				d.findExceptions(r)
				list = append(list, d)
			}
		}
	}
	return list
}

// findExceptions finds the exceptions of the section, or of a longer one that it is a part of.
func (d *division) findExceptions(r *audit.Result) {
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		within := e.Structure <= d.section.First && d.section.First < e.To || e.To <= e.Structure // all round a closed line
		if e.Line == d.line && e.Check == d.check && within && (e.Circuit == 0 || d.section.Circuit == 0 || e.Circuit == d.section.Circuit) {
			d.exceptions = append(d.exceptions, i)
		}
	}
}

// isLeft tells whether a section, or one that it is a part of, is named as one that is not divided.
func isLeft(jobs []Job, d *division) bool {
	i, known := find(jobs, d.line, d.section.First)
	return known && slices.ContainsFunc(jobs[i].Open, func(o Open) bool {
		return o.Check == d.check && (slices.Contains(d.exceptions, o.Exception) || o.Exception < 0 && o.Circuit == d.section.Circuit)
	})
}

// divideOne adds the jobs that divide a section; why is why there are none, and mayServe tells that no limit is known to be the reason: where it ends,
// or whether sets at a place serve, cannot be judged.
func (s *stock) divideOne(r *audit.Result, n *audit.Network, jobs []Job, d *division, o Options) (with []Job, why string, mayServe bool) {
	switch {
	case d.section.Unsure != audit.NoReason:
		return jobs, "a structure within it may hold the conductor already: " + d.section.Unsure.String(), true
	case d.section.Faulty:
		return jobs, "a cell near it cannot be read, so that it may end elsewhere", true
	}
	b := s.benchOf(r, d.line, o)
	b.then = n.NewSite(d.line, r.Checks, "a remedy")
	p := newPartition(n, d, b.then)
	last := "no structures within it divide it so that every part meets"
	for range attempts {
		cuts, ok := p.best()
		if !ok {
			return jobs, last, mayServe
		}
		with, failed, stop := s.cutAt(b, jobs, d, p, cuts)
		if failed < 0 {
			r.NoteErrors(b.then.Errors())
			return with, "", false
		}
		p.barred[failed] = true
		if stop.Unjudged || !mayServe { // what may serve is told rather than a limit elsewhere
			last = fmt.Sprintf("at %s: %s", n.Number(p.structures[failed]), stop.Sentence)
		}
		mayServe = mayServe || stop.Unjudged
	}
	return jobs, last, mayServe
}

// cutAt adds the jobs at some places of a partition; failed is the place where nothing serves, −1 where there is none.
func (s *stock) cutAt(b *bench, jobs []Job, d *division, p *partition, cuts []int) (with []Job, failed int, why Stop) {
	with = slices.Clone(jobs)
	for _, cut := range cuts {
		structure := p.structures[cut]
		i, known := find(with, d.line, structure)
		exceptions := slices.Clone(d.exceptions)
		stops := 0
		b.hold = circuitsAt(p.network, d, structure)
		if known {
			for _, e := range with[i].Exceptions {
				if !slices.Contains(exceptions, e) {
					exceptions = append(exceptions, e)
				}
			}
			for _, c := range with[i].holds {
				if !slices.Contains(b.hold, c) {
					b.hold = append(b.hold, c)
				}
			}
			stops = len(with[i].StoppedBy)
		}
		slices.Sort(exceptions)
		if len(b.hold) == 0 {
			return nil, cut, Stop{Sentence: "nothing hangs there that could give way to tension sets."}
		}
		job := b.solve(structure, exceptions)
		stopped := slices.ContainsFunc(job.StoppedBy, func(s Stop) bool { return slices.Contains(b.hold, s.Circuit) }) // which it may have been before
		if stopped || len(job.StoppedBy) > stops || len(job.rows) == 0 {
			why = Stop{Sentence: "nothing serves there."}
			if k := len(job.StoppedBy); k > 0 {
				why = job.StoppedBy[k-1]
				if i := slices.IndexFunc(job.StoppedBy, func(s Stop) bool { return !s.Unjudged }); i >= 0 {
					why = job.StoppedBy[i]
				}
			}
			return nil, cut, why
		}
		job.Trace = append(job.Trace, p.said(d, cuts))
		if known {
			job.keepsUp, job.restsOn = with[i].keepsUp, with[i].restsOn
			with[i] = *job
		} else {
			with = slices.Insert(with, i, *job)
		}
	}
	return with, -1, Stop{}
}

// circuitsAt lists the circuits of a section that hang at a structure in another duty than tension.
func circuitsAt(n *audit.Network, d *division, structure int) (circuits []audit.Symbol) {
	for _, row := range n.AssemblyRows(structure) {
		r := n.Project.Assemblies.At(int(row))
		if (d.section.Circuit == 0 || r.Circuit == d.section.Circuit) && r.Duty.CarriesPhase() && r.Duty != audit.Tension && !slices.Contains(circuits, r.Circuit) {
			circuits = append(circuits, r.Circuit)
		}
	}
	return circuits
}

// leaveSection names a section that stays too long, with why, in a job at its first structure.
func leaveSection(r *audit.Result, jobs []Job, d *division, why string, mayServe bool) []Job {
	n := r.Network
	text := fmt.Sprintf("The section from %s to %s is not divided: %s.", n.Number(d.section.First), n.Number(d.section.Last), strings.TrimSuffix(why, "."))
	i, known := find(jobs, d.line, d.section.First)
	if !known {
		jobs = slices.Insert(jobs, i, Job{Line: d.line, Structure: d.section.First})
	}
	j, stop := &jobs[i], Stop{Circuit: d.section.Circuit, Check: d.check, Unjudged: mayServe, Sentence: text}
	if mayServe {
		stop.Lacks = lacksDivision
	}
	j.StoppedBy = append(j.StoppedBy, stop)
	j.Trace = append(j.Trace, text)
	for _, e := range d.exceptions {
		if !slices.Contains(j.Exceptions, e) {
			j.Exceptions = append(j.Exceptions, e)
		}
		if !slices.ContainsFunc(j.Open, func(o Open) bool { return o.Exception == e }) {
			j.Open = append(j.Open, Open{Check: d.check, Circuit: r.Exceptions[e].Circuit, Exception: e})
		}
	}
	if len(d.exceptions) == 0 {
		j.Open = append(j.Open, Open{Check: d.check, Circuit: d.section.Circuit, Exception: -1})
	}
	return jobs
}

// partition is a section with the places where it may be cut.
type partition struct {
	network    *audit.Network
	structures []int     // along the section, its ends included
	atM        []float64 // how far along it they stand
	turns      []bool
	barred     []bool
	meets      func(from, to int) bool
}

func newPartition(n *audit.Network, d *division, site *audit.Site) *partition {
	p := &partition{network: n, structures: n.Along(d.line, &d.section)}
	p.atM, p.turns, p.barred = make([]float64, len(p.structures)), make([]bool, len(p.structures)), make([]bool, len(p.structures))
	for k, structure := range p.structures {
		s := n.Structure(d.line, structure)
		if k+1 < len(p.structures) {
			p.atM[k+1] = p.atM[k] + s.SpanAheadM
		}
		const noticeable = 0.5 // of what suspension assemblies bear, a choice of this program
		p.turns[k] = math.Abs(s.DeviationDeg) >= noticeable*s.DeviationLimitDeg
	}
	p.meets = func(from, to int) bool {
		length := p.atM[to] - p.atM[from]
		part := audit.Section{First: p.structures[from], Last: p.structures[to], LengthM: length, SurelyM: length, Spans: to - from, Circuit: d.section.Circuit}
		return site.PutSection(d.check, &part).Outcome == audit.Meets
	}
	return p
}

// plan is the best way to cut a section up to a place.
type plan struct {
	cuts, straight int     // of the cuts those where the line does not turn
	uneven         float64 // sum of the squares of the parts
	from           int     // the cut before, −1 where nothing reaches the place
}

func (a *plan) better(b *plan) bool {
	switch {
	case b.from < 0:
		return true
	case a.cuts != b.cuts:
		return a.cuts < b.cuts
	case a.straight != b.straight:
		return a.straight < b.straight
	}
	return a.uneven < b.uneven
}

// best finds the places to cut, in their order; ok is false where there are none that make every part meet.
func (p *partition) best() (cuts []int, ok bool) {
	last := len(p.structures) - 1
	plans := make([]plan, last+1)
	for to := 1; to <= last; to++ {
		plans[to].from = -1
		if p.barred[to] && to != last {
			continue
		}
		for from := to - 1; from >= 0 && p.meets(from, to); from-- { // a longer part meets no more
			if plans[from].from < 0 {
				continue
			}
			length := p.atM[to] - p.atM[from]
			next := plan{cuts: plans[from].cuts, straight: plans[from].straight, uneven: plans[from].uneven + length*length, from: from}
			if to != last {
				next.cuts++
				if !p.turns[to] {
					next.straight++
				}
			}
			if next.better(&plans[to]) {
				plans[to] = next
			}
		}
	}
	if plans[last].from < 0 {
		return nil, false
	}
	for at := plans[last].from; at > 0; at = plans[at].from {
		cuts = append(cuts, at)
	}
	slices.Reverse(cuts)
	return cuts, true
}

// said tells where a section is cut, and why there.
func (p *partition) said(d *division, cuts []int) string {
	var at, parts []string
	from, turns := 0, 0
	for _, cut := range append(slices.Clone(cuts), len(p.structures)-1) {
		parts = append(parts, fmt.Sprintf("%.2f", (p.atM[cut]-p.atM[from])/1000))
		from = cut
	}
	for _, cut := range cuts {
		at = append(at, p.network.Number(p.structures[cut]))
		if p.turns[cut] {
			turns++
		}
	}
	return fmt.Sprintf("Tension sets at %s divide the section from %s to %s into parts of %s km. No fewer structures would do; of those that would, as many as possible turn (%d of %d by half of what suspension bears or more), and then the parts are as even as may be.",
		strings.Join(at, " and "), p.network.Number(d.section.First), p.network.Number(d.section.Last), strings.Join(parts, " + "), turns, len(cuts))
}
