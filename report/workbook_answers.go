package report

import (
	"context"
	"fmt"
	"strings"

	"dryarc/audit"
)

const (
	listedJobs     = 10
	listedUnsolved = 5
	listedMaterial = 6
	listedOthers   = 12 // named of those that are not listed
)

// answers writes what is asked first: what to do, what it takes, what cannot be done, and what would tell most. It returns the row below.
func (b *book) answers(ctx context.Context, p *page, top int) (int, error) {
	left := b.firstJobs(p, top)
	right := b.takesTable(p, top)
	right = b.unsolvedTable(p, right+1)
	datum, err := b.result.DatumThatJudgesMost(ctx)
	if err != nil {
		return top, err
	}
	if datum.Count > 0 {
		right++
		p.put(right, lineColumn, rightEnd, "The datum that would judge most", sectionLook)
		text := fmt.Sprintf("%s%s: %s of %s.", unitPrefix(&datum), datum.Reason, counted(datum.Count, "verdict", "verdicts"), b.result.Checks[datum.Check].ID)
		next := right + 1 + p.rowsOf(lineColumn, rightEnd, text)
		p.fill(right+1, next-1, lineColumn, rightEnd, text, look{wrap: true})
		right = next
	}
	return max(left, right) + 1, nil
}

func unitPrefix(d *audit.Datum) string {
	if d.Unit == "" {
		return ""
	}
	return d.Unit + ", "
}

// firstJobs writes the jobs to do first.
func (b *book) firstJobs(p *page, row int) int {
	p.put(row, checkColumn, leftEnd, "What to do first", sectionLook)
	row++
	shown := 0
	var without, passed []string // those without work, and those before a job that is listed
	for i := range b.work {
		w := &b.work[i]
		if w.said.Aside {
			break // all that follow are
		}
		if len(w.job.Remedies) == 0 {
			without = append(without, fmt.Sprintf("%s (%s, %s: %s)", grouped(w.rank), w.line, w.structure, stopWord(b.result, w.job)))
			continue
		}
		if shown++; shown > listedJobs {
			break
		}
		passed = without
		text := fmt.Sprintf("%d. %s, %s: %s%s", w.rank, w.line, w.structure, w.decided(), strings.ReplaceAll(w.toHang, "\n", "; "))
		next := row + p.rowsOf(checkColumn, leftEnd, text)
		p.fill(row, next-1, checkColumn, leftEnd, text, look{wrap: true})
		row = next
	}
	if shown == 0 {
		text := "No unit to choose from is known to mend anything; the sheet " + workSheet + " says what stops it."
		switch c := countRows(b.result, b.work); {
		case c.All == 0:
			text = "Nothing: no shortfall is of an assembly or a place."
		case c.Accepted == c.All:
			text = "Nothing that is not accepted: " + c.inWords() + ", see " + workSheet + "."
		}
		p.put(row, checkColumn, leftEnd, text, softLook)
		return row + 1
	}
	if len(passed) > 0 {
		text := fmt.Sprintf("Left out in the order, since nothing is to be hung yet: %s; see on the right and %s.", joined(passed), workSheet)
		next := row + p.rowsOf(checkColumn, leftEnd, text)
		p.fill(row, next-1, checkColumn, leftEnd, text, look{wrap: true, color: slateSoft, bare: true})
		row = next
	}
	text := countRows(b.result, b.work).inWords() + ", see " + workSheet + "; why they stand in this order is there too."
	next := row + p.rowsOf(checkColumn, leftEnd, text)
	p.fill(row, next-1, checkColumn, leftEnd, text, look{wrap: true, color: slateSoft, bare: true})
	return next
}

// takesTable writes what the jobs take that are to be done, and below it what those would take that are accepted.
func (b *book) takesTable(p *page, row int) int {
	p.put(row, lineColumn, rightEnd, "What it takes", sectionLook)
	row++
	p.put(row, lineColumn, factsColumn-1, "Units and sets", headingLook)
	for i, heading := range []string{"To fit", "To remove", "Structures", "After a look"} {
		p.put(row, factsColumn+i, factsColumn+i, heading, headingLook.aligned("right"))
	}
	p.put(row, rightEnd, rightEnd, "Price", headingLook.aligned("right"))
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
		p.put(row, lineColumn, factsColumn-1, m.name, look{bold: true})
		for i, n := range []any{countRange(m.fit, m.fewer), countRange(m.remove, m.removeFewer), m.structures, m.afterLook} {
			p.put(row, factsColumn+i, factsColumn+i, n, look{format: asCount, align: "right"})
		}
		p.put(row, rightEnd, rightEnd, priceCell(m.price(), m.priceOf(m.fewer)), look{format: asHundred, align: "right"})
		row++
	}
	text := fmt.Sprintf("%s with fittings to add", counted(certain.sets, "set", "sets"))
	if more := shown - listedMaterial; more > 0 {
		text = fmt.Sprintf("and %s more; %s", counted(more, "type", "types"), text)
	}
	p.put(row, lineColumn, rightEnd-1, text+"; all of it is in "+materialSheet+".", softLook)
	if certain.price > 0 {
		p.put(row, rightEnd, rightEnd, priceCell(certain.price, certain.less), look{format: asHundred, bold: true, align: "right"})
	}
	if afterLook.units > 0 {
		row++
		p.put(row, lineColumn, rightEnd-1, fmt.Sprintf("besides, only if a look shows that it is needed: %s, %s", counted(afterLook.units, "unit", "units"),
			counted(afterLook.sets, "set", "sets")), softLook)
		if afterLook.price > 0 {
			p.put(row, rightEnd, rightEnd, afterLook.price, look{format: asHundred, align: "right"})
		}
	}
	if accepted.units+accepted.sets > 0 {
		row++
		p.put(row, lineColumn, rightEnd-1, fmt.Sprintf("not in these figures, for jobs that are accepted: %s, %s", accepted.unitsInWords(),
			counted(accepted.sets, "set", "sets")), softLook)
		if accepted.price > 0 {
			p.put(row, rightEnd, rightEnd, priceCell(accepted.price, accepted.less), look{format: asHundred, align: "right"})
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
		p.put(row, lineColumn, rightEnd, fmt.Sprintf("How many units are to be removed is not known at %s.", counted(uncounted, "structure", "structures")), softLook)
	}
	if certain.unpriced || afterLook.unpriced || accepted.unpriced {
		row++
		p.put(row, lineColumn, rightEnd, "The price is that of the units that have one.", softLook)
	}
	return row + 1
}

// takesSum is what work takes in all.
type takesSum struct {
	units, sets int
	fewer       int     // of units: by so many it may be less
	price, less float64 // by so much it may be less
	unpriced    bool    // some units have none
}

// unitsInWords says how many units that is, from how many where that is not known.
func (s *takesSum) unitsInWords() string {
	if s.fewer == 0 {
		return counted(s.units, "unit", "units")
	}
	return fmt.Sprintf("%s to %s", grouped(s.units-s.fewer), counted(s.units, "unit", "units"))
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
	p.put(row, lineColumn, rightEnd, heading, sectionLook)
	row++
	shown := min(len(stopped), listedUnsolved)
	for _, w := range stopped[:shown] {
		text := fmt.Sprintf("%s, %s: %s", w.line, w.structure, strings.ReplaceAll(why(w), "\n", " "))
		next := row + p.rowsOf(lineColumn, rightEnd, text)
		p.fill(row, next-1, lineColumn, rightEnd, text, look{wrap: true})
		row = next
	}
	var others []string
	for _, w := range stopped[shown:] {
		others = append(others, w.line+" "+w.structure)
	}
	switch {
	case len(stopped) == 0:
		p.put(row, lineColumn, rightEnd, "Nothing.", softLook)
		row++
	case len(others) > 0:
		text := fmt.Sprintf("and %s more (%s), see %s", counted(len(others), "structure", "structures"), enumerated(others, listedOthers), workSheet)
		next := row + p.rowsOf(lineColumn, rightEnd, text)
		p.fill(row, next-1, lineColumn, rightEnd, text, look{wrap: true, color: slateSoft, bare: true})
		row = next
	}
	return row
}
