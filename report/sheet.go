package report

import (
	"cmp"
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

// asRead is a text of the inputs that is to be read again as it was.
type asRead string

// computed is a formula and the value it gives, which is stored too: a viewer that does not calculate shows it.
type computed struct {
	formula string
	value   any
}

// table writes one sheet: a heading that stays in view and repeats on every page, a filter, and rows. Tables are filled
// beside each other; what they ask of excelize goes through the book, one at a time. The first error stays, and finish
// returns it.
type table struct {
	ctx        context.Context
	book       *book
	sheet      string
	frozen     int // columns that stay in view
	columns    []column
	turn       *turn        // nil where no other table is filled beside this one
	styles     []int        // of the columns
	centred    []int        // of the columns in a row of one line
	others     map[look]int // styles of the cells that look different
	rows       *sheetRows
	data       int       // last row that is data, where the filter ends
	hidden     []int     // columns that are not shown
	choices    []choices // of columns
	statuses   []status  // by which cells are marked
	unfiltered bool      // a filter would tear its rows apart
	printed    int       // columns that are printed; 0 for all
	remarks    bool      // only the remarks are printed, below the heading
	large      bool      // printed on large paper, no smaller than on the screen
	counted    string    // letter of a column in which people enter counts, empty for none
	cut        []string  // the cells that hold only the beginning of a text of the inputs
	err        error
}

const (
	headingHeight = 30
	lineHeight    = 12.5
	rowHeight     = 15
)

// newTable begins a sheet. frozen is how many columns stay in view.
func (b *book) newTable(ctx context.Context, sheet string, frozen int, columns []column) *table {
	return b.newTableUnder(ctx, sheet, frozen, columns, headingHeight)
}

// newTableUnder begins a sheet whose headings take some height.
func (b *book) newTableUnder(ctx context.Context, sheet string, frozen int, columns []column, high float64) *table {
	if b.shown {
		columns = tableHeadings(columns)
	}
	t := &table{ctx: ctx, book: b, sheet: sheet, frozen: frozen, columns: columns, styles: make([]int, len(columns)), centred: make([]int, len(columns)), others: map[look]int{},
		turn: b.turns[sheet]}
	if t.turn != nil {
		t.turn.toBegin()
		defer t.turn.started()
	}
	if t.rows, t.err = newSheetRows(len(columns)); t.err != nil {
		return t
	}
	heading := make([]any, len(columns))
	for i, c := range columns {
		t.styles[i], t.centred[i] = t.style(c.look), t.style(c.look.centred())
		align := c.look.align
		if align == "" && c.look.format != "" {
			align = "right"
		}
		l := headingLook.aligned(align)
		l.indent = c.look.indent
		heading[i] = styled{c.heading, l}
	}
	t.write(heading, high)
	t.data = t.rows.row
	return t
}

// excelize does something with the file, unless the table failed before.
func (t *table) excelize(do func(file *excelize.File) error) {
	t.book.alone.Lock()
	defer t.book.alone.Unlock()
	if t.err == nil {
		t.err = do(t.book.file)
	}
}

// knows tells whether a look has a number already.
func (b *book) knows(l look) bool {
	b.alone.Lock()
	defer b.alone.Unlock()
	_, known := b.looks.numbers[l]
	return known
}

func (t *table) keep(err error) {
	if t.err == nil {
		t.err = err
	}
}

// style is the number of a look.
func (t *table) style(l look) int {
	n, known := t.others[l]
	if !known {
		if t.turn != nil && !t.book.knows(l) {
			t.turn.toAsk()
		}
		t.excelize(func(*excelize.File) (err error) {
			n, err = t.book.looks.number(l)
			return err
		})
		t.others[l] = n
	}
	return n
}

// add writes a row of data. A missing figure, NaN or nil, leaves its cell empty.
func (t *table) add(values ...any) {
	height := float64(rowHeight)
	for i, value := range values {
		l := &t.columns[i].look
		if s, ok := value.(styled); ok {
			value, l = s.value, &s.look
		}
		if !l.wrap {
			continue
		}
		if text, ok := value.(string); ok {
			width := t.columns[i].width - indentWidth*float64(l.indent)
			height = max(height, cellHeight(text, width, l.bold))
		}
	}
	t.write(values, height)
	t.data = t.rows.row
}

// remark writes lines of text below the data, a row each, or as many as it takes where a line is wider than what is printed of the table: a spreadsheet
// fits all that stands there to the page, and would draw the table smaller.
func (t *table) remark(lines ...string) {
	width := min(widthOf(t.printedColumns()), widthOn(largePaper)/drawnWider)
	for _, text := range lines {
		for _, part := range brokenAt(text, int(width*charactersPerWidth)) {
			t.write([]any{styled{part, remarkLook}}, rowHeight)
		}
	}
}

// printedColumns are the columns that are printed.
func (t *table) printedColumns() []column { return t.columns[:cmp.Or(t.printed, len(t.columns))] }

// brokenAt breaks a text between words into lines of at most so many characters; a longer word stays whole.
func brokenAt(text string, most int) (lines []string) {
	line, long := "", 0
	for i, word := range strings.Split(text, " ") {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
			line, long = word, n
		case long+1+n > most:
			lines, line, long = append(lines, line), word, n
		default:
			line, long = line+" "+word, long+1+n
		}
	}
	return append(lines, line)
}

func (t *table) write(values []any, height float64) {
	if t.err == nil && t.rows.row%1024 == 0 {
		t.err = t.ctx.Err()
	}
	if t.err != nil {
		return
	}
	t.rows.begin(height)
	styles, oneLine := t.styles, height == rowHeight
	if oneLine {
		styles = t.centred
	}
	for i, value := range values {
		style := styles[i]
		if s, ok := value.(styled); ok {
			if value = s.value; oneLine {
				s.look = s.look.centred()
			}
			style = t.style(s.look)
		}
		t.cell(style, value)
	}
	t.keep(t.rows.end())
}

// cell writes a value as the next cell.
func (t *table) cell(style int, value any) {
	switch v := value.(type) {
	case nil:
		t.rows.blank(style)
	case string:
		t.rows.text(style, cellText(v))
	case asRead:
		text, cut := keptText(string(v))
		if cut {
			t.cut = append(t.cut, fmt.Sprintf("%s!%s%d", t.sheet, t.rows.names[t.rows.column], t.rows.row))
		}
		t.rows.kept(style, text)
	case float64:
		t.rows.number(style, v, asManyAsNeeded)
	case metres:
		t.rows.number(style, float64(v), metresDecimals)
	case degrees:
		t.rows.number(style, float64(v), degreesDecimals)
	case int:
		t.rows.number(style, float64(v), 0)
	case computed:
		switch gives := v.value.(type) {
		case string:
			t.rows.textFormula(style, v.formula, gives)
		case float64:
			t.rows.formula(style, v.formula, gives)
		default:
			t.keep(fmt.Errorf("a formula gives a %T", gives))
		}
	default:
		t.keep(fmt.Errorf("a cell holds a %T", v))
	}
}

// figureCell is an observed or required value: a number in the format of its measure, or a word.
func figureCell(v audit.Value) any {
	if v.Word != "" {
		return styled{v.Word, look{align: "right"}}
	}
	return styled{v.Number, look{format: formatOf(v)}}
}

// finish ends the rows; what else the sheet needs is set up when all tables are filled.
func (t *table) finish() error {
	if t.err == nil {
		t.err = t.rows.packed.end(false)
	}
	t.excelize(func(*excelize.File) error {
		t.book.tables = append(t.book.tables, t)
		return nil
	})
	return t.err
}

// printArea is the part of the sheet that is printed; empty where all of it is.
func (t *table) printArea() string {
	first, columns := 1, cmp.Or(t.printed, len(t.columns))
	if t.remarks {
		first = t.data + 1
	}
	if first == 1 && columns == len(t.columns) {
		return ""
	}
	return fmt.Sprintf("'%s'!$A$%d:$%s$%d", t.sheet, first, t.rows.names[columns-1], t.rows.row)
}

// layOut sets up everything but the rows.
func (t *table) layOut(file *excelize.File) error {
	whole := fmt.Sprintf("A1:%s%d", t.rows.names[len(t.columns)-1], max(t.data, 2))
	switch { // first, since a filter forgets what a sheet was set up to
	case t.unfiltered:
	case t.book.shown:
		if err := t.makeTable(file, whole); err != nil {
			return err
		}
	default:
		if err := file.AutoFilter(t.sheet, whole, nil); err != nil {
			return err
		}
	}
	if err := t.book.layOut(t.sheet, true); err != nil {
		return err
	}
	if area := t.printArea(); area != "" {
		if err := file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", RefersTo: area, Scope: t.sheet}); err != nil {
			return err
		}
	}
	if t.large || t.book.shown {
		if err := t.layOutAsShown(file); err != nil {
			return err
		}
	}
	if err := t.mark(file); err != nil {
		return err
	}
	if t.counted != "" {
		counts := excelize.NewDataValidation(true)
		counts.SetSqref(fmt.Sprintf("%s2:%s%d", t.counted, t.counted, max(t.data, 2)))
		if err := counts.SetRange(0, 0, excelize.DataValidationTypeWhole, excelize.DataValidationOperatorGreaterThanOrEqual); err != nil {
			return err
		}
		counts.SetError(excelize.DataValidationErrorStyleStop, "In stock", "A whole number, 0 or more.")
		if err := file.AddDataValidation(t.sheet, counts); err != nil {
			return err
		}
	}
	for i := range t.columns {
		if err := file.SetColWidth(t.sheet, t.rows.names[i], t.rows.names[i], t.columns[i].width); err != nil {
			return err
		}
	}
	for _, i := range t.hidden {
		if err := file.SetColVisible(t.sheet, t.rows.names[i], false); err != nil {
			return err
		}
	}
	for _, c := range t.choices {
		if err := t.offer(file, c); err != nil {
			return err
		}
	}
	pane := "bottomRight"
	if t.frozen == 0 {
		pane = "bottomLeft"
	}
	if err := file.SetPanes(t.sheet, &excelize.Panes{Freeze: true, XSplit: t.frozen, YSplit: 1, TopLeftCell: t.rows.names[t.frozen] + "2", ActivePane: pane}); err != nil {
		return err
	}
	// The number of a structure is a name; without this a spreadsheet marks every one as a number kept as text.
	return file.AddIgnoredErrors(t.sheet, whole, excelize.IgnoredErrorsNumberStoredAsText)
}

// offer gives the cells of a column a drop-down.
func (t *table) offer(file *excelize.File, c choices) error {
	list := excelize.NewDataValidation(true)
	list.Sqref = fmt.Sprintf("%s2:%[1]s%d", t.rows.names[c.column], max(t.data, 2))
	if err := list.SetDropList(c.words); err != nil {
		return err
	}
	list.SetError(excelize.DataValidationErrorStyleStop, "No decision", "Choose one of: "+strings.Join(c.words, ", "))
	return file.AddDataValidation(t.sheet, list)
}

// charactersPerWidth is about how many characters of body text go into one unit of column width; raggedness is how many
// of them a line that wraps leaves empty at its end.
const (
	charactersPerWidth = 1.4
	raggedness         = 4
	indentWidth        = 1.2 // column width that one step of indent takes
)

// tooWide tells of a text of few characters whether they are so wide, as capitals are, that it wraps in a column of some width all the same.
func tooWide(text string, width float64, bold bool) bool {
	const (
		fewest         = 0.6 // of the characters of a line: fewer fit, whichever they are
		pointsPerWidth = 6   // of a unit of column width, and what is left free in a column
		free           = 4
		arialShare     = 0.8 // of emsOf, which is of the widest fonts
	)
	if float64(utf8.RuneCountInString(text)) < fewest*width*charactersPerWidth || !strings.ContainsAny(text, " -/") {
		return false
	}
	points := arialShare * bodySize * emsOf(text)
	if bold {
		points *= boldWider
	}
	return points > width*pointsPerWidth-free
}

// cellHeight is about the height that text takes in a cell in which it wraps.
func cellHeight(text string, width float64, bold bool) float64 {
	if height := heightOf(text, width, bodySize); height > rowHeight || !tooWide(text, width, bold) {
		return height
	}
	return 2*lineHeight + 2.5
}

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
