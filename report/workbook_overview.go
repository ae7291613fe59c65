package report

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"dryarc/audit"
	"dryarc/audit/history"

	"github.com/xuri/excelize/v2"
)

// The columns of the overview: on the left the checks, on the right the lines and the worst exceptions.
const (
	checkColumn = 1
	meetsColumn = 2
	leftEnd     = 5
	lineColumn  = 7
	factsColumn = 9 // counts of a line, and the sentence of an exception
	rightEnd    = 13
)

const (
	listedLines = 8
	listedWorst = 10
	listedGaps  = 4
)

// writeOverview writes the first sheet, whose first page tells what to do and how the lines stand.
func (b *book) writeOverview(ctx context.Context) error {
	p := b.newPage(overviewSheet, 44, 9, 9, 9, 9, 2, 12, 14, 10, 10, 10, 10, 26)
	p.put(1, 1, rightEnd, b.title(), look{bold: true, size: 18, bare: true, middle: true})
	p.height(1, 30)
	p.put(2, 1, rightEnd, b.subtitle(), softLook)
	p.put(3, 1, rightEnd, sentenceCase(headline(b.changes))+".", look{bold: true, bare: true})
	b.headline(p)
	if text := decisionsInWords(b.decided); text != "" {
		p.put(6, 1, rightEnd, sentenceCase(text)+decidedOutInWords(b.result, b.decided)+".", look{bare: true})
	}

	top, err := b.answers(ctx, p, 7)
	if err != nil {
		return err
	}
	left := b.suspectTable(p, top)
	left = b.checkTable(p, left)
	right := b.lineTable(p, top)
	right = b.worstTable(p, right+1)
	if left <= right { // to whichever side is shorter
		left = b.gapTable(p, left+1, checkColumn, leftEnd)
	} else {
		right = b.gapTable(p, right+1, lineColumn, rightEnd)
	}

	end := max(left, right) + 1
	for _, text := range b.cutRemarks() {
		p.put(end, 1, rightEnd, text, look{italic: true, color: slateSoft, bare: true})
		end++
	}
	p.paragraph(end, 1, rightEnd, Caution, look{bold: true, bare: true, fill: sand, middle: true})
	second := end + 2 // the second page: what the answers rest on, and the charts
	last := b.assumptionTable(p, second, checkColumn, rightEnd)
	if len(b.result.Exceptions) > 0 || len(b.trend) > 1 {
		last = b.writeCharts(p, last+1)
	}
	area, one := printArea(1, end)+","+printArea(second, last-1), 1
	p.keep(b.file.SetPageLayout(overviewSheet, &excelize.PageLayoutOptions{FitToHeight: &one}))
	p.keep(b.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", RefersTo: area, Scope: overviewSheet}))
	return p.err
}

// printArea are rows of the overview that print on pages of their own.
func printArea(first, last int) string {
	return fmt.Sprintf("%s!$A$%d:$M$%d", overviewSheet, first, last)
}

func (b *book) subtitle() string {
	r, s := b.result, scopeOf(b.result)
	lines := counted(s.lines, "line", "lines")
	if s.lines < len(r.Lines) {
		lines = fmt.Sprintf("%s of %s", grouped(s.lines), counted(len(r.Lines), "line", "lines"))
	}
	return fmt.Sprintf("As of %s.  Audited: %s, %s, %s km, %s.  %s in %s of sheet %s.  Run %s.", r.Run.AsOf, lines,
		counted(s.structures, "structure", "structures"), grouped(int(s.lengthKM+0.5)),
		counted(s.assemblies, "register row placed", "register rows placed"), counted(len(r.Exceptions), "exception", "exceptions"),
		counted(len(decidedFindings(r, b.decided, r.Findings())), "finding", "findings"), exceptionsSheet, r.Run.ID)
}

// headline writes the figures that are read first.
func (b *book) headline(p *page) {
	r := b.result
	totals := r.Totals()
	figures := []struct {
		from, to int
		label    string
		value    any
		format   string
		color    string
	}{
		{1, 1, "Shortfalls", totals[audit.Shortfall], asCount, ochre},
		{2, 3, "Advisories", totals[audit.Advisory], asCount, slate},
		{4, 5, "Notes", totals[audit.Note], asCount, slate},
		{7, 8, "Could be judged (%)", r.AssessedPercent(), asPercent, blue},
		{9, 10, "Faults in the inputs", r.Project.Faults.Total(), asCount, slate},
		{11, 12, "Register rows placed", r.Network.RowsPlaced, asCount, slate},
		{13, 13, "Register rows left out", r.Network.RowsLeftOut, asCount, slate},
	}
	for _, f := range figures {
		p.put(4, f.from, f.to, f.label, look{color: slateSoft, bare: true, over: true, align: "left"})
		p.put(5, f.from, f.to, f.value, look{color: f.color, bold: true, size: 18, format: f.format, bare: true, align: "left", middle: true})
	}
	p.height(5, 27)
}

// listedSuspects is how many lines are listed whose data want a look.
const listedSuspects = 4

// suspectTable writes which lines' data want a look before anything else, and returns the row below.
func (b *book) suspectTable(p *page, row int) int {
	found := suspects(b.result)
	if len(found) == 0 {
		return row
	}
	p.put(row, checkColumn, leftEnd, "Likely mistakes in the data of a line", sectionLook)
	row++
	for _, s := range found[:min(len(found), listedSuspects)] {
		text := s.inWords(b.result)
		next := row + p.rowsOf(checkColumn, leftEnd, text)
		p.fill(row, next-1, checkColumn, leftEnd, text, look{wrap: true, fill: sand})
		row = next
	}
	if more := len(found) - listedSuspects; more > 0 {
		p.put(row, checkColumn, leftEnd, fmt.Sprintf("and %s more", grouped(more)), softLook)
		row++
	}
	return row + 1
}

// checkTable writes what each check said that judged anything, and returns the row below.
func (b *book) checkTable(p *page, row int) int {
	r := b.result
	p.put(row, checkColumn, leftEnd, "Checks", sectionLook)
	row++
	for i, heading := range []string{"What the check finds", "Meets", "Falls short", "Not assessed", "Judged (%)"} {
		l := headingLook
		if i > 0 {
			l.align = "right"
		}
		p.put(row, checkColumn+i, checkColumn+i, heading, l)
	}
	p.height(row, headingHeight)
	row++
	first, silent, blind, unasked := row, 0, 0, 0
	for i, c := range r.Coverage {
		switch judged, concerned := c.Assessed(); {
		case concerned == 0 && c.NotAsked > 0:
			unasked++
			continue
		case concerned == 0:
			silent++
			continue
		case judged == 0:
			blind++
			continue
		}
		p.put(row, checkColumn, checkColumn, r.Checks[i].Title, look{})
		p.put(row, meetsColumn, meetsColumn, c.Meets, look{format: asCount})
		short := look{format: asCount}
		if c.FallsShort > 0 {
			short = look{format: asCount, bold: true, color: ochre}
		}
		p.put(row, meetsColumn+1, meetsColumn+1, c.FallsShort, short)
		p.put(row, meetsColumn+2, meetsColumn+2, c.Lacking(), look{format: asCount})
		p.put(row, meetsColumn+3, meetsColumn+3, audit.JudgedPercent(c), look{format: asPercent})
		row++
	}
	if row > first && p.err == nil {
		p.keep(b.file.SetConditionalFormat(p.sheet, fmt.Sprintf("C%d:C%d", first, row-1), []excelize.ConditionalFormatOptions{{
			Type: "data_bar", Criteria: "=", MinType: "num", MinValue: "0", MaxType: "max", BarColor: "#" + amber, BarSolid: true}}))
	}
	if blind > 0 {
		p.put(row, checkColumn, leftEnd, fmt.Sprintf("%s judge nothing for want of data, see %s.", counted(blind, "check could", "checks could"), coverageSheet), look{bold: true, bare: true})
		row++
	}
	if unasked > 0 {
		p.put(row, checkColumn, leftEnd, fmt.Sprintf("%s not asked for by the project, see %s for what asks.", counted(unasked, "check is", "checks are"), coverageSheet), softLook)
		row++
	}
	if silent > 0 {
		p.put(row, checkColumn, leftEnd, fmt.Sprintf("%s nothing here, see %s.", counted(silent, "check concerns", "checks concern"), coverageSheet), softLook)
		row++
	}
	return row
}

// gapTable writes why subjects were not assessed, and returns the row below.
func (b *book) gapTable(p *page, row, from, to int) int {
	gaps := gapsOf(b.result)
	if len(gaps) == 0 {
		return row - 1
	}
	p.put(row, from, to, "Most that was not assessed", sectionLook)
	row++
	for _, g := range gaps[:min(len(gaps), listedGaps)] {
		p.put(row, from, to-1, g.reason.String(), look{})
		p.put(row, to, to, g.count, look{format: asCount})
		row++
	}
	return row
}

// assumptionTable writes what the result rests on, and returns the row below.
func (b *book) assumptionTable(p *page, row, from, to int) int {
	p.put(row, from, to, "Assumptions", sectionLook)
	row++
	for _, a := range b.result.Run.Assumptions {
		text := a.Text
		if len(a.Lines) > 0 {
			text += " (" + touched(b.result.Project, a, 3) + ")"
		}
		next := row + p.rowsOf(from, to, text)
		p.fill(row, next-1, from, to, text, look{wrap: true})
		row = next
	}
	if len(b.result.Run.Assumptions) == 0 {
		p.put(row, from, to, "None.", softLook)
		row++
	}
	return row
}

// lineTable writes the lines with the most exceptions, and returns the row below.
func (b *book) lineTable(p *page, row int) int {
	r := b.result
	p.put(row, lineColumn, rightEnd, "Lines with the most exceptions", sectionLook)
	row++
	p.put(row, lineColumn, lineColumn+1, "Line", headingLook)
	for i, heading := range []string{"Structures", "Shortfalls", "Advisories", "Notes"} {
		p.put(row, factsColumn+i, factsColumn+i, heading, headingLook.aligned("right"))
	}
	p.put(row, rightEnd, rightEnd, "Name; how many more would fall short one class worse", headingLook.indented())
	row++
	counts := exceptionsByLine(r)
	for _, l := range worstLines(counts, listedLines) {
		line, n := &r.Network.Lines[l], counts[l]
		p.put(row, lineColumn, lineColumn+1, r.Project.Symbols.Text(line.Symbol), look{bold: true})
		for i, count := range []int{line.End - line.First, n[audit.Shortfall], n[audit.Advisory], n[audit.Note]} {
			p.put(row, factsColumn+i, factsColumn+i, count, look{format: asCount})
		}
		p.put(row, rightEnd, rightEnd, fmt.Sprintf("%s; %d", cmp.Or(r.Project.Symbols.Text(line.Row.Name), "–"), r.Lines[l].OneClassWorse), look{indent: 1})
		row++
	}
	if len(r.Exceptions) == 0 {
		p.put(row, lineColumn, rightEnd, "No line has an exception.", softLook)
		row++
	}
	return row
}

// worstLines returns the lines with the most exceptions: most shortfalls first, then most advisories, then most notes.
func worstLines(counts []bySeverity, most int) []int {
	var lines []int
	for l, n := range counts {
		if n.total() > 0 {
			lines = append(lines, l)
		}
	}
	slices.SortStableFunc(lines, func(a, b int) int {
		x, y := counts[a], counts[b]
		return cmp.Or(cmp.Compare(y[audit.Shortfall], x[audit.Shortfall]), cmp.Compare(y[audit.Advisory], x[audit.Advisory]),
			cmp.Compare(y[audit.Note], x[audit.Note]))
	})
	return lines[:min(len(lines), most)]
}

// worstTable writes the worst exceptions of the checks, in grey those that are decided, and returns the row below.
func (b *book) worstTable(p *page, row int) int {
	r := b.result
	p.put(row, lineColumn, rightEnd, "Worst exceptions of each check", sectionLook)
	row++
	p.put(row, lineColumn, lineColumn, "Severity", headingLook)
	p.put(row, lineColumn+1, lineColumn+1, "Line, structure", headingLook)
	p.put(row, factsColumn, rightEnd, "What is wrong", headingLook)
	row++
	for _, i := range worstOfEach(r, b.decided, listedWorst) {
		e := &r.Exceptions[i]
		rec := recordOf(r, e)
		where := rec.Line
		if rec.Structure != "" {
			where += ", " + rec.Structure
		}
		if rec.StructureTo != "" {
			where += "–" + rec.StructureTo
		}
		next := row + max(p.rowsOf(lineColumn+1, lineColumn+1, where), p.rowsOf(factsColumn, rightEnd, rec.Reason))
		severity, place, reason := severityLook(e.Verdict.Severity), look{bold: true, wrap: true}, look{wrap: true}
		if !b.decided.Open(i) {
			severity, place, reason = severity.muted(), place.muted(), reason.muted()
		}
		p.fill(row, next-1, lineColumn, lineColumn, rec.Severity, severity)
		p.fill(row, next-1, lineColumn+1, lineColumn+1, where, place)
		p.fill(row, next-1, factsColumn, rightEnd, rec.Reason, reason)
		row = next
	}
	if out := decidedOut(r, b.decided); out != [3]int{} {
		text := fmt.Sprintf("%s accepted or planned: below all others if there is room, and in grey as on %s.", counted(out[0]+out[1]+out[2], "exception is", "exceptions are"), exceptionsSheet)
		p.put(row, lineColumn, rightEnd, text, softLook)
		row++
	}
	if len(r.Exceptions) == 0 {
		p.put(row, lineColumn, rightEnd, "None.", softLook)
		row++
	}
	return row
}

// worstOfEach picks the worst exceptions so that every check has its say: of each severity first the worst of every
// check, then the second worst, and so on, one for a structure, listed worst first. What is decided takes the places that are left.
func worstOfEach(r *audit.Result, d *history.Decided, most int) []int {
	picked := worstAmong(r, most, d.Open)
	return append(picked, worstAmong(r, most-len(picked), func(exception int) bool { return !d.Open(exception) })...)
}

func worstAmong(r *audit.Result, most int, among func(exception int) bool) []int {
	type spot struct{ check, line, structure, to int }
	type candidate struct{ at, rank int }
	ranks := make([]int, len(r.Checks))
	seen := map[spot]bool{}
	var all []candidate
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		if i > 0 && e.Verdict.Severity != r.Exceptions[i-1].Verdict.Severity {
			clear(ranks)
		}
		here := spot{e.Check, e.Line, e.Structure, e.To}
		if ranks[e.Check] >= most || seen[here] || !among(i) {
			continue
		}
		seen[here] = true
		all = append(all, candidate{i, ranks[e.Check]})
		ranks[e.Check]++
	}
	severity := func(c candidate) audit.Severity { return r.Exceptions[c.at].Verdict.Severity }
	slices.SortStableFunc(all, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(severity(a), severity(b)), cmp.Compare(a.rank, b.rank))
	})
	var picked []int
	for _, c := range all[:min(len(all), most)] {
		picked = append(picked, c.at)
	}
	slices.Sort(picked)
	return picked
}

// cutRemarks says which sheets do not hold all.
func (b *book) cutRemarks() []string {
	r := b.result
	var out []string
	remark := func(sheet string, shown, of int, what string) {
		if shown < of {
			out = append(out, fmt.Sprintf("Sheet %s holds %s of %s %s.", sheet, grouped(shown), grouped(of), what))
		}
	}
	found := len(r.Findings())
	remark(exceptionsSheet, min(found, b.limits.exceptions), found, "findings, the worst; audit.json and exceptions.geojson have all exceptions")
	remark(linesSheet, min(len(r.Lines), b.limits.rows), len(r.Lines), "lines; audit.json has all")
	if n := r.Network.StructureCount(); n > b.limits.structures {
		out = append(out, fmt.Sprintf("Sheet %s holds %s.", structuresSheet, cutStructures(b.limits.structures, n, withExceptions(exceptionsByStructure(r)))))
	}
	listed := 0
	for _, c := range r.Project.Faults.Counts() {
		listed += c.Listed
	}
	remark(faultsSheet, min(listed, b.limits.rows), r.Project.Faults.Total(), "faults; their counts in sheet "+runSheet+" are exact")
	return out
}
