package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/headroom"
	"dryarc/audit/remedy"
	scenarios "dryarc/audit/scope"

	"github.com/paulmach/orb"
)

// ScopeOf is one scenario as the outputs tell it. It holds nothing of the network in which the scenario was judged.
type ScopeOf struct {
	Headroom []headroom.Curve // how far its lines are from falling short in it, where Scope.WithHeadroom; lines and structures are those of today

	scenario    *audit.Scenario
	lines       []string // that it is about, in the order of the network
	assumptions []assumptionRecord
	coverage    []scopeCoverage
	exceptions  *spool   // as audit.json has them
	fresh       []string // ids of those that are new
	mended      []string // ids of today's
	unjudged    []string // ids of today's
	jobs        *spool
	features    *spool        // a point for each structure that needs something
	changes     []scopeChange // the first of them
	allChanges  int
	material    []scopeMaterial
	stops       []scopeStop
	perLine     []scopeLine
	staying     []scopeStaying // where every class is to be one worse
	notes       []string       // what the scenario leaves as it is, takes and brings

	look *scenarios.Look // where the register is to be written, else nil

	said   []lineSaid // as perLine: what its sentence tells beside it
	routes []scopeRoute
	places []scopePlace
}

// scopeCoverage is what became of one check on one line, today and in a scenario.
type scopeCoverage struct {
	line, check, newly, mended int
	beside                     bool // the scenario is not about the line: it was judged again for what stands beside it
	today, then                audit.Coverage
}

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

// scopeMaterial is what a scenario takes of one type of unit, or of sets.
type scopeMaterial struct {
	item, name          string
	stocked             bool
	fit, remove, reuse  int
	afterLook, fewer    int // to fit only if a look asks for it, not in fit; and by how much less fit may be
	uncounted           int // structures where how many are to be removed is not known
	notKnown            string
	atLeast             int // structures where more may be to fit, since what sizes strings could not be judged in full
	structures          int
	each, price, spared float64 // NaN where not stated
	priceAfterLook      float64 // NaN where not stated
}

// scopeStop is a limit that no remedy gets past on one line, or what cannot be judged of remedies at structures where no limit stops any.
type scopeStop struct {
	line, limit, example string
	couplings            []string // of what is too long: those of the units that were sought alone
	notKnown             bool     // it is no limit
	structures           []string
	km, percent          float64
}

// scopeStaying are the structures of a line that no class is worse for.
type scopeStaying struct {
	Line       string   `json:"line"`
	Structures []string `json:"structures"`
}

// scopeLine is what a scenario comes to on one line.
type scopeLine struct {
	line                      string
	structures, needing       int
	certain, afterLook        takesSum
	mayStay                   bool // of what is after a look, some may stay
	stopped                   int  // where a limit stops
	notKnown                  int  // where none does, and it cannot be judged what serves
	stoppedKM, notKnownKM     float64
	lengthKM                  float64
	newly, mended, unjudged   int
	notJudged, notJudgedToday int
}

// NewScopeOf tells a scenario once it is judged.
//
// Where keep is set the network of the scenario is kept, so that its register can be written.
func NewScopeOf(l *scenarios.Look, keep bool) *ScopeOf {
	r := l.Then
	s := &ScopeOf{scenario: l.Scenario, exceptions: newSpool(), jobs: newSpool(), features: newSpool()}
	if keep {
		s.look = l
	}
	for i := range l.Chosen {
		if l.Chosen[i] {
			s.lines = append(s.lines, r.Project.Symbols.Text(r.Network.Lines[i].Symbol))
		}
	}
	for _, x := range l.Scenario.Set {
		s.assumptions = append(s.assumptions, assumptionRecord{fmt.Sprintf("%s is %s on these lines (the project's own figure, by scenario %q).", x.Column, x.Value, l.Scenario.Name), s.lines})
	}
	for _, a := range r.Run.Assumptions {
		s.assumptions = append(s.assumptions, assumptionRecord{a.Text, names(r.Project, a.Lines)})
	}
	ids := r.ExceptionIDs()
	for i := range r.Exceptions {
		rec := recordOf(r, &r.Exceptions[i])
		rec.ID = ids[i]
		s.exceptions.add(scopeException{rec, !l.Chosen[r.Exceptions[i].Line]})
	}
	newly, mended, unjudged := map[[2]int]int{}, map[[2]int]int{}, map[int]int{}
	for _, i := range l.New {
		s.fresh = append(s.fresh, ids[i])
		newly[[2]int{r.Exceptions[i].Line, r.Exceptions[i].Check}]++
	}
	before := l.Today.ExceptionIDs()
	for _, i := range l.Mended {
		s.mended = append(s.mended, before[i])
		mended[[2]int{l.Today.Exceptions[i].Line, l.Today.Exceptions[i].Check}]++
	}
	for _, i := range l.Unjudged {
		s.unjudged = append(s.unjudged, before[i])
		unjudged[l.Today.Exceptions[i].Line]++
	}
	for line := range r.Lines {
		if !r.Lines[line].Assessed {
			continue
		}
		for check := range r.Checks {
			key := [2]int{line, check}
			s.coverage = append(s.coverage, scopeCoverage{line: line, check: check, beside: !l.Chosen[line], newly: newly[key], mended: mended[key],
				today: l.Today.Lines[line].Coverage[check], then: r.Lines[line].Coverage[check]})
		}
	}
	for rec := range jobRecords(r, l.Jobs, nil) {
		s.jobs.add(rec)
	}
	s.addChanges(l)
	s.addMaterial(l)
	s.addLines(l, unjudged)
	s.addSaid(l)
	s.addPlaces(l, mostPlaces)
	s.addStaying(l)
	for i := range s.changes {
		if s.features.err == nil {
			var f scopeFeature
			f, s.features.err = s.changes[i].feature(s.scenario.Name)
			s.features.add(f)
		}
	}
	for _, x := range [...]*spool{s.exceptions, s.jobs, s.features} {
		x.close()
	}
	s.allChanges = len(s.changes)
	s.changes = slices.Clone(s.changes[:min(len(s.changes), mostChanges)])
	return s
}

// mostChanges is how many structures of a scenario the sheet of changes takes; scope.json and scope.geojson have all.
const mostChanges = 20_000

// addChanges lists the structures that need something, along the lines.
func (s *ScopeOf) addChanges(l *scenarios.Look) {
	r := l.Then
	work := workRows(r, l.Jobs, nil)
	slices.SortFunc(work, func(a, b workRow) int { return cmp.Compare(a.job.Structure, b.job.Structure) })
	for i := range work {
		w := &work[i]
		at := r.Network.Structure(w.job.Line, w.job.Structure)
		c := scopeChange{at: at.Position, structureOf: at.Index, line: w.line, structure: w.structure, chainageM: at.ChainageM, lengthM: carriedM(&at),
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
			for _, coupling := range w.job.StoppedBy[k].Couplings {
				if limitOf(r, &w.job.StoppedBy[k]) == tooLongLimit && !slices.Contains(c.couplings, coupling) {
					c.couplings = append(c.couplings, coupling)
				}
			}
			if limit := limitOf(r, &w.job.StoppedBy[k]); !slices.Contains(*told, limit) {
				*told = append(*told, limit)
			}
		}
		c.sizesOpen = len(sizedInPart(r, w.job)) > 0
		c.certain.atLeast, c.afterLook.atLeast = c.sizesOpen && c.certain.units > 0, c.sizesOpen && c.afterLook.units > 0
		if c.certain.atLeast && c.fit != "" {
			c.fit = "at least " + c.fit
		}
		c.settleLonger()
		c.kinds = kindsOf(w.job, c.longerMM)
		s.changes = append(s.changes, c)
	}
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

// sumOf sums up what work takes, at no price where there is none.
func sumOf(t *takes) (s takesSum) {
	for _, c := range t.fit {
		s.units += c.Count
	}
	for _, c := range t.fewer {
		s.fewer += c.Count
	}
	if s.sets = t.sets; t.some {
		s.price, s.less = t.price, t.less
	}
	return s
}

func (s *takesSum) take(more *takesSum) {
	s.units, s.fewer, s.sets, s.price, s.less = s.units+more.units, s.fewer+more.fewer, s.sets+more.sets, s.price+more.price, s.less+more.less
	s.atLeast = s.atLeast || more.atLeast
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

// tooLongLimit is the longest string of a line as a limit, by the name of the check that holds what hangs against it: whether the search or the check
// stops a remedy there, it is the same limit.
const tooLongLimit = "string-too-long"

// isNoLimit tells whether what stopped a remedy is none of its limits: what is not known, or a gap of the register, which an entry mends.
func isNoLimit(r *audit.Result, stop *remedy.Stop) bool { return stop.Unjudged || isGap(r, stop) }

// isGap tells whether it is a gap of the register that stopped a remedy.
func isGap(r *audit.Result, stop *remedy.Stop) bool {
	return stop.Check >= 0 && r.Checks[stop.Check].Of == audit.OfPlace
}

// limitOf names what stopped a remedy: a check, whose limit it is, or what of the nearest cannot be judged, which is no limit.
func limitOf(r *audit.Result, stop *remedy.Stop) string {
	switch {
	case stop.Lacks != "":
		return stop.Lacks
	case isGap(r, stop):
		return r.Checks[stop.Check].ID + ", look first"
	case stop.Unjudged && stop.Check >= 0:
		return r.Checks[stop.Check].ID + " cannot be judged"
	case stop.Unjudged:
		return "length or coupling not known"
	case stop.TooLong:
		return tooLongLimit
	case stop.Check < 0:
		return "nothing to choose from"
	}
	return r.Checks[stop.Check].ID
}

// addMaterial gathers what the work takes. Units that it takes down somewhere may serve elsewhere, but those that the register counts as
// defective.
func (s *ScopeOf) addMaterial(l *scenarios.Look) {
	down := map[string]int{}
	for i := range l.Jobs {
		for k := range l.Jobs[i].Remedies {
			x := &l.Jobs[i].Remedies[k]
			for _, c := range x.Remove {
				down[c.Unit] += c.Count
			}
			for at := range x.Changes {
				for _, c := range x.Changes[at].Defective {
					down[c.Unit] -= c.Count
				}
			}
		}
	}
	atLeast := map[string]int{} // structures by unit
	for i := range l.Jobs {
		seen := map[string]bool{}
		for _, x := range sizedInPart(l.Then, &l.Jobs[i]) {
			for _, c := range x.Fit {
				if !seen[c.Unit] {
					seen[c.Unit] = true
					atLeast[c.Unit]++
				}
			}
		}
	}
	stocked := map[string]bool{}
	for i := range l.Then.Project.Units {
		stocked[l.Then.Project.Units[i].Name] = l.Then.Project.Units[i].Stocked
	}
	for _, m := range materialRows(l.Then, workRows(l.Then, l.Jobs, nil)) {
		if m.at >= 0 {
			continue
		}
		out := scopeMaterial{item: m.item, name: m.name, fit: m.fit, remove: m.remove, afterLook: m.afterLook, fewer: m.fewer, uncounted: m.uncounted, notKnown: m.notKnown(),
			structures: m.structures, each: m.each, price: m.price(), spared: math.NaN(), priceAfterLook: m.priceAfterLook()}
		if m.item == unitItem {
			out.stocked = stocked[m.name]
			if out.atLeast = atLeast[m.name]; out.atLeast > 0 {
				out.notKnown = joinedLines(fmt.Sprintf("to fit: at least so many, what sizes strings could not be judged in full at %s", counted(out.atLeast, "structure", "structures")), out.notKnown)
			}
			if out.reuse = min(m.fit, down[m.name]); out.reuse > 0 {
				out.spared = m.each * float64(out.reuse)
			}
		}
		s.material = append(s.material, out)
	}
}

// addStaying lists the structures whose class stays although every class is to be one worse.
func (s *ScopeOf) addStaying(l *scenarios.Look) {
	s.notes = slices.Clone(l.Scenario.Notes)
	if l.Scenario.Classes != audit.WorseByOne {
		return
	}
	n := l.Today.Network
	for line := range l.Chosen {
		if !l.Chosen[line] {
			continue
		}
		byDefault := n.Criteria(line).DefaultClass
		for _, c := range l.Scenario.Criteria {
			if c.Key == "default_class" {
				byDefault, _ = basis.ParseClass(c.Value)
			}
		}
		x := scopeStaying{Line: l.Today.Project.Symbols.Text(n.Lines[line].Symbol)}
		for i := n.Lines[line].First; i < n.Lines[line].End; i++ {
			at := n.Structure(line, i)
			class := at.Class
			if at.Zone < 0 {
				class = byDefault
			}
			if class >= basis.ClassE {
				x.Structures = append(x.Structures, n.Number(i))
			}
		}
		if len(x.Structures) > 0 {
			s.staying = append(s.staying, x)
			s.notes = append(s.notes, fmt.Sprintf("Class e stays e at %s of %s, since no worse class has a figure: %s.", counted(len(x.Structures), "structure", "structures"), x.Line, enumerated(x.Structures, 20)))
		}
	}
}

// addLines sums up the lines, and what stops the work on each.
func (s *ScopeOf) addLines(l *scenarios.Look, unjudged map[int]int) {
	r := l.Then
	for line := range l.Chosen {
		if !l.Chosen[line] {
			continue
		}
		name := r.Project.Symbols.Text(r.Network.Lines[line].Symbol)
		sum := scopeLine{line: name, structures: r.Network.Lines[line].End - r.Network.Lines[line].First, lengthKM: lengthKM(r, line), unjudged: unjudged[line]}
		stops := map[string]*scopeStop{}
		var order []string
		for i := range s.changes {
			c := &s.changes[i]
			if c.line != name {
				continue
			}
			if c.toHang != "" {
				sum.needing++
			}
			sum.certain.take(&c.certain)
			sum.afterLook.take(&c.afterLook)
			sum.mayStay = sum.mayStay || c.mayStay
			told, notKnown := c.stops, c.isNotKnown()
			switch {
			case notKnown:
				told = c.notKnown
				sum.notKnown++
				sum.notKnownKM += c.lengthM / 1000
			case len(c.stops) > 0:
				sum.stopped++
				sum.stoppedKM += c.lengthM / 1000
			}
			for _, limit := range told {
				stop := stops[limit]
				if stop == nil {
					stop = &scopeStop{line: name, limit: limit, example: c.stoppedBy, notKnown: notKnown}
					stops[limit] = stop
					order = append(order, limit)
				}
				for _, coupling := range c.couplings {
					if limit == tooLongLimit && !slices.Contains(stop.couplings, coupling) {
						stop.couplings = append(stop.couplings, coupling)
					}
				}
				stop.structures = append(stop.structures, c.structure)
				stop.km += c.lengthM / 1000
				stop.percent = 100 * stop.km / sum.lengthKM
			}
		}
		for i := range s.coverage {
			if c := &s.coverage[i]; c.line == line {
				sum.newly, sum.mended = sum.newly+c.newly, sum.mended+c.mended
				sum.notJudged, sum.notJudgedToday = sum.notJudged+c.then.Lacking(), sum.notJudgedToday+c.today.Lacking()
			}
		}
		s.perLine = append(s.perLine, sum)
		slices.SortFunc(order, func(a, b string) int {
			x, y := stops[a], stops[b]
			return cmp.Or(cmp.Compare(oneIf(x.notKnown), oneIf(y.notKnown)), -cmp.Compare(len(x.structures), len(y.structures)), cmp.Compare(a, b))
		})
		for _, limit := range order {
			s.stops = append(s.stops, *stops[limit])
		}
	}
}

// price is that of the units to fit for certain, NaN where nothing is to be done; priceAfterLook that of those after a look.
func (l *scopeLine) price() float64 {
	if l.needing == 0 {
		return math.NaN()
	}
	return l.certain.price
}

func (l *scopeLine) priceAfterLook() float64 {
	if l.afterLook.units == 0 {
		return math.NaN()
	}
	return l.afterLook.price
}

// takesInWords says what the work on a line takes, for certain and after a look; what it takes none of is left out.
func (l *scopeLine) takesInWords() string {
	var parts []string
	if l.certain.units > 0 {
		parts = append(parts, l.certain.unitsInWords()+" to fit")
	}
	if l.certain.sets > 0 {
		parts = append(parts, counted(l.certain.sets, "set", "sets")+" to add")
	}
	if l.certain.units > 0 && !math.IsNaN(l.certain.price) {
		parts = append(parts, "the units for "+l.certain.least()+spanInWords(rounded(l.certain.price), rounded(l.certain.less)))
	}
	look := l.afterLook.units+l.afterLook.sets > 0
	switch {
	case len(parts) == 0 && look:
		parts = append(parts, "nothing to fit for certain")
	case len(parts) == 0:
		parts = append(parts, "nothing to fit")
	}
	text := strings.Join(parts, ", ")
	if look {
		text += ", and " + l.afterLookInWords()
	}
	return text
}

// afterLookInWords says what the work on a line takes only where a look asks for it.
func (l *scopeLine) afterLookInWords() string {
	text, sets := l.afterLook.unitsInWords(), counted(l.afterLook.sets, "set", "sets")
	if l.certain.units > 0 {
		text = l.afterLook.least() + spanInWords(l.afterLook.units, l.afterLook.fewer) + " more"
	}
	switch {
	case l.afterLook.units == 0:
		text = sets
	case l.afterLook.sets > 0:
		text += " with " + sets
	}
	if l.mayStay {
		return text + " if a look asks for " + noun(l.afterLook.units+l.afterLook.sets, "it", "them")
	}
	return text + " if a look shows that nothing hangs"
}

func rounded(price float64) int { return int(math.Round(price)) }

// spanInWords is a number, from how many where it may be less.
func spanInWords(most, fewer int) string {
	if fewer <= 0 {
		return grouped(most)
	}
	return grouped(most-fewer) + " to " + grouped(most)
}

// changesInWords says what a scenario changes, a line of text each.
func (s *ScopeOf) changesInWords() (list []string) {
	for _, x := range s.scenario.Set {
		list = append(list, fmt.Sprintf("%s is %s", x.Column, x.Value))
	}
	for _, c := range s.scenario.Criteria {
		list = append(list, fmt.Sprintf("criterion %s is %s", c.Key, c.Shown()))
	}
	if s.scenario.Classes != "" {
		list = append(list, "pollution classes: "+s.scenario.Classes)
	}
	return list
}
