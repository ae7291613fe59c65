package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/remedy"
	scenarios "dryarc/audit/scope"

	"github.com/paulmach/orb"
)

// scopeChange is what one structure needs in a scenario.
type scopeChange struct {
	at                                orb.Point
	structureOf                       int // in the network
	line, structure                   string
	chainageM, lengthM                float64 // of the structure, and the share of the line that it carries
	checks                            string  // that fall short, and those that the work mends besides
	wrong, hangs, toHang, fit, remove string
	longerMM                          float64 // by which one string gets longer at most, as far as that is known; NaN where none does that hangs there, or where it is known of none
	longerOpen                        bool    // of another string it is not known by how much
	lowerMM                           float64 // by which a conductor hangs lower at most; 0 where none does, or where that is not known
	lower                             bool    // one hangs lower, by how much is not known
	price                             float64
	sets                              int
	certain, afterLook                takesSum // after a look that has to show that it is needed
	ifLook                            string   // the latter in words
	mayStay                           bool     // a look may show that what hangs is right, not only that nothing does
	open, stoppedBy, chosen           string
	stops                             []string // limits that no remedy gets past
	notKnown                          []string // what of remedies that may serve cannot be judged, which is no limit
	kinds                             workKinds
	sizesOpen                         bool     // of what is to be hung a check that sizes strings could not be judged
	couplings                         []string // of units among which alone something to serve was sought
}

// mostChanges is how many structures of a scenario the sheet of changes takes; scope.json and scope.geojson have all.
const mostChanges = 20_000

// addWork tells what each structure needs, along the lines, and sums it up by line. The order is that of doing; most is how many places are kept.
func (s *ScopeOf) addWork(l *scenarios.Look, order []orderedJob, most int) {
	r := l.Then
	material, places, gravest := newMaterialSums(r), s.newPlacing(l, most), gravestOf(r)
	s.kept = newKept((*packing).change)
	for told := range lineWorks(l, order, s.due) {
		line, work, changes := told.line, told.work, told.changes
		material.add(work)
		of := &r.Network.Lines[line]
		today := &l.Today.Network.Lines[line]
		sum, said := s.newLineSum(r, line), lineSaid{gone: levelsGone(&today.Row, &of.Row), unstated: lacksSwitching(today, of)}
		places.begin(line)
		for structure := of.First; structure < of.End; structure++ {
			var c *scopeChange
			var job *remedy.Job
			if len(work) > 0 && work[0].job.Structure == structure {
				c, job = changes[0], work[0].job
				work, changes = work[1:], changes[1:]
				sum.take(c)
				if d, is := told.due[structure]; is && c.toHang != "" {
					sum.due.add(&d)
				}
			}
			said.note(c, gravest[structure], l.Lacking[structure] > 0)
			places.add(structure, c, l.Lacking[structure] > 0, job)
			if c != nil {
				s.addChange(c)
			}
		}
		places.end()
		s.said = append(s.said, said)
		s.addLine(sum)
	}
	s.kept.close()
	s.features.close()
	s.addMaterial(l, material)
}

// lineWork is what the structures of a line need, along it.
type lineWork struct {
	line    int
	work    []workRow
	changes []*scopeChange   // of the same jobs
	due     map[int]dueToday // by structure
}

// lineWorks tells the lines of a scenario one after the other, each while what was told of the one before is taken in.
func lineWorks(l *scenarios.Look, order []orderedJob, due DueToday) <-chan lineWork {
	told, place := make(chan lineWork), make([]int, len(order)) // in the order, by job: these stand along the lines
	for i := range order {
		place[order[i].Job] = i
	}
	go func() {
		defer close(told)
		jobs := l.Jobs
		for line := range l.Chosen {
			if !l.Chosen[line] {
				continue
			}
			of := lineWork{line: line, due: due.on(l, line)}
			var own []orderedJob
			for ; len(jobs) > 0 && jobs[0].Line == line; jobs = jobs[1:] {
				own = append(own, order[place[len(l.Jobs)-len(jobs)]])
			}
			of.work = rowsOf(l.Then, l.Jobs, own, nil)
			for i := range of.work {
				of.changes = append(of.changes, changeOf(l.Then, &of.work[i]))
			}
			told <- of
		}
	}()
	return told
}

// DueToday is the work that structures need today, by line: told once for all scenarios of a run.
type DueToday map[int]map[int]dueToday

// on is the work that structures of a line need today.
func (d DueToday) on(l *scenarios.Look, line int) map[int]dueToday {
	if due, told := d[line]; told {
		return due
	}
	first, _ := slices.BinarySearchFunc(l.Due, line, func(j remedy.Job, line int) int { return cmp.Compare(j.Line, line) })
	var own []orderedJob
	for i := first; i < len(l.Due) && l.Due[i].Line == line; i++ {
		own = append(own, orderedJob{Rank: remedy.Rank{Job: i}})
	}
	due := make(map[int]dueToday, len(own))
	d[line] = due
	rows := rowsOf(l.Today, l.Due, own, nil)
	for i := range rows {
		if c := changeOf(l.Today, &rows[i]); c.toHang != "" {
			due[rows[i].job.Structure] = dueToday{1, c.certain, c.afterLook, c.mayStay}
		}
	}
	return due
}

// addChange keeps what a structure needs as the outputs ask for it.
func (s *ScopeOf) addChange(c *scopeChange) {
	if s.features.err == nil {
		var f scopeFeature
		f, s.features.err = c.feature(s.scenario.Name)
		s.features.add(f)
	}
	if s.allChanges < mostChanges {
		s.kept.add(c)
	}
	s.allChanges++
}

// changeOf is what the structure of a job needs.
func changeOf(r *audit.Result, w *workRow) *scopeChange {
	at := r.Network.Structure(w.job.Line, w.job.Structure)
	c := &scopeChange{at: at.Position, structureOf: at.Index, line: w.line, structure: w.structure, chainageM: r.Network.ChainageM(at.Line, at.Index), lengthM: carriedM(&at),
		checks: checksInWords(r, w.job), wrong: w.findings, hangs: w.hangs, toHang: w.toHang, fit: w.fitInWords(), remove: w.removeInWords(), price: w.price, sets: w.sets,
		certain: sumOf(&w.takes), afterLook: sumOf(&w.afterLook), ifLook: w.afterLook.inWords(),
		open: w.open, stoppedBy: w.stoppedBy, chosen: w.chosen(), longerMM: math.NaN()}
	for k := range w.job.Remedies {
		for at := range w.job.Remedies[k].Changes {
			c.takeIn(&w.job.Remedies[k].Changes[at])
		}
	}
	for k := range w.job.StoppedBy {
		told := &c.stops
		if isNoLimit(r, &w.job.StoppedBy[k]) {
			told = &c.notKnown
		}
		if limit := limitOf(r, &w.job.StoppedBy[k]); !slices.Contains(*told, limit) {
			*told = append(*told, limit)
		}
	}
	c.certain.noPrice, c.afterLook.noPrice = noPriceOf(r, w.takes.fit), noPriceOf(r, w.afterLook.fit)
	c.couplings = tooLongOf(r, w.job)
	c.sizesOpen = len(sizedInPart(r, w.job)) > 0
	c.certain.atLeast, c.afterLook.atLeast = c.sizesOpen && c.certain.units > 0, c.sizesOpen && c.afterLook.units > 0
	if c.certain.atLeast && c.fit != "" {
		c.fit = "at least " + countsInWords(leastOf(w.fit, w.fewer))
	}
	c.settleLonger()
	c.kinds = kindsOf(w.job, c.longerMM)
	return c
}

// tooLongOf are the couplings of units that alone were sought where strings are too long; none where units of any were at one of them.
func tooLongOf(r *audit.Result, j *remedy.Job) (couplings []string) {
	for k := range j.StoppedBy {
		stop := &j.StoppedBy[k]
		if limitOf(r, stop) != tooLongLimit {
			continue
		}
		if len(stop.Couplings) == 0 {
			return nil
		}
		for _, coupling := range stop.Couplings {
			if !slices.Contains(couplings, coupling) {
				couplings = append(couplings, coupling)
			}
		}
	}
	return couplings
}

// sizedInPart lists the remedies of a job that fit units of which a check that sizes strings could not be judged, so that more may be needed.
func sizedInPart(r *audit.Result, j *remedy.Job) (list []*remedy.Remedy) {
	for i := range j.Remedies {
		x := &j.Remedies[i]
		if len(x.Fit) > 0 && slices.ContainsFunc(j.Open, func(o remedy.Open) bool {
			check := r.Checks[o.Check]
			return o.Circuit == x.Circuit && o.Reason != audit.NoReason && check.Sizes && check.Severity == audit.Shortfall
		}) {
			list = append(list, x)
		}
	}
	return list
}

// isNotKnown tells whether no limit stops a remedy here, but it cannot be judged what serves, or what serves all of it.
func (c *scopeChange) isNotKnown() bool { return len(c.stops) == 0 && len(c.notKnown) > 0 }

// takeIn takes in what a change of one row does to its strings.
func (c *scopeChange) takeIn(x *remedy.Change) {
	if c.longerMM < x.LongerMM || unknown(c.longerMM) {
		c.longerMM = x.LongerMM
	}
	c.longerOpen = c.longerOpen || unknown(x.LongerMM) && (x.Move == remedy.MoreUnits || x.Move == remedy.OtherUnit || x.CountUnknown)
	c.lowerMM, c.lower = max(c.lowerMM, x.LowerMM), c.lower || x.Lower
	c.mayStay = c.mayStay || x.RowsContradict
}

// settleLonger forgets how much longer no string is known to get where one may get longer.
func (c *scopeChange) settleLonger() {
	if c.longerOpen && !(c.longerMM > 0) {
		c.longerMM = math.NaN()
	}
}

// longerCell is by how much a string gets longer as a cell, blank where nothing of it is known.
func (c *scopeChange) longerCell() any {
	if c.longerOpen && c.longerMM > 0 {
		return fmt.Sprintf("at least %.0f", c.longerMM)
	}
	return orNothing(c.longerMM)
}

// longerInWords is by how much a string gets longer, in mm; empty where nothing of it is known.
func (c *scopeChange) longerInWords() string {
	if text := wholeMM(c.longerMM); c.longerOpen && text != "" {
		return "at least " + text
	}
	return wholeMM(c.longerMM)
}

// lowerCell is by how much a conductor hangs lower as a cell.
func (c *scopeChange) lowerCell() any {
	switch {
	case c.lower && c.lowerMM > 0:
		return fmt.Sprintf("%.0f, elsewhere not known", c.lowerMM)
	case c.lower:
		return "not known"
	}
	return orNothing(c.lowerMM)
}

// checksInWords names the checks that a job is for, then those that it mends besides.
func checksInWords(r *audit.Result, j *remedy.Job) string {
	named := func(exceptions []int, but []string) (ids []string) {
		for _, e := range exceptions {
			if id := r.Checks[r.Exceptions[e].Check].ID; !slices.Contains(ids, id) && !slices.Contains(but, id) {
				ids = append(ids, id)
			}
		}
		return ids
	}
	if len(j.Exceptions) == 0 {
		return findingsInWords(r, j)
	}
	first := named(j.Exceptions, nil)
	text := strings.Join(first, ", ")
	if also := named(j.AlsoMends, first); len(also) > 0 {
		text = joinedLines(text, "also mended: "+strings.Join(also, ", "))
	}
	return joinedLines(text, remedy.NeededByInWords(r, j))
}

// knownLowerMM is by how much a conductor hangs lower as far as that is known, NaN where it is not known of any that does.
func (c *scopeChange) knownLowerMM() float64 {
	if c.lower && c.lowerMM == 0 {
		return math.NaN()
	}
	return c.lowerMM
}

// carriedM is the length of line that a structure carries: half of each of its spans.
func carriedM(s *audit.Structure) (lengthM float64) {
	for _, span := range [...]float64{s.SpanBackM, s.SpanAheadM} {
		if !math.IsNaN(span) {
			lengthM += span / 2
		}
	}
	return lengthM
}
