package report

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"dryarc/audit"
)

const (
	listedJobs     = 6
	jobRows        = 2  // that one takes at most; the sheet of jobs says the rest
	jobsHigh       = 13 // rows that those and the lines whose data want a look take together
	listedUnsolved = 5
	listedMaterial = 6
	listedOthers   = 12 // named of those that are not listed
)

// datumInWords says what would let most be judged, and how much of what.
func datumInWords(r *audit.Result, d *audit.Datum) string {
	what := d.Reason.String()
	switch {
	case d.Faulty != "":
		what = d.Faulty + ", which is faulty"
	case d.Unit != "":
		what = d.Unit + ", " + what
	case len(d.Lines) > 0:
		what = beyondUnits(r, d)
	}
	kept := counted(d.Count, "verdict", "verdicts")
	if d.Faulty != "" {
		kept = "it keeps back " + kept // some of which may lack more
	}
	text := fmt.Sprintf("The datum that would judge most: %s: %s", what, kept)
	if d.Checks == 1 {
		return text + " of " + r.Checks[d.Check].ID + "."
	}
	return fmt.Sprintf("%s, most of them of %s.", text, r.Checks[d.Check].ID)
}

// datumLines is how many lines are named that lack a datum; of more their number stands.
const datumLines = 3

// beyondUnits names the datum that no unit lacks: what it is called in the inputs, and of which lines, structures or rows, with why that is so.
func beyondUnits(r *audit.Result, d *audit.Datum) string {
	lines := counted(len(d.Lines), "line", "lines")
	if len(d.Lines) <= datumLines {
		names := make([]string, len(d.Lines))
		for i, l := range d.Lines {
			names[i] = r.Project.Symbols.Text(r.Network.Lines[l].Symbol)
		}
		lines = noun(len(names), "line", "lines") + " " + inARow(names)
	}
	of, name := d.Reason.LackedBy()
	where := lines
	switch of {
	case audit.LackedByCriteria:
		return fmt.Sprintf("%s in the project file, for %s (%s)", name, lines, d.Reason)
	case audit.LackedByRow:
		where = fmt.Sprintf("%s of %s", counted(d.Rows, "row", "rows"), lines)
	case audit.LackedByStructure:
		where = fmt.Sprintf("%s of %s", counted(d.Places, "structure", "structures"), lines)
	}
	if name == "" {
		return where + ", " + d.Reason.String()
	}
	return fmt.Sprintf("%s of %s (%s)", name, where, d.Reason)
}

// firstJobs writes the jobs to do first, each with a link to its row, in about so many rows, and returns the row below.
func (b *book) firstJobs(p *page, row, high int) int {
	p.put(row, firstColumn, leftEnd, "What to do first", sectionLook)
	row++
	listed, _ := toDoFirst(b.work, listedJobs)
	longest, last := 0, 0
	for _, w := range listed {
		longest = max(longest, utf8.RuneCountInString(w.place()))
	}
	placeEnd := firstColumn
	if float64(longest) > charactersPerWidth*p.width(firstColumn, firstColumn) { // a link does not wrap everywhere
		placeEnd++
	}
	end := row + high
	shown := 0
	for _, w := range listed {
		text := p.cutAt(placeEnd+1, leftEnd, w.decided()+strings.ReplaceAll(w.toHang, "\n", "; "), jobRows, " … see "+workSheet)
		if shown > 0 && row+p.rowsOf(placeEnd+1, leftEnd, text) > end {
			break
		}
		shown++
		last = w.rank
		next := p.block(row, placeEnd+1, leftEnd, text, look{})
		p.fill(row, next-1, firstColumn, placeEnd, w.place(), look{color: blue, bold: true})
		if w.rank <= b.limits.rows {
			p.link(row, firstColumn, workSheet, w.rank+1)
		}
		row = next
	}
	if shown == 0 {
		row = p.block(row, firstColumn, leftEnd, nothingToDoFirst(b.result, countRows(b.result, b.work)), softLook)
		if len(b.work) == 0 {
			return row
		}
	}
	if text := b.passedOver(p, last); text != "" {
		row = p.block(row, firstColumn, leftEnd, p.cutAt(firstColumn, leftEnd, text, jobRows, " … see "+workSheet), softLook)
	}
	return p.block(row, firstColumn, leftEnd, countRows(b.result, b.work).inWords()+", see "+workSheet+"; why they stand in this order is there too.", softLook)
}

// passedOver names as many of the jobs that are left out of the order as there is room for.
func (b *book) passedOver(p *page, last int) (text string) {
	for most := listedPassed; most > 0; most-- {
		if text = leftOutOfOrder(b.result, b.work, last, most); text == "" {
			return ""
		}
		if text += "; see below and " + workSheet + "."; p.rowsOf(firstColumn, leftEnd, text) <= jobRows {
			break
		}
	}
	return text
}

// place is which job it is and where, before what is to be hung.
func (w *workRow) place() string { return fmt.Sprintf("%d. %s, %s:", w.rank, w.line, w.structure) }

// The columns of the price of what the work takes.
const (
	priceColumn = leftEnd + 1
	priceEnd    = lineColumn + 1
)

// takesTable writes what the jobs take that are to be done, and below it what those would take that are accepted.
func (b *book) takesTable(p *page, row int) int {
	p.put(row, firstColumn, rightEnd, "What it takes", sectionLook)
	row++
	p.head(row, meetsColumn-1, "", "To fit", "To remove", "Structures", "After a look")
	p.put(row, firstColumn, meetsColumn-1, "Units and sets", headingLook)
	p.put(row, priceColumn, priceEnd, "Price", headingLook.aligned("right"))
	row++
	var certain, afterLook, accepted takesSum
	shown := 0
	for _, m := range materialRows(b.result, b.work) {
		if m.at < 0 && m.item == setItem {
			accepted.sets += m.accepted.fit + m.accepted.afterLook
		} else if m.at < 0 {
			accepted.add(m.accepted.fit+m.accepted.afterLook, m.each)
			accepted.fewer += m.accepted.fewer
			if less := m.priceOf(m.accepted.fewer); !unknown(less) {
				accepted.less += less
			}
		}
		switch {
		case m.at >= 0, m.fit+m.remove+m.afterLook == 0: // only of unknown number, which is said below
			continue
		case m.item == setItem:
			certain.sets, afterLook.sets = certain.sets+m.fit, afterLook.sets+m.afterLook
			continue
		}
		certain.add(m.fit, m.each)
		if less := m.priceOf(m.fewer); !unknown(less) {
			certain.less += less
		}
		afterLook.add(m.afterLook, m.each)
		if shown++; shown > listedMaterial {
			continue
		}
		p.put(row, firstColumn, meetsColumn-1, m.name, look{bold: true})
		for i, n := range []any{countRange(m.fit, m.fewer), countRange(m.remove, m.removeFewer), m.structures, m.afterLook} {
			p.put(row, meetsColumn+i, meetsColumn+i, n, look{format: asCount, align: "right"})
		}
		p.put(row, priceColumn, priceEnd, priceCell(m.price(), m.priceOf(m.fewer)), look{format: asHundred, align: "right"})
		row++
	}
	p.put(row, firstColumn, leftEnd, takenInWords(max(0, shown-listedMaterial), certain.sets, shown+certain.sets+afterLook.sets+accepted.units+accepted.sets > 0), softLook)
	if certain.price > 0 {
		p.put(row, priceColumn, priceEnd, priceCell(certain.price, certain.less), look{format: asHundred, bold: true, align: "right"})
	}
	if afterLook.units+afterLook.sets > 0 {
		row++
		p.put(row, firstColumn, leftEnd, "Besides, only if a look shows that it is needed: "+unitsAndSets(&afterLook)+".", softLook)
		if afterLook.price > 0 {
			p.put(row, priceColumn, priceEnd, afterLook.price, look{format: asHundred, align: "right"})
		}
	}
	if accepted.units+accepted.sets > 0 {
		row++
		p.put(row, firstColumn, leftEnd, "Not in these figures, for jobs that are accepted: "+unitsAndSets(&accepted)+".", softLook)
		if accepted.price > 0 {
			p.put(row, priceColumn, priceEnd, priceCell(accepted.price, accepted.less), look{format: asHundred, align: "right"})
		}
	}
	uncounted := 0
	for i := range b.work {
		if !b.work[i].said.Aside && len(b.work[i].uncountedTypes()) > 0 {
			uncounted++
		}
	}
	if uncounted > 0 {
		row++
		p.put(row, firstColumn, rightEnd, fmt.Sprintf("How many units are to be removed is not known at %s.", counted(uncounted, "structure", "structures")), softLook)
	}
	if certain.unpriced || afterLook.unpriced || accepted.unpriced {
		row++
		text := "The price is that of the units that have one."
		if certain.price+afterLook.price+accepted.price == 0 {
			text = "No price: none of these units has one on the sheet Units."
		}
		p.put(row, firstColumn, rightEnd, text, softLook)
	}
	return row + 1
}

// takenInWords says below the types that are listed how many more there are, how many sets of fittings, and where all of it is; some tells whether there
// is anything at all.
func takenInWords(more, sets int, some bool) string {
	var parts []string
	if more > 0 {
		parts = append(parts, counted(more, "type more", "types more"))
	}
	if sets > 0 {
		parts = append(parts, counted(sets, "set of fittings to add", "sets of fittings to add"))
	}
	switch {
	case !some:
		return "Nothing is to be fitted or taken away."
	case len(parts) == 0:
		return "All of it is in " + materialSheet + "."
	}
	return inARow(parts) + "; all of it is in " + materialSheet + "."
}

// unitsAndSets says how many units and sets that is, leaving out what is none.
func unitsAndSets(s *takesSum) string {
	var parts []string
	if s.units > 0 {
		parts = append(parts, s.unitsInWords())
	}
	if s.sets > 0 {
		parts = append(parts, counted(s.sets, "set of fittings", "sets of fittings"))
	}
	return inARow(parts)
}

// takesSum is what work takes in all.
type takesSum struct {
	units, sets int
	fewer       int      // of units: by so many it may be less
	price, less float64  // by so much it may be less
	unpriced    bool     // some units have none
	noPrice     []string // the types of those of a line or structure, where others have one
	atLeast     bool     // what sizes strings could not be judged of all of it
}

// unitsInWords says how many units that is, from how many where that is not known.
func (s *takesSum) unitsInWords() string {
	switch {
	case s.atLeast:
		return "at least " + counted(s.units-s.fewer, "unit", "units")
	case s.fewer == 0:
		return counted(s.units, "unit", "units")
	}
	return fmt.Sprintf("%s to %s", grouped(s.units-s.fewer), counted(s.units, "unit", "units"))
}

// span is a number of the units or of their price, from how many where it may be less. Where it may be more too, it has no upper end.
func (s *takesSum) span(most, fewer int) string {
	if s.atLeast {
		return "at least " + grouped(most-fewer)
	}
	return spanInWords(most, fewer)
}

func (s *takesSum) add(count int, each float64) {
	s.units += count
	switch {
	case count == 0:
	case unknown(each):
		s.unpriced = true
	default:
		s.price += each * float64(count)
	}
}

// unsolvedTable writes the jobs that are not accepted: those that begin with a look or an entry, those first that have no other work, those
// of which it cannot be judged what serves, and those for which nothing does.
func (b *book) unsolvedTable(p *page, row int) int {
	var units, unjudged, looks, entries []*workRow
	for i := range b.work {
		w := &b.work[i]
		if w.said.Aside {
			continue
		}
		switch isLook := wantsLook(b.result, w.job); {
		case isLook && len(w.job.Remedies) == 0:
			entries = append(entries, w)
		case isLook:
			looks = append(looks, w)
		}
		switch {
		case w.stoppedBy == "" || wantsEntry(b.result, w.job):
		case isUnjudged(w.job):
			unjudged = append(unjudged, w)
		default:
			units = append(units, w)
		}
	}
	if entries = append(entries, looks...); len(entries) > 0 {
		row = b.stoppedTable(p, row, "What needs a look or an entry first", entries, b.lookInWords) + 1
	}
	why := func(w *workRow) string { return w.stoppedBy }
	if len(unjudged) > 0 {
		row = b.stoppedTable(p, row, "Of what it cannot be judged what mends it", unjudged, why) + 1
	}
	return b.stoppedTable(p, row, "What no unit to choose from can mend", units, why)
}

// lookInWords says what is to be looked at before a job.
func (b *book) lookInWords(w *workRow) string {
	if len(w.job.Remedies) == 0 {
		return w.stoppedBy
	}
	var out []string
	for _, f := range b.result.FindingsOf(w.job.Exceptions) {
		if of := b.result.Checks[b.result.Exceptions[f.Exceptions[0]].Check].Of; of == audit.OfPlace || of == audit.OfStructure {
			out = append(out, f.Sentence(b.result))
		}
	}
	if len(out) == 0 {
		return sentenceCase(lookWhichRow) + "."
	}
	return strings.Join(out, "\n")
}

func (b *book) stoppedTable(p *page, row int, heading string, stopped []*workRow, why func(*workRow) string) int {
	p.put(row, firstColumn, rightEnd, heading, sectionLook)
	row++
	shown := min(len(stopped), listedUnsolved)
	for _, w := range stopped[:shown] {
		text := fmt.Sprintf("%s, %s: %s", w.line, w.structure, strings.ReplaceAll(why(w), "\n", " "))
		row = p.block(row, firstColumn, rightEnd, text, look{})
	}
	var others []string
	for _, w := range stopped[shown:] {
		others = append(others, w.line+" "+w.structure)
	}
	switch {
	case len(stopped) == 0:
		p.put(row, firstColumn, rightEnd, "Nothing.", softLook)
		row++
	case len(others) > 0:
		text := fmt.Sprintf("and %s more (%s), see %s", counted(len(others), "structure", "structures"), enumerated(others, listedOthers), workSheet)
		row = p.block(row, firstColumn, rightEnd, text, softLook)
	}
	return row
}
