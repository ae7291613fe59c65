package read

import (
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// SheetLook is what a sheet holds, or a file of text.
type SheetLook struct {
	Name    string
	Rows    int // that hold anything
	Numbers NumbersLook
	Fits    []Fit // for each kind of sheet of the register, in their order, and for a table of inspections
}

// Fit says how well a sheet is one of a kind of the register.
type Fit struct {
	Kind     string
	Columns  []LookedColumn // every heading of the row that fits best, with what stands below it
	Found    []FoundColumn
	Missing  []string // required columns that have no heading
	Problems []string // what cannot be understood of the headings, with what helps against it
	// Headings are the first and the last row of the headings where they stand in two, of which the names are joined; else 0.
	Headings [2]uint32
}

// FoundColumn is a heading that the reader takes for a column.
type FoundColumn struct{ Column, Heading string }

// Finds returns the heading of a column; empty where it has none.
func (f *Fit) Finds(column string) string {
	for _, found := range f.Found {
		if found.Column == column {
			return found.Heading
		}
	}
	return ""
}

// Uses tells whether a heading stands for a column.
func (f *Fit) Uses(heading string) bool {
	return slices.ContainsFunc(f.Found, func(found FoundColumn) bool { return found.Heading == heading })
}

// Column returns a column with its values by its heading.
func (f *Fit) Column(heading string) LookedColumn {
	for _, c := range f.Columns {
		if c.Name == heading {
			return c
		}
	}
	return LookedColumn{}
}

// loneRegister is a register of which nothing is read but cells.
func loneRegister() *register {
	return &register{project: &audit.Project{}, units: map[string]int{}, unitRows: map[string]audit.Twin[basis.Unit]{}, doubtedSpacing: map[string]float64{}, makeups: map[string]makeup{},
		parted: map[string]uint32{}, conductors: map[string]int{}, conductorRows: map[string]audit.Twin[basis.Conductor]{}}
}

// look tells what the rows of a sheet are.
func (s *sheetTallies) look(name string) SheetLook {
	r := loneRegister()
	return SheetLook{Name: name, Rows: len(s.rows), Fits: []Fit{
		fitOf(s, assembliesSheet, assemblyColumns(r)), fitOf(s, linesSheet, lineColumns(r)),
		fitOf(s, unitsSheet, unitColumns(r)), fitOf(s, conductorsSheet, conductorColumns(r)),
		fitOf(s, inspectionsSheet, inspectionColumns(r)),
	}}
}

// fitOf finds the row with the most headings of a kind of sheet, and what stands below it.
func fitOf[R any](s *sheetTallies, kind string, columns []column[R]) Fit {
	lookup := newHeadingLookup(columns)
	var best layout[R]
	at := -1
	for i, row := range s.first {
		shape := understand(row.cells, columns, lookup, stated{})
		if at < 0 || len(shape.columns) > len(best.columns) {
			best, at = shape, i
		}
		if len(shape.missing) == 0 {
			break
		}
	}
	fit := Fit{Kind: kind}
	if first := inTwoRowsOf(s.first, at, sheet[R]{columns: columns}, best, lookup); first >= 0 {
		best, at = understand(joinHeadings(s.first[first:first+2], s.across), columns, lookup, stated{}), first+1
		fit.Headings = [2]uint32{s.first[first].number, s.first[first+1].number}
	}
	fit.Missing = best.missing
	for i, problem := range best.problems {
		fit.Problems = append(fit.Problems, problem+"; "+strings.ReplaceAll(best.hints[i], sheetMark, kind))
	}
	for _, p := range best.columns {
		fit.Found = append(fit.Found, FoundColumn{p.column.heading, strings.Clone(p.heading)})
	}
	for i, heading := range best.headings {
		values := newTally(valid(heading))
		for _, cells := range s.rows[at+1:] {
			if place := best.places[i]; place < len(cells) {
				values.note(valid(strings.TrimSpace(cells[place])))
			}
		}
		fit.Columns = append(fit.Columns, values.LookedColumn)
	}
	return fit
}

// inTwoRowsOf finds the first of two rows that hold the headings together, by its place; −1 where one row does. Of those that fit at a place
// either some are missing that stand in the row beside it, or one stands over several columns that the row below tells apart.
func inTwoRowsOf[R any](rows []rowAbove, at int, of sheet[R], shape layout[R], lookup headingLookup) int {
	if at < 0 || len(shape.columns) < 2 {
		return -1
	}
	if len(shape.missing) > 0 {
		first := inTwoRows(rows, at, shape.missing, of.columns, lookup, stated{})
		return slices.IndexFunc(rows, func(row rowAbove) bool { return row.number == first })
	}
	if at+1 >= len(rows) || rows[at+1].number != rows[at].number+1 {
		return -1
	}
	below := sheetReader[R]{sheet: of, shape: shape, headings: rows[at].number, grid: &gridReader{row: row{number: rows[at+1].number, cells: rows[at+1].cells}}}
	if wide := below.wideHeadings(); below.isSubheadings(wide) && slices.ContainsFunc(wide, func(w wideHeading) bool { return len(below.textsBelow(w)) > 1 }) {
		return at
	}
	return -1
}

// CellReads returns what tells whether the reader would understand a cell in a column of a kind of sheet of the register.
func CellReads(kind, heading string) func(cell string) bool {
	r := loneRegister()
	switch kind {
	case assembliesSheet:
		return cellReads(assemblyColumns(r), heading)
	case linesSheet:
		return cellReads(lineColumns(r), heading)
	case unitsSheet:
		return cellReads(unitColumns(r), heading)
	}
	return cellReads(conductorColumns(r), heading)
}

func cellReads[R any](columns []column[R], heading string) func(cell string) bool {
	i := slices.IndexFunc(columns, func(c column[R]) bool { return c.heading == heading })
	if i < 0 {
		return func(string) bool { return false }
	}
	c := &columns[i]
	in := unitOfMeasure{factor: 1}
	if c.measure != nil {
		in = c.measure.units[0]
	}
	return func(cell string) bool {
		row := new(R)
		if c.read(row, cell, in) == nil {
			return true
		}
		if c.other == nil {
			return false
		}
		trouble, known := c.other(row, cell)
		return known && trouble == nil
	}
}

// Near returns the known word that is closest to what was written, empty where none is close.
func Near(written string, known []string) string { return near(written, known) }

// HeadingKey is a heading by its letters and digits alone.
func HeadingKey(heading string) string { return headingKey(heading) }

// IsDitto tells whether a cell says no more than that it holds the same as the one above.
func IsDitto(cell string) bool { return isDitto(cell) }
