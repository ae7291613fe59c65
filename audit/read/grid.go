package read

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/read/xlsx"
)

// rows goes through the rows of a sheet. Rows without any cell may be left out.
type rows interface {
	// next goes to the next row; false without an error is the end.
	next(to *row) (bool, error)

	// merged lists the merged areas of the sheet, once the last row has been read.
	merged() []xlsx.Area

	// format is the number format of a cell of the row, by its column from 0; empty where there is none or it is not known.
	format(column int) string

	// isNumber tells whether a cell of the row stands there as a number that has no zeros behind a point or before it.
	isNumber(column int) bool

	// damage looks, after the last row, for what comes behind it and cannot be read; nil where there is nothing.
	damage() error

	close()
}

// refuser refuses a table one of whose columns, by its place, is read and holds what is not read. Its rows are those of a query or in Parquet: each
// is data, whatever it holds, below the one row of headings.
type refuser interface{ refuse(index int) error }

// row is a row of a sheet.
type row struct {
	number   uint32         // in the spreadsheet, or its line in a text, from 1
	cells    []string       // used again for the next row
	formulas map[int]string // those without a stored value, by column from 0
	hidden   bool
	apart    bool // a row without anything stands before it; of a workbook the numbers of its rows tell
	open     bool // it is the last one of a text, without a line end
}

// gridReader goes through the rows of a sheet that hold anything, or are data all the same. The row is that which it is at.
type gridReader struct {
	ctx  context.Context
	from rows
	row
	fewest int // cells of a row that was asked whether it is cut
	err    error
}

// openSheet starts to read a sheet. It must be closed.
func openSheet(ctx context.Context, content book, sheet string) (*gridReader, error) {
	from, err := content.rows(ctx, sheet)
	if err != nil {
		return nil, err
	}
	return &gridReader{ctx: ctx, from: from}, nil
}

// sheetProblem words why a sheet cannot be read; an interruption stays what it is.
func sheetProblem(ctx context.Context, file string, err error) error {
	var known *InputError
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case errors.As(err, &known):
		return known
	case errors.Is(err, xlsx.ErrTooLarge), errors.Is(err, xlsx.ErrDeclared):
		return &InputError{File: file, Message: err.Error(), Err: err, Hint: saveHint}
	}
	return &InputError{File: file, Message: openProblem(err), Err: err, Hint: saveHint}
}

func (g *gridReader) close() { g.from.close() }

// next goes to the next row, or to the end.
func (g *gridReader) next() bool {
	before, apart := g.number, false
	_, isText := g.from.(*textRows)
	for g.err == nil {
		var more bool
		if more, g.err = g.from.next(&g.row); !more {
			return false
		}
		if g.isData() || g.holdsAnything() {
			g.apart = apart || g.apart || !isText && g.number > before+1
			return true
		}
		apart = true
	}
	return false
}

// isData tells whether each row below the headings is data.
func (g *gridReader) isData() bool {
	_, is := g.from.(refuser)
	return is
}

// lastRow is how the last row of a sheet that was read to its end ends, as audit.Input.LastRow has it.
func (g *gridReader) lastRow() string {
	_, isText := g.from.(*textRows)
	switch {
	case !isText:
		return ""
	case g.open:
		return audit.Open
	}
	return audit.Ended
}

// cut tells that a text is cut within the row, the last one: it has no line end and fewer cells than headings, of which there are so many, and
// than each row before it that was asked. Where others have as few, their last cells are blank.
func (g *gridReader) cut(file string, headings int) error {
	n := len(g.cells)
	if g.open && n < headings && (g.fewest == 0 || n < g.fewest) {
		return &InputError{File: file, Message: fmt.Sprintf("ends in the middle of line %d: it has %d of the %d cells of the headings, and no line end", g.number, n, headings),
			Hint: "export or copy it again; where it is whole, end its last line with a line end"}
	}
	if g.fewest == 0 || n < g.fewest {
		g.fewest = n
	}
	return nil
}

func (g *gridReader) holdsAnything() bool {
	return g.formulas != nil || slices.ContainsFunc(g.cells, func(cell string) bool { return strings.TrimSpace(cell) != "" })
}

// problem words what ended the rows before their end, nil if nothing did.
func (g *gridReader) problem(file string) error {
	var cell *xlsx.CellError
	if errors.As(g.err, &cell) {
		return &InputError{File: file, Message: cell.Error(), Err: g.err, Hint: saveHint}
	}
	if damage := g.from.damage(); damage != nil {
		return &InputError{File: file, Message: damage.Error(), Err: g.err, Hint: saveHint}
	}
	if g.err != nil {
		return sheetProblem(g.ctx, file, g.err)
	}
	return nil
}
