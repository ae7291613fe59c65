package report

import (
	"context"
	"fmt"
	"io"
	"iter"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"dryarc/audit"

	"github.com/xuri/excelize/v2"
)

// The sheets of scope.xlsx that an audit does not have.
const (
	scenariosSheet  = "Scenarios"
	sideBySideSheet = "Side by side"
	changesSheet    = "Changes"
	stopsSheet      = "What stops it"
)

// writeBook writes the workbook of scenarios.
func (s *Scope) writeBook(ctx context.Context, w io.Writer, r *audit.Result) (err error) {
	file := excelize.NewFile()
	defer func() {
		if closing := file.Close(); err == nil {
			err = closing
		}
	}()
	b := &scopeBook{book: &book{file: file, looks: looks{file, map[look]int{}}, limits: bookLimits{rows: 200_000}, result: r, about: "Upgrade scope", json: scopeFile, scenarios: s.Scenarios}, scope: s}
	b.cut = b.cutRemarks
	var pages, tables []sheet
	if len(s.Scenarios) > 0 {
		pages = []sheet{{scenariosSheet, slate, b.writeScenarios}}
		tables = []sheet{
			{coverageSheet, blue, b.writeCoverage},
			{sideBySideSheet, ochre, b.writeSideBySide},
			{changesSheet, ochre, b.writeChanges},
			{materialSheet, ochre, b.writeMaterial},
			{stopsSheet, ochre, b.writeStops},
		}
	}
	sheets := slices.Concat(pages, tables)
	if s.WithHeadroom {
		h := newHeadroomBook(b.book, s.allHeadroom())
		b.cut = func() []string { return append(b.cutRemarks(), h.cutRemark()...) }
		pages, tables = append(pages, h.pages()...), append(tables, h.tables()...)
		sheets = slices.Concat(sheets, h.pages(), h.tables())
	}
	basis, run := sheet{basisSheet, slateSoft, b.writeBasis}, sheet{runSheet, slateSoft, b.writeRun}
	pages, tables, sheets = append(pages, run), append(tables, basis), append(sheets, basis, run)
	if err := b.nameSheets(sheets); err != nil {
		return err
	}
	for _, p := range pages {
		if err := p.fill(ctx); err != nil {
			return err
		}
	}
	if err := b.fillTables(ctx, tables); err != nil {
		return err
	}
	for _, x := range sheets {
		if err := file.SetSheetProps(x.name, &excelize.SheetPropsOptions{TabColorRGB: &x.tab}); err != nil {
			return err
		}
	}
	if err := b.setProperties(); err != nil {
		return err
	}
	return b.writeTo(w)
}

// scopeBook is the workbook of scenarios being written.
type scopeBook struct {
	*book
	scope *Scope
}

// cutRemarks says which sheets of the scenarios do not hold all.
func (b *scopeBook) cutRemarks() []string {
	all := 0
	for _, s := range b.scope.Scenarios {
		all += s.allChanges
	}
	return cutRemark(changesSheet, min(all, b.limits.rows), all, changesCut)
}

// writeScenarios writes the page that says what the scenarios are and what they come to, in words.
func (b *scopeBook) writeScenarios(context.Context) error {
	p := b.newPage(scenariosSheet, 23, 11, 11, 16, 11, 20, 13, 12, 12, 9, 14, 9)
	p.put(1, 1, 12, b.title(), look{bold: true, size: 18, bare: true, middle: true})
	p.height(1, 30)
	p.paragraph(2, 1, 12, Caution, look{bare: true, color: slateSoft})
	p.paragraph(3, 1, 12, scopeUnits+" "+costsInWords(b.scope.Scenarios)+" "+whatIsMended, look{bare: true, color: slateSoft})
	row := 5
	for _, s := range b.scope.Scenarios {
		p.put(row, 1, 12, s.scenario.Name, look{bold: true, size: 14, bare: true})
		p.height(row, 22)
		row++
		p.paragraph(row, 1, 12, "On "+counted(len(s.lines), "line", "lines")+" ("+enumerated(isolatedNames(s.lines), 20)+"): "+strings.Join(s.changesInWords(), "; ")+". All of it is the project's own figure, by this scenario.", look{bare: true})
		row++
		for _, note := range s.notes {
			p.paragraph(row, 1, 12, note, look{bare: true, color: slateSoft})
			row++
		}
		for i, heading := range [...]string{"Line", "Structures", "To work on", "Units to fit", "Sets to add", "Cost of units", "New exceptions", "Exceptions mended", "No remedy serves", "of that, km", "Not known what serves", "of that, km"} {
			l := headingLook
			if i > 0 {
				l = l.aligned("right")
			}
			p.put(row, i+1, i+1, heading, l)
		}
		p.height(row, headingHeight)
		row++
		for i := range s.perLine {
			l := &s.perLine[i]
			p.put(row, 1, 1, l.line, look{bold: true})
			high := float64(rowHeight)
			units := any(l.certain.units)
			if l.certain.fewer > 0 || l.certain.atLeast {
				units = l.certain.span(l.certain.units, l.certain.fewer)
			}
			cost := wholePriceCell(l.price(), l.certain.less)
			if l.needing > 0 && unknown(l.certain.price) {
				cost = "not known" // as on the page
			}
			for k, value := range [...]any{l.structures, l.needing, units, l.certain.sets, cost, l.newly, l.mended, l.stopped, l.stoppedKM, l.notKnown, l.notKnownKM} {
				format := asCount
				if k == 8 || k == 10 {
					format = asTenths
				}
				shown := look{format: format, align: "right"}
				if text, is := value.(string); is { // from how much to how much, which would be cut beside what stands next
					shown.wrap, high = true, max(high, cellHeight(text, p.width(k+2, k+2), false))
				}
				p.put(row, k+2, k+2, value, shown)
			}
			p.height(row, high)
			row++
		}
		for i := range s.perLine {
			p.paragraph(row, 1, 12, s.perLine[i].inWords(s), look{bare: true})
			row++
		}
		row++
	}
	return p.finish()
}

// writeSideBySide writes the sheet that sets the scenarios beside today, by line and check.
func (b *scopeBook) writeSideBySide(ctx context.Context) error {
	count, apart, high := look{format: asCount}, look{format: asCount, indent: 1, align: "right"}, float64(headingHeight) // headings of neighbours do not run into each other
	columns := []column{{"Line", 14, look{bold: true, wrap: true}}, {"Check", 24, look{wrap: true}},
		{"Today: meets", 9, count}, {"Today: falls short", 9, count}, {"Today: not assessed", 9.5, count}}
	for _, s := range b.scope.Scenarios {
		for _, what := range [...]string{"meets", "falls short", "not assessed", "newly short", "mended"} {
			heading := s.scenario.Name + ": " + what
			width := max(10, float64(utf8.RuneCountInString(heading))/6) // half a dozen lines of text
			high = max(high, heightOf(heading, width, bodySize))
			columns = append(columns, column{heading, width + 1.5, apart})
		}
	}
	t := b.newTableUnder(ctx, sideBySideSheet, 2, columns, high)
	t.large = true
	r := b.result
	type cursor struct {
		next func() (*scopeCoverage, bool)
		at   *scopeCoverage // nil after the last
	}
	found := make([]cursor, len(b.scope.Scenarios))
	for i, s := range b.scope.Scenarios {
		next, done := iter.Pull(s.coverageBeside(r))
		defer done()
		found[i].next = next
		found[i].at, _ = next()
	}
	rows := 0
	for line := range r.Network.Lines {
		if !slices.ContainsFunc(found, func(f cursor) bool { return f.at != nil && f.at.line == line }) {
			continue
		}
		for check := range r.Checks {
			today := &r.Lines[line].Coverage[check]
			idle := judgedNothing(today)
			values := []any{r.Project.Symbols.Text(r.Network.Lines[line].Symbol), r.Checks[check].ID, today.Meets, shortLook(today.FallsShort, 0), countOrNothing(today.Lacking())}
			for i := range found {
				c := found[i].at
				if c == nil || c.line != line || c.check != check {
					values = append(values, nil, nil, nil, nil, nil)
					continue
				}
				idle = idle && judgedNothing(&c.then)
				values = append(values, c.then.Meets, shortLook(c.then.FallsShort, 1), countOrNothing(c.then.Lacking()), countOrNothing(c.newly), countOrNothing(c.mended))
				found[i].at, _ = found[i].next()
			}
			if idle {
				continue
			}
			rows++
			t.add(values...)
		}
	}
	t.remarkCut(rows, rows, "checks of lines")
	t.remark("Blank: the scenario does not touch the line, or there is none.",
		"Newly short are subjects that do not fall short today, or less gravely (an advisory that becomes a shortfall). "+whatIsMended,
		"Not assessed counts what the project asks for and the inputs cannot tell; it is never counted as met.")
	return t.finish()
}

// judgedNothing tells whether a check has nothing to say of a line.
func judgedNothing(c *audit.Coverage) bool { return c.Meets+c.FallsShort+c.Lacking() == 0 }

// shortLook is a number of subjects that fall short, marked where there are any.
func shortLook(n, indent int) any {
	if n == 0 {
		return nil
	}
	return styled{n, look{format: asCount, bold: true, color: ochre, indent: indent, align: "right"}}
}

// writeChanges writes the sheet of the structures that need something in a scenario. What is planned by is printed, on one page across; what
// falls short in figures, what comes down and where that is in degrees stands to the right of it, on one line, so that
// it does not make the rows high.
func (b *scopeBook) writeChanges(ctx context.Context) error {
	columns := []column{
		{"Scenario", 13, look{wrap: true}},
		{"Line", 8, look{wrap: true, indent: 1}},
		{"Structure", 8, look{bold: true}},
		{"At (km)", 6.5, look{format: asTenths}},
		{"Checks that fall short", 19.5, look{wrap: true, indent: 1}},
		{"What hangs today", 22, look{wrap: true, indent: 1}},
		{"What is needed", 32, look{wrap: true, bold: true}},
		{"Units to fit", 12, look{wrap: true, indent: 1}},
		{"Sets to add", 5.5, look{format: asCount}},
		{"Longer by (mm)", 8, look{format: asCount, wrap: true}},
		{"Conductor hangs lower by (mm)", 10.5, look{format: asCount, wrap: true}},
		{"Cost of units", 8, look{format: asCount, wrap: true}},
		{"Only if a look asks for it", 10, look{wrap: true, indent: 1}},
		{"What stays open, what stops it", 25, look{wrap: true, indent: 1}},
	}
	printed := len(columns)
	t := b.newTableUnder(ctx, changesSheet, 3, append(columns, column{"What falls short", 60, look{indent: 1}}, column{"Units to remove", 20, look{}},
		column{"Longitude (deg)", 9.5, look{format: asLonLat}}, column{"Latitude (deg)", 9.5, look{format: asLonLat}}), 3*headingHeight/2) // of three lines
	t.printed, t.large = printed, true
	shown, all := 0, 0
	for _, s := range b.scope.Scenarios {
		all += s.allChanges
		for _, c := range s.kept.each() {
			if shown >= b.limits.rows {
				break
			}
			shown++
			t.add(s.scenario.Name, c.line, c.structure, c.chainageM/1000, c.checks, c.hangs, c.toHang, c.fit, countOrNothing(c.sets), c.longerCell(), c.lowerCell(), wholePriceCell(c.price, c.certain.less), c.ifLook,
				joinedLines(c.open, c.stoppedBy, c.chosen), c.wrong, c.remove, c.at[0], c.at[1])
		}
	}
	t.remarkCut(shown, all, changesCut)
	t.remark(scopeUnits, "Longer by is the most that one string gains, fittings as they are; at least so much where it is not known of every string that does.",
		"How much lower a conductor hangs is that at rest on the suspension string that lowers it most; it is not judged against the ground here.",
		"Proposals of a screening: whether a structure bears its work is an engineer's to decide.")
	return t.finish()
}

// changesCut says which structures the sheet holds where they are too many.
const changesCut = "structures, along the lines; scope.json has all"

// scopeUnits says which units remedies of scenarios choose from.
const scopeUnits = "Units may be bought: remedies choose from those of the sheet Units and those in use on the line, in stock or not, and where none serves from the catalogue."

// whatIsMended says what exceptions count as mended.
const whatIsMended = "Exceptions mended are those of today that meet in the scenario, or that it does not concern any more, with what hangs today."

// inStock is a cell.
func (m *scopeMaterial) inStock() any {
	switch {
	case m.item != unitItem:
		return nil
	case m.stocked:
		return "yes"
	}
	return "no"
}

// orNothing is a figure as a cell, blank for 0.
func orNothing(x float64) any {
	if x == 0 {
		return nil
	}
	return x
}

// writeMaterial writes the sheet of what each scenario takes.
func (b *scopeBook) writeMaterial(ctx context.Context) error {
	t := b.newTable(ctx, materialSheet, 3, []column{
		{"Scenario", 20, look{wrap: true}},
		{"Item", 7, look{}},
		{"Type", 30, look{bold: true, wrap: true}},
		{"In stock", 7, look{}},
		{"To fit", 9, look{format: asCount}},
		{"To remove", 9, look{format: asCount}},
		{"To use again", 9, look{format: asCount}},
		{"To buy", 9, look{format: asCount}},
		{"Structures", 10, look{format: asCount}},
		{"Price each", 10, look{format: asHundred}},
		{"Price of those to fit", 12, look{format: asHundred}},
		{"Price of those to buy", 12, look{format: asHundred}},
		{"Not known", 20, look{wrap: true, indent: 1}},
		{"Only if a look asks for it", 12, look{format: asCount}},
		{"Price of that", 12, look{format: asHundred}},
	})
	t.large = true
	rows := 0
	for _, s := range b.scope.Scenarios {
		for i := range s.material {
			m := &s.material[i]
			row := t.rows.row + 1
			buy := styled{computed{fmt.Sprintf("E%d-G%d", row, row), float64(m.fit - m.reuse)}, look{format: asCount}}
			price := any(nil)
			if !math.IsNaN(m.each) && m.fit > 0 {
				price = styled{computed{fmt.Sprintf("H%d*J%d", row, row), m.each * float64(m.fit-m.reuse)}, look{format: asHundred}}
			}
			t.add(s.scenario.Name, m.item, m.name, m.inStock(), countOrNothing(m.fit), countOrNothing(m.remove), countOrNothing(m.reuse), buy, m.structures, m.each, m.price, price,
				m.notKnown, countOrNothing(m.afterLook), m.priceAfterLook)
			rows++
		}
	}
	t.remarkCut(rows, rows, "items")
	t.remark(scopeUnits, "In stock are those that the sheet Units marks so, however many there are.",
		"To use again are units that the same scenario takes down elsewhere, without those that the register counts as defective. Whether each is sound shows when it is looked at; change the figure where fewer are, and what is to be bought follows.",
		"Only if a look asks for it: where the register has no row, or rows contradict each other; what is to be fitted there then is in none of the other columns.",
		"A set is an assembly whose fittings are not there yet. Prices are those of the Units sheet.")
	return t.finish()
}

// writeStops writes the sheet of the limits that no remedy gets past.
func (b *scopeBook) writeStops(ctx context.Context) error {
	t := b.newTable(ctx, stopsSheet, 3, []column{
		{"Scenario", 22, look{wrap: true}},
		{"Line", 12, look{bold: true, wrap: true}},
		{"What stops it", 26, look{wrap: true}},
		{"Structures", 10, look{format: asCount}},
		{"Of the line (km)", 9, look{format: asTenths}},
		{"Of the line (%)", 9, look{format: asPercent}},
		{"Which", 42, look{wrap: true, indent: 1}},
		{"At the first of them", 48, look{wrap: true, indent: 1}},
		{"Limit, or not known", 10, look{wrap: true, indent: 1}},
	})
	t.large = true
	rows := 0
	for _, s := range b.scope.Scenarios {
		for i := range s.stops {
			x := &s.stops[i]
			kind := "limit"
			if x.notKnown {
				kind = "not known"
			}
			t.add(s.scenario.Name, x.line, x.limit+x.ofCouplings(), len(x.structures), x.km, x.percent, enumerated(x.structures, 40), x.example, kind)
			rows++
		}
	}
	t.remarkCut(rows, rows, "limits")
	t.remark("The limit that the nearest remedy does not get past, by circuit and duty, so that one structure may stand under several. A structure stands for half of each of its spans.",
		"Not known: no limit is known to stop a remedy there, but it cannot be judged what serves. Those structures stand under no limit, and in no count of what no remedy serves.")
	return t.finish()
}
