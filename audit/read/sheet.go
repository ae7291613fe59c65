package read

import (
	"context"
	"strings"

	"dryarc/audit"
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
	grid, err := w.openSheet(ctx, found.actual)
	if err != nil {
		return sheetProblem(ctx, file, err)
	}
	defer grid.close()
	shape, err := findHeadings(grid, s.columns, r.mapped[s.name], file)
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
			readCell(r, s, &shape.columns[i], &row, grid, at)
		}
		s.keep(&row, at)
	}
	return grid.problem(file)
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
