package report

import (
	"context"
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"dryarc/audit"

	"github.com/xuri/excelize/v2"
)

// column is one column of a table: its heading, its width in characters, and how its cells look.
type column struct {
	heading string
	width   float64
	look    look
}

// styled is a value that looks different from its column.
type styled struct {
	value any
	look  look
}

// computed is a formula and the value it gives, which is stored too: a viewer that does not calculate shows it.
type computed struct {
	formula string
	value   any
}

// table streams one sheet: a heading that stays in view and repeats on every page, a filter, and rows. The first error
// stays, and finish returns it.
type table struct {
	ctx        context.Context
	book       *book
	sheet      string
	columns    []column
	stream     *excelize.StreamWriter
	row        int  // last one written
	data       int  // last one that is data, where the filter ends
	unfiltered bool // a filter would tear its rows apart
	err        error
}

const (
	headingHeight = 30
	lineHeight    = 12.5
	rowHeight     = 15
)

// newTable begins a sheet. frozen is how many columns stay in view.
func (b *book) newTable(ctx context.Context, sheet string, frozen int, columns []column) *table {
	t := &table{ctx: ctx, book: b, sheet: sheet, columns: columns}
	if t.err = b.layOut(sheet, true); t.err != nil {
		return t
	}
	if t.stream, t.err = b.file.NewStreamWriter(sheet); t.err != nil {
		return t
	}
	for i, c := range columns {
		t.keep(t.stream.SetColWidth(i+1, i+1, c.width))
	}
	corner, err := excelize.CoordinatesToCellName(frozen+1, 2)
	t.keep(err)
	pane := "bottomRight"
	if frozen == 0 {
		pane = "bottomLeft"
	}
	t.keep(t.stream.SetPanes(&excelize.Panes{Freeze: true, XSplit: frozen, YSplit: 1, TopLeftCell: corner, ActivePane: pane}))
	heading := make([]any, len(columns))
	for i, c := range columns {
		align := c.look.align
		if align == "" && c.look.format != "" {
			align = "right"
		}
		l := headingLook.aligned(align)
		l.indent = c.look.indent
		heading[i] = styled{c.heading, l}
	}
	t.write(heading, headingHeight)
	t.data = t.row
	return t
}

func (t *table) keep(err error) {
	if t.err == nil {
		t.err = err
	}
}

// add writes a row of data. A missing figure, NaN or nil, leaves its cell empty.
func (t *table) add(values ...any) {
	height := float64(rowHeight)
	for i, value := range values {
		l := t.columns[i].look
		if s, ok := value.(styled); ok {
			value, l = s.value, s.look
		}
		if text, ok := value.(string); ok && l.wrap {
			height = max(height, heightOf(text, t.columns[i].width-indentWidth*float64(l.indent), bodySize))
		}
	}
	t.write(values, height)
	t.data = t.row
}

// remark writes a line of text below the data.
func (t *table) remark(text string) {
	t.write([]any{styled{text, look{italic: true, color: slateSoft, bare: true}}}, rowHeight)
}

func (t *table) write(values []any, height float64) {
	if t.err == nil && t.row%1024 == 0 {
		t.err = t.ctx.Err()
	}
	if t.err != nil {
		return
	}
	t.row++
	cells := make([]any, len(values))
	for i, value := range values {
		cell, err := t.book.cell(value, t.columns[i].look)
		if err != nil {
			t.err = err
			return
		}
		cells[i] = cell
	}
	t.err = t.stream.SetRow(fmt.Sprintf("A%d", t.row), cells, excelize.RowOpts{Height: height})
}

// cell makes a value a cell.
func (b *book) cell(value any, l look) (excelize.Cell, error) {
	if s, ok := value.(styled); ok {
		value, l = s.value, s.look
	}
	formula := ""
	if c, ok := value.(computed); ok {
		value, formula = c.value, c.formula
	}
	switch v := value.(type) {
	case string:
		value = cellText(v)
		if v == "" {
			value = nil
		}
	case float64:
		if unknown(v) {
			value = nil
		}
	}
	style, err := b.looks.number(l)
	return excelize.Cell{StyleID: style, Value: value, Formula: formula}, err
}

// figureCell is an observed or required value: a number in the format of its measure, or a word.
func figureCell(v audit.Value) any {
	if v.Word != "" {
		return styled{v.Word, look{align: "right"}}
	}
	return styled{v.Number, look{format: formatOf(v)}}
}

// finish ends the sheet.
func (t *table) finish() error {
	if t.err != nil {
		return t.err
	}
	last, err := excelize.CoordinatesToCellName(len(t.columns), max(t.data, 2))
	if err != nil {
		return err
	}
	// The number of a structure is a name; without this a spreadsheet marks every one as a number kept as text.
	if err := t.book.file.AddIgnoredErrors(t.sheet, "A1:"+last, excelize.IgnoredErrorsNumberStoredAsText); err != nil {
		return err
	}
	if !t.unfiltered {
		if err := t.book.file.AutoFilter(t.sheet, "A1:"+last, nil); err != nil {
			return err
		}
	}
	return t.stream.Flush()
}

// charactersPerWidth is about how many characters of body text go into one unit of column width; raggedness is how many
// of them a line that wraps leaves empty at its end.
const (
	charactersPerWidth = 1.4
	raggedness         = 4
	indentWidth        = 1.2 // column width that one step of indent takes
)

// heightOf is about the height that text takes when it wraps in a column of some width, in points.
func heightOf(text string, width, size float64) float64 {
	perLine := width * charactersPerWidth * bodySize / size
	lines := 0.0
	for paragraph := range strings.SplitSeq(text, "\n") {
		n := float64(utf8.RuneCountInString(paragraph))
		if n > perLine {
			lines += math.Ceil(n / max(1, perLine-raggedness))
		} else {
			lines++
		}
	}
	return min(excelize.MaxRowHeight, max(rowHeight, lines*lineHeight*size/bodySize+2.5))
}
