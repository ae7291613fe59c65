package read

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/xuri/excelize/v2"
)

// sheet says how the rows of a sheet become values of type R.
type sheet[R any] struct {
	name    string
	columns []column[R]
	blank   func() R                 // a row in which nothing is stated
	faulty  func(*R) *audit.FieldSet // where a row keeps its faulty fields
	keep    func(*R, audit.Source)   // takes a row that holds anything; R is used again for the next
}

// headingRows is how many rows that hold anything are searched for the headings: titles may stand above them.
const headingRows = 20

// readSheet reads one sheet of a workbook, if it has it.
func readSheet[R any](ctx context.Context, r *register, w *workbook, s sheet[R]) error {
	found, ok := w.sheets[s.name]
	if !ok {
		return nil
	}
	file := w.name + "!" + found.actual
	rows, err := w.book.Rows(found.actual)
	if err != nil {
		return &InputError{File: file, Message: openProblem(err), Err: err, Hint: saveHint}
	}
	defer rows.Close()
	part := sheetPart(w.book, found.actual)
	grid := gridReader{ctx: ctx, rows: rows, formulas: emptyFormulas(part)}
	shape, err := findHeadings(&grid, s.columns, r.mapped[s.name], file)
	blank := grid.err == nil && shape.columns == nil && shape.missing == nil
	switch {
	case blank && s.name != assembliesSheet:
		return nil
	case err != nil:
		return err
	}
	r.project.Tables[found.table].Columns = shape.letters()
	var row R
	for grid.next() {
		row = s.blank()
		at := audit.Source{Table: found.table, Row: grid.number}
		for i := range shape.columns {
			readCell(r, s, &shape.columns[i], &row, &grid, at)
		}
		s.keep(&row, at)
	}
	switch {
	case grid.err != nil && ctx.Err() == nil:
		return &InputError{File: file, Message: openProblem(grid.err), Err: grid.err, Hint: saveHint}
	case grid.err == nil && grid.number < lastRow(part):
		return &InputError{File: file, Message: fmt.Sprintf("is damaged: nothing can be read beyond row %d of %d", grid.number, lastRow(part)),
			Hint: saveHint}
	}
	return grid.err
}

// readCell reads the cell of one column into a row; a blank one leaves it as it is.
func readCell[R any](r *register, s sheet[R], p *placed[R], row *R, grid *gridReader, at audit.Source) {
	cell := ""
	if p.index < len(grid.cells) {
		cell = strings.TrimSpace(grid.cells[p.index])
	}
	formula, empty := grid.formulas[grid.number][p.index]
	if empty {
		cell = formula
	}
	var t *trouble
	if cell != "" && !(empty && p.column.verbatim) {
		t = p.column.read(row, cell, p.in)
	}
	if empty {
		t = &trouble{audit.NoCachedValue, "is a formula without a stored value; open the workbook in a spreadsheet program and save it"}
	}
	if t != nil {
		r.fault(at, t.kind, p.column.heading, cell, t.expected)
		faulty := s.faulty(row)
		*faulty = faulty.With(p.column.field)
	}
}

// gridReader goes through the rows of a sheet that hold anything.
type gridReader struct {
	ctx      context.Context
	rows     *excelize.Rows
	formulas map[uint32]map[int]string // without a stored value
	number   uint32                    // of the row in the spreadsheet, from 1
	cells    []string
	err      error
}

func (g *gridReader) next() bool {
	for g.err == nil && g.rows.Next() {
		g.number++
		if g.number%1024 == 0 && g.ctx.Err() != nil {
			g.err = g.ctx.Err()
			return false
		}
		g.cells, g.err = g.rows.Columns()
		if g.err == nil && (g.formulas[g.number] != nil || slices.ContainsFunc(g.cells, func(cell string) bool { return strings.TrimSpace(cell) != "" })) {
			return true
		}
	}
	if g.err == nil {
		g.err = g.rows.Error()
	}
	return false
}
