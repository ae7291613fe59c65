package report

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/remedy"
)

// scopeLine is what a scenario comes to on one line.
type scopeLine struct {
	line                  string
	structures, needing   int
	certain, afterLook    takesSum
	mayStay               bool // of what is after a look, some may stay
	due                   dueToday
	stopped               int // where a limit stops
	notKnown              int // where none does, and it cannot be judged what serves
	stoppedKM, notKnownKM float64
	lengthKM              float64
	prefer                []audit.Preference // what counts first between remedies that serve
	lineVerdicts
}

// dueToday is what structures that need work in a scenario need today.
type dueToday struct {
	needing            int
	certain, afterLook takesSum
	mayStay            bool
}

func (d *dueToday) add(of *dueToday) {
	d.needing += of.needing
	d.certain.take(&of.certain)
	d.afterLook.take(&of.afterLook)
	d.mayStay = d.mayStay || of.mayStay
}

// inWords says of how much of the work of a scenario is due today.
func (d *dueToday) inWords() string {
	if d.needing == 0 {
		return "today none"
	}
	return "today " + grouped(d.needing) + " of them: " + takesInWords(&d.certain, &d.afterLook, d.mayStay)
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
	for _, unit := range more.noPrice {
		if at, is := slices.BinarySearch(s.noPrice, unit); !is {
			s.noPrice = slices.Insert(s.noPrice, at, unit)
		}
	}
}

// noPriceOf are the types of units that have no price, none where nothing has one, so that nobody asks for costs.
func noPriceOf(r *audit.Result, counts []remedy.Count) (units []string) {
	if !slices.ContainsFunc(r.Project.Units, func(u basis.Unit) bool { return !unknown(u.Price) }) {
		return nil
	}
	for i := range counts {
		if counts[i].Count > 0 && unknown(priceOf(r, counts[i:i+1])) {
			units = append(units, counts[i].Unit)
		}
	}
	return units
}

// lineSum is a line as it is summed up.
type lineSum struct {
	scopeLine
	stops map[string]*scopeStop // what stops the work, by limit
}

func (s *ScopeOf) newLineSum(r *audit.Result, line int) *lineSum {
	of := &r.Network.Lines[line]
	return &lineSum{scopeLine{line: r.Project.Symbols.Text(of.Symbol), structures: of.End - of.First, lengthKM: lengthKM(r, line), prefer: r.Network.Criteria(line).Remedy.Order()}, map[string]*scopeStop{}}
}

// take takes in what the next structure needs.
func (sum *lineSum) take(c *scopeChange) {
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
		of := limit
		if limit == tooLongLimit && len(c.couplings) > 0 { // apart from where units of any coupling are
			of += " of couplings"
		}
		stop := sum.stops[of]
		if stop == nil {
			stop = &scopeStop{line: sum.line, limit: limit, example: c.stoppedBy, notKnown: notKnown}
			sum.stops[of] = stop
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

// addLine keeps a line that is summed up, and what stops the work on it.
func (s *ScopeOf) addLine(sum *lineSum) {
	s.perLine = append(s.perLine, sum.scopeLine)
	for _, stop := range slices.SortedFunc(maps.Values(sum.stops), func(x, y *scopeStop) int {
		return cmp.Or(cmp.Compare(oneIf(x.notKnown), oneIf(y.notKnown)), -cmp.Compare(len(x.structures), len(y.structures)), cmp.Compare(x.limit, y.limit), cmp.Compare(len(x.couplings), len(y.couplings)))
	}) {
		s.stops = append(s.stops, *stop)
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

// takesInWords says what work takes, for certain and after a look; what it takes none of is left out.
func takesInWords(certain, afterLook *takesSum, mayStay bool) string {
	var parts []string
	if certain.units > 0 {
		parts = append(parts, certain.unitsInWords()+" to fit")
	}
	if certain.sets > 0 {
		parts = append(parts, counted(certain.sets, "set", "sets")+" to add")
	}
	switch {
	case certain.units == 0:
	case !math.IsNaN(certain.price):
		parts = append(parts, "the units for "+certain.span(rounded(certain.price), rounded(certain.less)))
	case len(certain.noPrice) > 0:
		parts = append(parts, "cost not known: no price of "+enumerated(isolatedNames(certain.noPrice), 3))
	}
	look := afterLook.units+afterLook.sets > 0
	switch {
	case len(parts) == 0 && look:
		parts = append(parts, "nothing to fit for certain")
	case len(parts) == 0:
		parts = append(parts, "nothing to fit")
	}
	text := strings.Join(parts, ", ")
	if look {
		text += ", and " + afterLookInWords(certain, afterLook, mayStay)
	}
	return text
}

// afterLookInWords says what work takes only where a look asks for it.
func afterLookInWords(certain, afterLook *takesSum, mayStay bool) string {
	text, sets := afterLook.unitsInWords(), counted(afterLook.sets, "set", "sets")
	if certain.units > 0 {
		text = afterLook.span(afterLook.units, afterLook.fewer) + " more"
	}
	switch {
	case afterLook.units == 0:
		text = sets
	case afterLook.sets > 0:
		text += " with " + sets
	}
	if mayStay {
		return text + " if a look asks for " + noun(afterLook.units+afterLook.sets, "it", "them")
	}
	return text + " if a look shows that nothing hangs"
}

// costsInWords says by what the remedies are chosen that costs are of, and what these are of.
func costsInWords(scenarios []*ScopeOf) string {
	var orders []string
	on, byPrice := map[string][]string{}, true
	for _, s := range scenarios {
		for i := range s.perLine {
			l := &s.perLine[i]
			order := audit.OrderInWords(l.prefer)
			if on[order] == nil {
				orders = append(orders, order)
			}
			on[order] = append(on[order], s.about(l.line, isolated))
			byPrice = byPrice && l.prefer[0] == audit.LeastPrice
		}
	}
	for i, order := range orders {
		if len(orders) > 1 {
			orders[i] = order + " (" + enumerated(on[order], 3) + ")"
		}
	}
	text := "Cost is that of all units to fit, of the remedies that come first by " + strings.Join(orders, "; by ") + " (criterion remedy)"
	if !byPrice {
		text += "; others may cost less"
	}
	return text + ". What is to be bought, without units to use again, stands under Material."
}

func rounded(price float64) int { return int(math.Round(price)) }

// spanInWords is a number, from how many where it may be less.
func spanInWords(most, fewer int) string {
	if fewer <= 0 {
		return grouped(most)
	}
	return grouped(most-fewer) + " to " + grouped(most)
}
