package report

import (
	"math"

	"github.com/xuri/excelize/v2"
)

// page is a sheet that is laid out freely rather than as a table. The first error stays.
type page struct {
	book  *book
	sheet string
	err   error
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
		p.keep(p.book.file.MergeCell(p.sheet, first, last))
	}
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
