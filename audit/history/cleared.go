package history

import (
	"cmp"
	"fmt"
	"slices"

	"dryarc/audit"
	"dryarc/geo"
)

// clear says of each exception that is not found why it is not there any more: the subjects that had it are judged once more.
func (c *comparison) clear() {
	checks := map[string]int{}
	for i, check := range c.r.Checks {
		checks[check.ID] = i
	}
	type site struct{ line, structure int }
	asked := map[site][]int{} // of before, by where to judge
	var sites []site
	for _, i := range c.open {
		b := &c.before[i]
		check, there := checks[b.Check]
		switch line := c.lineOf(b); {
		case line < 0:
			c.goneWith(b, "line", c.unplacedRows().HasLine(b.key.Line))
		case c.lacks(line, b.key.Structure):
			c.goneWith(b, "structure", c.unplacedRows().HasStructure(b.key.Line, b.key.Structure))
		case c.lacks(line, b.key.To):
			c.goneWith(b, "structure", c.unplacedRows().HasStructure(b.key.Line, b.key.To))
		case !there:
			c.cleared(b, RuleChanged, "the program has no such check")
		default:
			s := site{line, -1}
			if of := c.r.Checks[check].Of; of != audit.OfSection && of != audit.OfLine {
				s.structure = c.structures(line)[b.key.Structure]
			}
			if len(asked[s]) == 0 {
				sites = append(sites, s)
			}
			asked[s] = append(asked[s], i)
		}
	}
	for _, s := range sites {
		c.ask(s.line, s.structure, asked[s], checks)
	}
}

// told is a verdict on a subject that had an exception.
type told struct {
	check   int
	verdict audit.Verdict
	at      audit.Location
}

// ask judges what stands at a structure, or with one below 0 the line and its sections, for exceptions that are not found.
func (c *comparison) ask(line, structure int, open []int, checks map[string]int) {
	wanted := map[audit.Key][]told{}
	judged := map[int]bool{} // checks
	for _, i := range open {
		wanted[c.subjectOf(c.before[i].key, checks)] = nil
		judged[checks[c.before[i].Check]] = true
	}
	var sections, rows []told // rows of assemblies
	c.r.Rejudge(line, structure, func(check int, at audit.Location, v audit.Verdict) {
		if !judged[check] {
			return
		}
		key := c.subjectOf(c.r.KeyOf(check, &at, 0), checks)
		if _, is := wanted[key]; is {
			wanted[key] = append(wanted[key], told{check, v, at})
		}
		if c.ofAssembly(check) {
			rows = append(rows, told{check, v, at})
		}
		if c.r.Checks[check].Of == audit.OfSection {
			sections = append(sections, told{check, v, at})
		}
	})
	slices.SortStableFunc(open, func(a, b int) int { return compareRecords(c.before[a].Record, c.before[b].Record) })
	if structure >= 0 {
		open = c.rephase(open, rows)
	}
	for key, verdicts := range wanted {
		wanted[key] = answers(verdicts)
	}
	for _, i := range open {
		b := &c.before[i]
		key := c.subjectOf(b.key, checks)
		verdicts := wanted[key]
		k := slices.IndexFunc(verdicts, func(t told) bool { return c.answersFor(b, &t.at) })
		if k >= 0 && audit.RowsAlikeThen(b.Stated) > max(1, c.r.RowsAlike(&verdicts[k].at)) { // it may be one that has the key no more
			if c.blanked(b, open, c.othersThan(b, rows)) {
				continue
			}
			if c.r.MayHoldMore(line, structure, verdicts[k].at) {
				c.cleared(b, NotAssessed, mayHoldMore)
				continue
			}
		}
		if k >= 0 {
			verdict := verdicts[k]
			wanted[key] = slices.Delete(verdicts, k, k+1)
			c.answered(b, &verdict)
			continue
		}
		if structure >= 0 && c.blanked(b, open, rows) {
			continue
		}
		if structure >= 0 {
			c.goneFrom(b, checks[b.Check], line, structure)
			continue
		}
		unsure := slices.IndexFunc(sections, func(t told) bool {
			return t.check == checks[b.Check] && t.verdict.Outcome == audit.NotAssessed && c.overlaps(b, line, t.at)
		})
		if unsure >= 0 {
			c.cleared(b, NotAssessed, sections[unsure].verdict.Reason.String())
			continue
		}
		if lost := c.lostAtEnds(b, checks[b.Check], line); lost.any() {
			c.cleared(b, NotAssessed, lost.inWords())
			continue
		}
		c.cleared(b, Gone, "its ends are not those of a section any more")
	}
}

// othersThan are rows without those of the key of an exception that fall short still, which are other exceptions.
func (c *comparison) othersThan(b *before, rows []told) []told {
	return slices.DeleteFunc(slices.Clone(rows), func(t told) bool {
		return t.verdict.Outcome == audit.FallsShort && c.r.KeyOf(t.check, &t.at, 0) == b.key
	})
}

// subjectOf is a key without what tells apart only what falls short: the phases that a place lacks.
func (c *comparison) subjectOf(key audit.Key, checks map[string]int) audit.Key {
	if check, there := checks[key.Check]; there && c.r.Checks[check].Of == audit.OfPlace {
		key.Phase = ""
	}
	return key
}

// answers are the verdicts on subjects of one key by which exceptions may be cleared, the most doubtful first: that one of two rows
// cannot be judged leaves open which of them meets. Those that fall short still are other exceptions.
func answers(verdicts []told) []told {
	verdicts = slices.DeleteFunc(verdicts, func(t told) bool { return t.verdict.Outcome == audit.FallsShort })
	slices.SortStableFunc(verdicts, func(a, b told) int { return cmp.Compare(b.verdict.Outcome, a.verdict.Outcome) })
	return verdicts
}

// mostDoubtful is the verdict by which an exception of several rows may be cleared, none of which falls short: one of which something was lost, if any.
func (c *comparison) mostDoubtful(b *before, rows []told) *told {
	rows = answers(rows)
	k := slices.IndexFunc(rows, func(t told) bool {
		lost := c.lost(b.Record, t.check, &t.at)
		return lost.any()
	})
	return &rows[max(k, 0)]
}

// blankNow stands behind a column that was lost.
const blankNow = ": blank now, and something was stated there"

// answered clears an exception by the verdict on its subject.
func (c *comparison) answered(b *before, t *told) {
	v := &t.verdict
	changed := c.ruleChanged(b.Record, t.at.Line)
	detail := ""
	if v.Reason != audit.NoReason {
		detail = v.Reason.String()
	}
	lost := c.lost(b.Record, t.check, &t.at)
	if crossing, none := c.r.CrossingLost(b.Stated, &t.at); crossing != "" && (v.Outcome == audit.NotApplicable && v.Reason == audit.NoCrossing || none && v.Reason == audit.CrossingsMissing ||
		v.Outcome == audit.Meets && c.r.FactorAsksCrossings(t.check, t.at.Line)) {
		if detail = crossing; none && !lost.any() {
			c.crossingsLost()
			c.cleared(b, NotAssessed, crossing+", nor is any other")
			return
		}
	}
	switch {
	case lost.any() && v.Outcome != audit.NotAssessed && !(v.Outcome == audit.NotApplicable && c.r.SaidByRow(v.Reason, &t.at)):
		c.cleared(b, NotAssessed, lost.inWords())
	case v.Outcome == audit.NotAssessed && (!changed || lost.any() || v.Reason.AskedBy() == ""):
		if lost.any() && !v.Reason.IsFaulty() {
			detail = lost.inWords()
		}
		c.cleared(b, NotAssessed, detail)
		// A run that noted nothing of what its exceptions rest on leaves open what was lost, and so does another zone.
		c.out.Cleared[len(c.out.Cleared)-1].NothingLost = b.Rests != "" && !lost.any() && !v.Reason.IsFaulty() &&
			c.r.ZoneLost(b.Stated, &t.at) == "" && c.r.NearZoneLost(b.Stated, &t.at) == ""
	case v.Outcome == audit.Meets && c.r.ZoneLost(b.Stated, &t.at) != "":
		c.clearedBy(b, RuleChanged, v, c.r.ZoneLost(b.Stated, &t.at)+": "+figures(v))
	case v.Outcome != audit.NotAssessed && c.r.NearZoneLost(b.Stated, &t.at) != "":
		c.clearedBy(b, RuleChanged, v, c.r.NearZoneLost(b.Stated, &t.at))
	case v.Outcome == audit.Meets && c.r.LevelFromRaster(t.check, &t.at) && c.otherRasters(b.Rests) != "":
		c.clearedBy(b, RuleChanged, v, "the ground level is from a raster, and the run before had "+c.otherRasters(b.Rests)+": "+figures(v))
	case changed:
		c.clearedBy(b, RuleChanged, v, cmp.Or(detail, figures(v)))
	case v.Outcome == audit.NotApplicable:
		c.clearedBy(b, DoesNotApply, v, detail)
	default:
		c.clearedBy(b, Meets, v, figures(v))
	}
}

// crossingsLost says, once, that the project had crossings and has none.
func (c *comparison) crossingsLost() {
	const text = "the crossings of the inputs are none, and there were some: what was found of them is not assessed, and nothing of it is cleared"
	if !slices.Contains(c.out.Remarks, text) {
		c.remark(text)
	}
}

// figures are those of a verdict in words, with what is remarked of the ground levels that they rest on.
func figures(v *audit.Verdict) string {
	text := bareFigures(v)
	if v.Outcome != audit.Meets || !v.Reason.IsOfLevels() {
		return text
	}
	if text != "" {
		text += "; "
	}
	return text + v.Reason.String()
}

func bareFigures(v *audit.Verdict) string {
	if v.Required.Word != "" || v.Observed.Word != "" {
		return fmt.Sprintf("now %s", cmp.Or(v.Observed.Word, "as required"))
	}
	if known(v.Observed.Number) != v.Observed.Number || known(v.Required.Number) != v.Required.Number {
		return ""
	}
	return fmt.Sprintf("now %.5g, required %.5g %s", v.Observed.Number, v.Required.Number, cmp.Or(v.Required.Measure, v.Observed.Measure))
}

// overlaps tells whether a section of a line shares spans with the one of an exception.
func (c *comparison) overlaps(b *before, line int, at audit.Location) bool {
	numbers := c.structures(line)
	first, last := numbers[b.key.Structure], numbers[b.key.To]
	if first > last || at.Structure > at.To { // a ring, of which a section may be all
		return true
	}
	return at.Structure < last && at.To > first
}

// goneWith clears an exception whose structure or line is not there any more, unless a structure that cannot be read may be it, or the
// register has it still: then it is the layer that has lost it.
func (c *comparison) goneWith(b *before, what string, registered bool) {
	switch {
	case c.mayBeUnread(b):
	case registered:
		c.cleared(b, NotAssessed, fmt.Sprintf("the structures have no such %s any more, and the register has rows that may be of it", what))
	default:
		c.cleared(b, Gone, fmt.Sprintf("the inputs have no such %s any more", what))
	}
}

// goneAs does so in other words, whatever the register has.
func (c *comparison) goneAs(b *before, detail string) {
	if !c.mayBeUnread(b) {
		c.cleared(b, Gone, detail)
	}
}

// mayBeUnread tells whether a structure that cannot be read may be that of an exception, which then is not assessed.
func (c *comparison) mayBeUnread(b *before) bool {
	for _, lost := range c.r.Project.LostStructures {
		if located(b.Position) && geo.Within(lost, b.Position, samePlaceM) || located(b.PositionTo) && geo.Within(lost, b.PositionTo, samePlaceM) {
			c.cleared(b, NotAssessed, "where it stood is a structure whose line or number cannot be read")
			return true
		}
	}
	for _, lost := range c.r.Project.UnplacedStructures {
		if (lost.Line == "" || lost.Line == b.key.Line) && (lost.Number == "" || lost.Number == b.key.Structure || lost.Number == b.key.To) {
			c.cleared(b, NotAssessed, "the position of a structure that may be it cannot be read")
			return true
		}
	}
	return false
}

// unplacedRows are what the register names and the structures do not have.
func (c *comparison) unplacedRows() *audit.Unplaced {
	if c.unplaced == nil {
		c.unplaced = c.r.Unplaced()
	}
	return c.unplaced
}

// mayHoldMore stands beside what a structure may still have.
const mayHoldMore = "a row of the register that cannot be read or placed may be it"

// goneFrom clears an exception of an assembly or a place that is not there any more, unless what cannot be read may be it.
func (c *comparison) goneFrom(b *before, check, line, structure int) {
	if c.r.MayHoldMore(line, structure) {
		c.cleared(b, NotAssessed, mayHoldMore)
		return
	}
	if len(c.r.Network.AssemblyRows(structure)) == 0 { // a structure stands there, and something hangs at it
		c.cleared(b, NotAssessed, "the register has no row of the structure any more")
		return
	}
	if column := c.r.CircuitLost(b.Stated, line, structure); column != "" {
		c.cleared(b, NotAssessed, column+blankNow)
		return
	}
	if b.key.Side != "" && c.r.SideUnstated(structure, b.key.Circuit) {
		c.cleared(b, NotAssessed, "Side"+blankNow)
		return
	}
	if at := audit.AtStructure(line, structure); !c.ofAssembly(check) {
		if lost := c.lost(b.Record, check, &at); lost.figures != "" {
			c.cleared(b, NotAssessed, lost.inWords())
			return
		}
	}
	c.cleared(b, Gone, "nothing of that circuit, phase and side is registered there any more")
}

// cleared notes why an exception is not there any more. One that cannot be judged is kept in full, so that the next run asks again.
func (c *comparison) cleared(b *before, why Why, detail string) {
	out := Cleared{Record: *b.Record, Why: why, Detail: detail}
	if why == NotAssessed {
		out.Was, out.Lost = b.Record, cmp.Or(b.Lost, c.r.Run.AsOf)
		out.keepAs(b.key)
	}
	c.out.Cleared = append(c.out.Cleared, out)
}

// clearedBy notes why an exception is not there any more, and the verdict where it meets or was mended: it may do so by what was required before too.
func (c *comparison) clearedBy(b *before, why Why, v *audit.Verdict, detail string) {
	c.cleared(b, why, detail)
	if v.Outcome == audit.Meets || mended(v) {
		c.out.Cleared[len(c.out.Cleared)-1].met = v
	}
}

// mended tells whether a check does not concern a string any more since what fell short by it is not there: its units were replaced, or another hangs.
func mended(v *audit.Verdict) bool {
	return v.Outcome == audit.NotApplicable && (v.Reason == audit.NoneDefective || v.Reason == audit.OneKindOfUnit || v.Reason == audit.CannotPuncture)
}

// order brings what the comparison found into an order that rests on nothing but what it says.
func (c *comparison) order() {
	places := make([]*Cleared, len(c.out.Cleared))
	for i := range places {
		places[i] = &c.out.Cleared[i]
	}
	slices.SortFunc(places, compareCleared)
	ordered := make([]Cleared, len(places))
	for i, cleared := range places {
		ordered[i] = *cleared
	}
	c.out.Cleared = ordered
	slices.SortFunc(c.out.Renamed, func(a, b Renamed) int {
		return cmp.Or(audit.NaturalCompare(a.Line, b.Line), audit.NaturalCompare(a.FromStructure, b.FromStructure), cmp.Compare(a.FromLine, b.FromLine))
	})
	slices.Sort(c.out.Remarks)
}

// compareCleared orders by reason, severity and place. Most differ early, so that the rest is looked at only then.
func compareCleared(a, b *Cleared) int {
	if c := cmp.Or(cmp.Compare(a.Why, b.Why), cmp.Compare(a.Severity, b.Severity)); c != 0 {
		return c
	}
	for _, pair := range [...][2]string{{a.Line, b.Line}, {a.Structure, b.Structure}, {a.Check, b.Check}, {a.To, b.To}, {a.Circuit, b.Circuit}, {a.Side, b.Side}, {a.Phase, b.Phase}} {
		if pair[0] != pair[1] {
			return audit.NaturalCompare(pair[0], pair[1])
		}
	}
	return compareRecords(&a.Record, &b.Record)
}

// located tells whether a position is known.
func located(p [2]float64) bool { return p == p }
