package report

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/xuri/excelize/v2"
)

// The columns of the overview. On its first page, which one screen shows, stands on the left what to do, on the right how it stands; below that
// sections go over the whole width.
const (
	firstColumn = 1
	meetsColumn = 3 // of figures beside a name on the left
	leftEnd     = 6
	lineColumn  = 8
	rightEnd    = 13
)

// overviewWidths are the widths of the columns: as wide as A4 across takes where nothing is drawn smaller.
var overviewWidths = [...]float64{14, 16, 9, 9, 9, 9, 2, 14, 10, 9, 9, 9, 9}

const (
	listedLines = 5
	listedRuns  = 3
	listedGaps  = 3
	listedWorst = 10
)

// writeOverview writes the first sheet, whose first page tells what to do and how the lines stand.
func (b *book) writeOverview(ctx context.Context) error {
	p := b.newPage(overviewSheet, overviewWidths[:]...)
	p.centred = true
	p.put(1, firstColumn, rightEnd, b.title(), look{bold: true, size: 16, bare: true, middle: true})
	p.height(1, 24)
	p.paragraph(2, firstColumn, rightEnd, b.subtitle(), softLook)
	p.paragraph(3, firstColumn, rightEnd, sentenceCase(headline(b.changes))+".", look{bold: true, bare: true})
	b.headline(p)
	top := 6
	if text := decisionsInWords(b.decided); text != "" {
		p.paragraph(top, firstColumn, rightEnd, sentenceCase(text)+decidedOutInWords(b.result, b.decided)+".", look{bare: true})
		top++
	}
	p.paragraph(top, firstColumn, rightEnd, b.guide(), softLook)
	top += 2

	left := b.suspectTable(p, top)
	left = b.firstJobs(p, left, jobsHigh-(left-top)) + 1
	left = b.trendTable(p, left)
	right := b.lineTable(p, top) + 1
	right = b.shortageTable(p, right) + 1
	right, err := b.measureNext(ctx, p, right)
	if err != nil {
		return err
	}

	end := max(left, right) + 1
	for _, text := range b.cut() {
		p.paragraph(end, firstColumn, rightEnd, text, remarkLook)
		end++
	}
	p.paragraph(end, firstColumn, rightEnd, Caution, look{bold: true, bare: true, fill: sand, middle: true})

	areas := [][2]int{{1, end}}
	row := end + 2
	for _, section := range []func(*page, int) int{b.workInFull, b.resultsInFull, b.assumptionTable} { // each on a page of its own
		last := section(p, row)
		areas, row = append(areas, [2]int{row, last - 1}), last+1
	}
	areas = append(areas, b.writeCharts(p, row)...)
	p.layOutOnPages(areas)
	return p.finish()
}

// guide tells the sheets apart.
func (b *book) guide() string {
	acting := []string{workSheet, materialSheet, exceptionsSheet, clearedSheet, linesSheet}
	if b.decided != nil {
		acting = []string{workSheet, materialSheet, exceptionsSheet, clearedSheet, decisionsSheet, linesSheet}
	}
	if b.account != nil && b.account.tellsRisk {
		acting = append(acting, riskSheet)
	}
	checking := []string{workingSheet, structuresSheet, cohortsSheet, coverageSheet, basisSheet, faultsSheet}
	if tellsLevels(b.result) {
		checking = slices.Insert(checking, 2, levelsSheet)
	}
	if b.tellsSensitivity() {
		checking = slices.Insert(checking, slices.Index(checking, cohortsSheet)+1, sensitivitySheet)
	}
	if b.result.Project.Inspections != nil {
		checking = append(checking, inspectionsSheet)
	}
	return fmt.Sprintf("For who acts: the sheets with brown tabs (%s).  For who checks: those with blue tabs (%s).",
		strings.Join(acting, ", "), strings.Join(append(checking, runSheet), ", "))
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

// headline writes the figures that are read first, and gives them names.
func (b *book) headline(p *page) {
	r := b.result
	totals := r.Totals()
	figures := []struct {
		from, to    int
		name, label string
		value       any
		format      string
		color       string
	}{
		{1, 1, "total_shortfalls", "Shortfalls", totals[audit.Shortfall], asCount, ochre},
		{2, 2, "total_advisories", "Advisories", totals[audit.Advisory], asCount, slate},
		{3, 4, "total_notes", "Notes", totals[audit.Note], asCount, slate},
		{5, 6, "judged_percent", "Could be judged (%)", r.AssessedPercent(), asPercent, blue},
		{8, 8, "total_faults", "Faults in the inputs", r.Project.Faults.Total(), asCount, slate},
		{9, 10, "rows_placed", "Register rows placed", scopeOf(r).assemblies, asCount, slate},
		{11, 13, "rows_left_out", "Register rows left out", r.Network.RowsLeftOut, asCount, slate},
	}
	for _, f := range figures {
		p.put(4, f.from, f.to, f.label, look{color: slateSoft, bare: true, over: true, align: "left"})
		p.put(5, f.from, f.to, f.value, look{color: f.color, bold: true, size: 16, format: f.format, bare: true, align: "left", middle: true})
		p.name(f.name, 5, f.from)
	}
	p.height(5, 24)
}

// suspectTable writes which lines' data want a look before anything else, and returns the row below.
func (b *book) suspectTable(p *page, row int) int {
	texts := suspectsInWords(b.result, asWritten)
	if len(texts) == 0 {
		return row
	}
	p.put(row, firstColumn, leftEnd, lookAtData, sectionLook)
	row++
	for _, text := range texts {
		row = p.block(row, firstColumn, leftEnd, text, look{fill: sand})
	}
	return row + 1
}

// lineTable writes the lines that stand worst, and returns the row below.
func (b *book) lineTable(p *page, row int) int {
	r := b.result
	p.put(row, lineColumn, rightEnd, "Lines by open exceptions per 100 structures", sectionLook)
	row++
	p.heading(row, lineColumn, "Line", "Per 100", "Shortfalls", "Advisories", "Notes", "Structures")
	row++
	first, listed := row, 0
	for i, x := range rankedLines(r, b.decided) {
		if x.open.total() == 0 || listed == listedLines {
			break
		}
		listed++
		line := &r.Network.Lines[x.line]
		p.put(row, lineColumn, lineColumn, p.nameIn(lineColumn, r.Project.Symbols.Text(line.Symbol)), look{bold: true, color: blue})
		if i < b.limits.rows {
			p.link(row, lineColumn, linesSheet, i+2)
		}
		p.put(row, lineColumn+1, lineColumn+1, x.per, look{format: asPercent})
		for k, count := range []int{x.open[audit.Shortfall], x.open[audit.Advisory], x.open[audit.Note], line.End - line.First} {
			p.put(row, lineColumn+2+k, lineColumn+2+k, count, look{format: asCount})
		}
		row++
	}
	switch {
	case listed > 0:
		p.bars(first, row-1, lineColumn+1)
	case len(r.Exceptions) > 0:
		p.put(row, lineColumn, rightEnd, "No line has an exception that is open.", softLook)
		row++
	default:
		p.put(row, lineColumn, rightEnd, "No line has an exception in what could be judged.", softLook)
		row++
	}
	return row
}

// shortageTable writes how far open exceptions fall short, by severity, and returns the row below.
func (b *book) shortageTable(p *page, row int) int {
	steps, unmeasured := shortSteps(b.result, b.decided, 5, 20)
	p.put(row, lineColumn, rightEnd, "How far open exceptions fall short", sectionLook)
	row++
	p.heading(row, lineColumn, "Short by", "to 5 %", "to 20 %", "more", "no figure", "sum")
	row++
	for _, severity := range []audit.Severity{audit.Shortfall, audit.Advisory, audit.Note} {
		p.put(row, lineColumn, lineColumn, severity.String(), severityLook(severity))
		all := unmeasured[severity]
		for k, s := range steps {
			p.put(row, lineColumn+1+k, lineColumn+1+k, s.counts[severity], look{format: asCount})
			all += s.counts[severity]
		}
		p.put(row, rightEnd-1, rightEnd-1, unmeasured[severity], look{format: asCount})
		p.put(row, rightEnd, rightEnd, all, look{format: asCount, bold: true})
		row++
	}
	return row
}

// trendTable writes the last runs, the latest first, and returns the row below.
func (b *book) trendTable(p *page, row int) int {
	p.put(row, firstColumn, leftEnd, "Trend", sectionLook)
	row++
	if len(b.trend) < 2 {
		p.put(row, firstColumn, leftEnd, "No earlier run to draw one from.", softLook)
		return row + 1
	}
	p.heading(row, firstColumn, "As of", "Shortfalls", "Advisories", "Notes", "New", "Cleared")
	row++
	known := func(n int) any {
		if n < 0 {
			return ""
		}
		return n
	}
	for i := len(b.trend) - 1; i >= max(0, len(b.trend)-listedRuns); i-- {
		x := &b.trend[i]
		p.put(row, firstColumn, firstColumn, x.AsOf, look{})
		for k, n := range []any{x.Shortfalls, x.Advisories, x.Notes, known(x.New), known(x.Cleared)} {
			p.put(row, firstColumn+1+k, firstColumn+1+k, n, look{format: asCount})
		}
		row++
	}
	if ofAll := trendOfAllLines(b.result); ofAll != "" {
		row = p.block(row, firstColumn, leftEnd, ofAll, softLook)
	}
	return row
}

// measureNext writes what would let most be judged that is not, and returns the row below.
func (b *book) measureNext(ctx context.Context, p *page, row int) (int, error) {
	datum, err := b.result.DatumThatJudgesMost(ctx)
	if err != nil {
		return row, err
	}
	gaps := gapsOf(b.result)
	p.put(row, lineColumn, rightEnd, "What to measure next", sectionLook)
	row++
	if datum.Count > 0 {
		row = p.block(row, lineColumn, rightEnd, datumInWords(b.result, &datum), look{bold: true})
	}
	for _, g := range gaps[:min(len(gaps), listedGaps)] {
		next := p.block(row, lineColumn, rightEnd-1, g.reason.String(), look{})
		p.fill(row, next-1, rightEnd, rightEnd, g.count, look{format: asCount})
		row = next
	}
	if len(gaps) == 0 {
		p.put(row, lineColumn, rightEnd, "Nothing: all was judged that the project asks for.", softLook)
		row++
	}
	return row, nil
}

// printArea are rows of the overview that print on pages of their own.
func printArea(first, last int) string {
	return fmt.Sprintf("%s!$A$%d:$M$%d", overviewSheet, first, last)
}

// layOutOnPages prints areas of rows as large as they are shown, each from a new page: on A4, or where the first is too high for one page of that on A3.
func (p *page) layOutOnPages(areas [][2]int) {
	var texts []string
	paper := smallPaper
	if p.highOf(areas[0][0], areas[0][1]) > heightOn(smallPaper) {
		paper = largePaper
	}
	for _, area := range areas {
		texts = append(texts, printArea(area[0], area[1]))
	}
	p.keep(p.book.file.SetPageLayout(p.sheet, &excelize.PageLayoutOptions{Size: &paper}))
	p.keep(p.book.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", RefersTo: strings.Join(texts, ","), Scope: p.sheet}))
}
