package report

import (
	"fmt"
	"math"
	"strings"

	"github.com/xuri/excelize/v2"
)

// page is a sheet that is laid out freely rather than as a table. The first error stays.
type page struct {
	book    *book
	sheet   string
	centred bool        // a row of one line has its text in the middle, clear of what is above
	blocks  [][2]string // of cells that are one
	err     error
}

func (b *book) newPage(sheet string, widths ...float64) *page {
	p := &page{book: b, sheet: sheet}
	p.keep(b.layOut(sheet, false))
	for i, width := range widths {
		name, err := excelize.ColumnNumberToName(i + 1)
		p.keep(err)
		p.keep(b.file.SetColWidth(sheet, name, name, width))
	}
	return p
}

func (p *page) keep(err error) {
	if p.err == nil {
		p.err = err
	}
}

// put writes a value across columns from … to of a row. An unknown figure or an empty text leaves the cells empty.
func (p *page) put(row, from, to int, value any, l look) { p.fill(row, row, from, to, value, l) }

// fill writes a value across a block of cells.
func (p *page) fill(top, bottom, from, to int, value any, l look) {
	if p.err != nil {
		return
	}
	l.middle = l.middle || p.centred && top == bottom && !l.wrap
	style, err := p.book.looks.number(l)
	p.keep(err)
	first, err := excelize.CoordinatesToCellName(from, top)
	p.keep(err)
	last, err := excelize.CoordinatesToCellName(to, bottom)
	p.keep(err)
	p.keep(p.book.file.SetCellStyle(p.sheet, first, last, style))
	switch v := value.(type) {
	case string:
		if text := cutCell(underscored(cellText(v))); text != "" { // excelize writes what looks like an escape as it is
			p.keep(p.book.file.SetCellStr(p.sheet, first, text))
		}
	case float64:
		if !unknown(v) {
			p.keep(p.book.file.SetCellValue(p.sheet, first, v))
		}
	default:
		p.keep(p.book.file.SetCellValue(p.sheet, first, v))
	}
	if first != last {
		p.blocks = append(p.blocks, [2]string{first, last})
	}
}

// finish joins the cells of blocks, last of all since every value that is set is looked for in them.
func (p *page) finish() error {
	for _, b := range p.blocks {
		p.keep(p.book.file.MergeCell(p.sheet, b[0], b[1]))
	}
	return p.err
}

// height sets the height of a row in points.
func (p *page) height(row int, points float64) {
	p.keep(p.book.file.SetRowHeight(p.sheet, row, points))
}

// width is the width of columns from … to together.
func (p *page) width(from, to int) (sum float64) {
	for i := from; i <= to; i++ {
		name, err := excelize.ColumnNumberToName(i)
		p.keep(err)
		w, err := p.book.file.GetColWidth(p.sheet, name)
		p.keep(err)
		sum += w
	}
	return sum
}

// paragraph writes text that wraps across columns, and makes its row high enough.
func (p *page) paragraph(row, from, to int, text string, l look) {
	l.wrap = true
	size := l.size
	if size == 0 {
		size = bodySize
	}
	p.put(row, from, to, text, l)
	p.height(row, heightOf(text, p.width(from, to), size))
}

// rowsOf is how many rows of the usual height text takes when it wraps across columns. A block of several rows leaves
// what stands beside it its rhythm.
func (p *page) rowsOf(from, to int, text string) int {
	return int(math.Ceil((heightOf(text, p.width(from, to), bodySize) - 3) / rowHeight))
}

// block writes text that wraps across columns into as many rows as it takes, and returns the row below.
func (p *page) block(row, from, to int, text string, l look) int {
	next := row + p.rowsOf(from, to, text)
	l.wrap = next > row+1 || !p.centred
	p.fill(row, next-1, from, to, text, l)
	return next
}

// cutAt cuts a text between words where it would take more rows than so many, and says where the rest is.
func (p *page) cutAt(from, to int, text string, most int, rest string) string {
	if p.rowsOf(from, to, text) <= most {
		return text
	}
	words := strings.Fields(text)
	for len(words) > 1 && p.rowsOf(from, to, strings.Join(words, " ")+rest) > most {
		words = words[:len(words)-1]
	}
	return strings.TrimRight(strings.Join(words, " "), ",;:") + rest // what separates words from what is left out would stand beside the ellipsis
}

// nameIn is a name as it fits in a column in bold, with an ellipsis where it does not; what it leads to has all of it.
func (p *page) nameIn(column int, name string) string {
	most, runes := int(charactersPerWidth*p.width(column, column)/boldWider), []rune(name)
	if len(runes) <= most {
		return name
	}
	return strings.TrimRight(string(runes[:most-1]), " –-") + "…"
}

// head writes headings that may wrap beside each other, the first to the left, those of figures to the right.
func (p *page) head(row, from int, headings ...string) {
	p.heading(row, from, headings...)
	p.height(row, headingHeight)
}

// heading is the same in a row of the usual height, which leaves what stands beside it its rhythm.
func (p *page) heading(row, from int, headings ...string) {
	for i, heading := range headings {
		l := headingLook
		if i > 0 {
			l = l.aligned("right")
		}
		p.put(row, from+i, from+i, heading, l)
	}
}

// link has a cell lead to a row of another sheet.
func (p *page) link(row, column int, sheet string, to int) {
	cell, err := excelize.CoordinatesToCellName(column, row)
	p.keep(err)
	if p.err == nil {
		p.keep(p.book.file.SetCellHyperLink(p.sheet, cell, fmt.Sprintf("%s!A%d", sheet, to), "Location"))
	}
}

// name gives a cell a name by which formulas of other workbooks find it.
func (p *page) name(name string, row, column int) {
	cell, err := excelize.CoordinatesToCellName(column, row, true)
	p.keep(err)
	if p.err == nil {
		p.keep(p.book.file.SetDefinedName(&excelize.DefinedName{Name: name, RefersTo: fmt.Sprintf("%s!%s", p.sheet, cell)}))
	}
}

// bars draws the figures of a column as bars in their cells.
func (p *page) bars(first, last, column int) {
	letter, err := excelize.ColumnNumberToName(column)
	p.keep(err)
	if p.err == nil {
		p.keep(p.book.file.SetConditionalFormat(p.sheet, fmt.Sprintf("%s%d:%[1]s%d", letter, first, last), []excelize.ConditionalFormatOptions{{
			Type: "data_bar", Criteria: "=", MinType: "num", MinValue: "0", MaxType: "max", BarColor: "#" + amber, BarSolid: true}}))
	}
}

// highOf is how high rows are together, in points.
func (p *page) highOf(first, last int) (sum float64) {
	for row := first; row <= last; row++ {
		high, err := p.book.file.GetRowHeight(p.sheet, row)
		p.keep(err)
		sum += high
	}
	return sum
}
