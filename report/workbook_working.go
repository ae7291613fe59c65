package report

import (
	"context"
	"fmt"
	"math"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/xuri/excelize/v2"
)

// The columns of the Working sheet that every check has, from 1; what follows are the figures of the check.
const (
	workedObserved = 7 + iota
	workedRequired
	workedMargin
	workedVerdict
	firstFigure
)

// figuresBeside is how many figures stand beside each other: as many as large paper takes. A check with more has them in several rows below each
// other, a band of figures each, in its heading as in each of its exceptions.
const figuresBeside = 9

// figureWidth is the width of the column of a figure.
const figureWidth = 11

// inputLook marks a figure that a reader may change.
var inputLook = look{color: blue, fill: sand}

// writeWorking writes the sheet in which the verdicts are formulas of the figures beside them, so that a reviewer can
// change a figure and see the verdict follow. The values that the formulas give are stored too.
func (b *book) writeWorking(ctx context.Context) error {
	r := b.result
	found, of := workings(r, b.limits.worked)
	columns := []column{
		{"Check", 14, look{color: slateSoft, wrap: true}}, {"Line", 10, look{}}, {"Structure", 8.5, look{bold: true}},
		{"Circuit", 6, look{}}, {"Phase", 6, look{}}, {"Side", 6, look{}},
		{"Observed", 9, look{format: asTenths}}, {"Required", 9, look{format: asTenths}},
		{"Margin (%)", 8, look{format: asPercent}}, {"Verdict", 9.5, look{indent: 1}},
	}
	figures := 1
	for i := range found {
		figures = max(figures, min(figuresBeside, len(found[i].figures)))
	}
	for range figures {
		columns = append(columns, column{"Figure", figureWidth, look{format: asTenths}})
	}
	t := b.newTable(ctx, workingSheet, 3, columns)
	t.unfiltered = true
	t.remark("These verdicts are formulas. Figures in blue are inputs: change one, and its row follows. " + b.classFigures()) // above the others
	first := t.rows.row + 1
	last := first - 1
	for i := range found {
		b.writeWorkingOf(t, &found[i])
		last = t.rows.row
	}
	t.remarkCut(shownIn(found), of, "exceptions of these checks, the worst")
	if last >= first {
		t.excelize(func(file *excelize.File) error { return markWhatMeets(file, first, last) })
	}
	return t.finish()
}

// markWhatMeets takes the mark off a verdict that a reader's figures have turned.
func markWhatMeets(file *excelize.File, first, last int) error {
	style, err := file.NewConditionalStyle(&excelize.Style{
		Font: &excelize.Font{Color: blue}, Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{white}}})
	if err != nil {
		return err
	}
	return file.SetConditionalFormat(workingSheet, fmt.Sprintf("J%d:J%d", first, last), []excelize.ConditionalFormatOptions{
		{Type: "cell", Criteria: "==", Value: `"` + audit.Meets.String() + `"`, Format: &style}})
}

func shownIn(found []working) (rows int) {
	for i := range found {
		rows += len(found[i].rows)
	}
	return rows
}

// classFigures lists the specific creepage of each class, for who wants to try another class, by the criteria of all lines and then
// those of lines on which others hold.
func (b *book) classFigures() string {
	p := b.result.Project
	text := "Specific creepage by class " + figuresByClass(&p.Criteria) + "."
	for i := range p.Rules {
		if own := figuresByClass(&p.Rules[i].Criteria); own != figuresByClass(&p.Criteria) {
			text += " On " + touched(p, audit.Assumption{Lines: p.Rules[i].Lines}, 3) + " " + own + "."
		}
	}
	return text
}

func figuresByClass(c *audit.Criteria) string {
	var figures []string
	for class := basis.ClassA; class <= basis.ClassF; class++ {
		if mm := c.SpecificCreepage(class); !math.IsNaN(mm) {
			figure := fmt.Sprintf("%s %g", class, math.Round(mm*100)/100)
			if source := c.CreepageSource(class, mm); source == basis.OwnFigure {
				figure += fmt.Sprintf(" (%s)", source)
			}
			figures = append(figures, figure)
		}
	}
	text := fmt.Sprintf("(%s basis), mm/kV: %s", c.CreepageBasis, strings.Join(figures, ", "))
	var direct []string
	for class := basis.ClassA; class <= basis.ClassF; class++ {
		if mm := c.DirectCreepage.MMPerKV[class]; !math.IsNaN(mm) {
			direct = append(direct, fmt.Sprintf("%s %g", class, mm))
		}
	}
	if len(direct) > 0 {
		text += fmt.Sprintf("; of direct current from pole to earth (%s): %s", basis.OwnFigure, strings.Join(direct, ", "))
	}
	return text
}

// headingEvery is after how many rows the heading of a check stands again, so that one is always in sight.
const headingEvery = 30

// bands are in how many rows the figures of a check stand.
func (w *working) bands() int { return max(1, (len(w.figures)+figuresBeside-1)/figuresBeside) }

// writeWorkingOf writes the heading of a check, its formulas in words, and its exceptions.
func (b *book) writeWorkingOf(t *table, w *working) {
	for i := range w.rows {
		if i%max(1, headingEvery/w.bands()) == 0 {
			b.writeWorkingHead(t, w)
		}
		for _, cells := range b.workedCells(t, w, &w.rows[i]) {
			t.write(cells, rowHeight)
		}
	}
	t.write(nil, rowHeight/2)
}

// writeWorkingHead writes the title of a check with the symbols of its figures, and below it its formula with those of the figures.
func (b *book) writeWorkingHead(t *table, w *working) {
	check := b.result.Checks[w.check]
	room := 0.0
	for _, c := range t.columns[:firstFigure-1] {
		room += c.width
	}
	titles := []string{check.ID + ": " + check.Title}
	formulas := brokenAt(check.Method.Formula, int(room*charactersPerWidth))
	b.writeWorkingBands(t, w, titles, look{color: white, fill: slateSoft, bold: true, middle: true}, func(c *figureColumn) (string, look) {
		name := c.symbol
		if c.measure != "" {
			name += "\n" + c.measure
		}
		return name, look{color: white, fill: slateSoft, bold: true, wrap: true, align: "right", middle: true}
	})
	b.writeWorkingBands(t, w, formulas, look{fill: paper, italic: true}, func(c *figureColumn) (string, look) {
		return c.formula, look{fill: paper, italic: true, wrap: true, align: "right", color: slateSoft}
	})
}

// writeWorkingBands writes lines of text on the left, and on the right what is said of each figure, a row for each band.
func (b *book) writeWorkingBands(t *table, w *working, lines []string, left look, said func(*figureColumn) (string, look)) {
	for band := range max(len(lines), w.bands()) {
		cells := make([]any, len(t.columns))
		for i := range cells {
			cells[i] = styled{"", look{fill: left.fill}}
		}
		if band < len(lines) {
			cells[0] = styled{lines[band], left}
		}
		high := float64(rowHeight) + 1 // not that of a row of one line, whose looks differ
		for i := band * figuresBeside; i < min(len(w.figures), (band+1)*figuresBeside); i++ {
			text, l := said(&w.figures[i])
			cells[firstFigure-1+i%figuresBeside] = styled{text, l}
			high = max(high, heightOf(text, figureWidth, bodySize))
		}
		t.write(cells, high)
	}
}

// workedCells are the cells of one exception, in the rows that are written next.
func (b *book) workedCells(t *table, w *working, row *workingRow) [][]any {
	e := &b.result.Exceptions[row.exception]
	rec := recordOf(b.result, e)
	number := t.rows.row + 1
	bands := make([][]any, w.bands())
	for i := range bands {
		bands[i] = make([]any, firstFigure-1, len(t.columns))
	}
	cells := bands[0]
	for i, text := range []string{rec.Check, rec.Line, rec.Structure, rec.Circuit, rec.Phase, rec.Side} {
		cells[i] = text
	}
	cellOf := func(symbol string) (string, bool) {
		if i := w.column(symbol); i >= 0 && row.has(symbol) {
			name, err := excelize.CoordinatesToCellName(firstFigure+i%figuresBeside, number+i/figuresBeside)
			t.keep(err)
			return name, true
		}
		return "", false
	}
	compared := func(symbol string, v audit.Value) any {
		l := look{format: workedFormat(v), bold: true}
		if cell, ok := cellOf(symbol); ok {
			return styled{computed{cell, v.Number}, l}
		}
		l.color, l.fill = inputLook.color, inputLook.fill
		return styled{v.Number, l}
	}
	v := &e.Verdict
	cells[workedObserved-1] = compared(row.observed, v.Observed)
	cells[workedRequired-1] = compared(row.required, v.Required)
	cells[workedMargin-1], cells[workedVerdict-1] = verdictFormulas(v, number)
	for i, c := range w.figures {
		var cell any
		for _, f := range row.figures {
			if f.symbol == c.symbol {
				cell = figureFormula(f, cellOf)
			}
		}
		bands[i/figuresBeside] = append(bands[i/figuresBeside], cell)
	}
	return bands
}

// figureFormula is the cell of a figure: a formula of other cells, or an input.
func figureFormula(f workedFigure, cellOf func(string) (string, bool)) any {
	l := look{format: workedFormat(f.value)}
	if f.sheet != "" {
		if text, ok := inCells(f.sheet, cellOf); ok {
			return styled{computed{text, f.value.Number}, l}
		}
	}
	l.color, l.fill = inputLook.color, inputLook.fill
	if f.value.Word != "" {
		return styled{f.value.Word, l}
	}
	return styled{f.value.Number, l}
}

// verdictFormulas are the cells that compare observed and required of a row, with the audit's tolerance. Which of the
// two must not be the smaller one follows from an exception: it falls short.
func verdictFormulas(v *audit.Verdict, row int) (margin, verdict any) {
	observed, required := fmt.Sprintf("G%d", row), fmt.Sprintf("H%d", row)
	share, meets := observed+"/"+required, observed+">="+required+"*(1-1E-9)"
	divisor := required
	if v.Observed.Number > v.Required.Number {
		share, meets, divisor = required+"/"+observed, observed+"<="+required+"*(1+1E-9)", observed
	}
	margin = computed{fmt.Sprintf(`IF(%s=0,"",IF(ABS(%s-1)>%g,"",(%s-1)*100))`, divisor, share, mostMargin, share), shownMargin(v.Margin) * 100}
	if v.Required.Number < 0 { // no share of it tells anything
		margin = ""
	}
	verdict = styled{computed{fmt.Sprintf("IF(%s,%q,%q)", meets, audit.Meets, audit.FallsShort), v.Outcome.String()},
		look{color: ochre, fill: amber, bold: true, indent: 1}}
	return margin, verdict
}

// workedFormat is the number format of a figure of a derivation: factors and ratios need their decimals.
func workedFormat(v audit.Value) string {
	switch {
	case v.Measure == "" && v.Number != math.Trunc(v.Number):
		return "0.0000"
	case v.Measure == "mm/kV":
		return asHundred
	}
	return formatOf(v)
}
