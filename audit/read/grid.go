package read

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"
)

// gridReader goes through the rows of a sheet that hold anything. The scanner reads them; where it meets something that
// it does not know, the library reads on.
type gridReader struct {
	ctx    context.Context
	book   *workbook
	sheet  string
	text   *recordReader // of a file of text, which is read from
	in     *input
	scan   *scannedSheet // nil where the library reads
	rows   *excelize.Rows
	part   []byte // the XML of the sheet where the library reads
	passed uint32 // rows that the library passes over, as the scanner has read them

	formulas map[uint32]map[int]string // without a stored value, by row from 1 and column from 0
	number   uint32                    // of the row in the spreadsheet, from 1
	cells    []string                  // used again for the next row
	hidden   bool
	err      error
}

// openSheet starts to read a sheet. It must be closed.
func (w *workbook) openSheet(ctx context.Context, sheet string) (*gridReader, error) {
	g := &gridReader{ctx: ctx, book: w, sheet: sheet}
	if w.isText {
		var err error
		g.in, g.text, err = w.records(ctx)
		return g, err
	}
	if w.scan != nil {
		var err error
		if g.scan, err = w.scan.rows(ctx, sheet); !errors.Is(err, errNotRecognised) {
			return g, err
		}
	}
	return g, g.openLibrary()
}

// sheetProblem words why a sheet cannot be read; an interruption stays what it is.
func sheetProblem(ctx context.Context, file string, err error) error {
	var known *InputError
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case errors.As(err, &known):
		return known
	case errors.Is(err, errTooLarge), errors.Is(err, errDeclared):
		return &InputError{File: file, Message: err.Error(), Err: err, Hint: saveHint}
	}
	return &InputError{File: file, Message: openProblem(err), Err: err, Hint: saveHint}
}

func (g *gridReader) openLibrary() error {
	book, err := g.book.library()
	if err != nil {
		return err
	}
	g.part = sheetPart(book, g.sheet)
	g.formulas = emptyFormulas(g.part)
	g.rows, err = book.Rows(g.sheet)
	return err
}

func (g *gridReader) close() {
	if g.in != nil {
		g.in.file.Close()
	}
	if g.scan != nil {
		g.scan.close()
	}
	if g.rows != nil {
		g.rows.Close()
	}
}

func (g *gridReader) next() bool {
	if g.text != nil {
		return g.textNext()
	}
	if g.scan != nil {
		switch g.err = g.scanNext(); {
		case g.err == nil:
			return !g.scan.done
		case !errors.Is(g.err, errNotRecognised):
			return false
		}
		g.scan.close()
		g.scan, g.passed, g.number = nil, g.number, 0
		g.err = g.openLibrary()
	}
	for g.err == nil && g.rows.Next() {
		g.number++
		if g.number%1024 == 0 && g.ctx.Err() != nil {
			g.err = g.ctx.Err()
			return false
		}
		g.cells, g.err = g.rows.Columns()
		g.hidden = g.rows.GetRowOpts().Hidden
		if g.err == nil && g.number > g.passed && g.holdsAnything() {
			return true
		}
	}
	if g.err == nil {
		g.err = g.rows.Error()
	}
	return false
}

// textNext goes to the next record of a file of text that holds anything.
func (g *gridReader) textNext() bool {
	for g.err == nil {
		more, err := g.text.next()
		if err != nil {
			g.err = recordProblem(g.in, err)
		}
		if g.text.number%1024 == 0 && g.ctx.Err() != nil {
			g.err = g.ctx.Err()
		}
		if g.err != nil || !more {
			return false
		}
		g.number, g.cells = g.text.number, g.text.cells
		if g.holdsAnything() {
			return true
		}
	}
	return false
}

// scanNext goes to the next row that holds anything, or to the end.
func (g *gridReader) scanNext() error {
	for g.scan.next() {
		g.number, g.cells, g.formulas, g.hidden = g.scan.number, g.cells[:0], nil, g.scan.hidden
		for i := range g.scan.cells {
			c := &g.scan.cells[i]
			for len(g.cells) < c.column {
				g.cells = append(g.cells, "")
			}
			g.cells = append(g.cells, c.text)
			if c.formula && !c.stored {
				if g.formulas == nil {
					g.formulas = map[uint32]map[int]string{g.number: {}}
				}
				g.formulas[g.number][c.column] = c.source
			}
		}
		if g.holdsAnything() {
			return nil
		}
	}
	return g.scan.err
}

// rowsToCome estimates how many rows come after those that have been read, from the part of the sheet that they took;
// 0 where that is not known.
func (g *gridReader) rowsToCome(rows int) int {
	var passed, size int64
	switch {
	case g.text != nil:
		passed, size = g.text.passed(), g.in.room
	case g.scan != nil:
		passed, size = g.scan.xml.passed(), g.scan.size
	}
	if passed == 0 || size < passed {
		return 0
	}
	const margin = 1.02
	return int(min(margin*float64(rows)*float64(size-passed)/float64(passed), lastRowNumber))
}

func (g *gridReader) holdsAnything() bool {
	return g.formulas[g.number] != nil || slices.ContainsFunc(g.cells, func(cell string) bool { return strings.TrimSpace(cell) != "" })
}

// problem words what ended the rows before their end, nil if nothing did.
func (g *gridReader) problem(file string) error {
	last := lastRow(bytes.NewReader(g.part))
	var cell *cellError
	switch {
	case errors.As(g.err, &cell):
		return &InputError{File: file, Message: cell.message, Err: g.err, Hint: saveHint}
	case errors.Is(g.err, errMalformed):
		last = g.book.scan.lastRow(g.sheet)
	case g.err != nil:
		return sheetProblem(g.ctx, file, g.err)
	case g.number >= last:
		return nil
	}
	beyond := fmt.Sprintf("row %d", g.number)
	if last > g.number {
		beyond += fmt.Sprintf(" of %d", last)
	}
	return &InputError{File: file, Message: "is damaged: nothing can be read beyond " + beyond, Err: g.err, Hint: saveHint}
}
