package read

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit/read/xlsx"

	"github.com/goccy/go-yaml/ast"
)

// Headings in several rows are read as one row where the project file says in which they stand: the names are joined from the top.

// headingRowsStated are the rows of a sheet that hold its headings, as the project file says.
type headingRowsStated struct{ first, last uint32 }

func (h headingRowsStated) given() bool { return h.last > 0 }

// mostHeadingRows is how many rows of headings a sheet may have (a choice of this program).
const mostHeadingRows = 5

const headingsHint = "write the row of the headings, or the first and the last where they stand in several: headings: [1, 2]"

// headingRowsKey reads a row of headings, 3, or the first and the last of several, [1, 2].
func headingRowsKey(to *headingRowsStated) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		list := []ast.Node{node}
		if several, ok := node.(*ast.SequenceNode); ok {
			list = several.Values
		}
		var rows []uint32
		for _, at := range list {
			text, _ := scalar(at)
			number, ok := parseNumber(text)
			if !ok || number < 1 || number > xlsx.MostRows || number != float64(uint32(number)) {
				return wrong(node, headingsHint, "%s %s is no row, expected a whole number from 1 or two of them", name, written(node))
			}
			rows = append(rows, uint32(number))
		}
		if len(rows) == 0 || len(rows) > 2 || rows[0] > rows[len(rows)-1] || rows[len(rows)-1]-rows[0] >= mostHeadingRows {
			return wrong(node, headingsHint, "%s %s is out of range, expected a row, or the first and the last of at most %d", name, written(node), mostHeadingRows)
		}
		*to = headingRowsStated{rows[0], rows[len(rows)-1]}
		return nil
	}
}

// headingsOf is where the headings of a sheet stand: as is said of it, else of its entry.
func headingsOf(e *registerEntry, use *sheetUse) headingRowsStated {
	if use.headings.given() {
		return use.headings
	}
	return e.headings
}

// statedHeadings goes to the last row of the headings that the project file states.
func statedHeadings[R any](grid *gridReader, content book, actual string, s sheet[R], told stated, file string) (layout[R], error) {
	var above, rows []rowAbove
	for len(rows) == 0 || grid.number < told.headings.last {
		if !grid.next() || grid.number > told.headings.last {
			break
		}
		row := rowAbove{grid.number, slices.Clone(grid.cells)}
		if grid.number < told.headings.first {
			above = append(above, row)
		} else {
			rows = append(rows, row)
		}
	}
	if grid.err != nil {
		return layout[R]{}, grid.problem(file)
	}
	if len(rows) == 0 || rows[0].number != told.headings.first || rows[len(rows)-1].number != told.headings.last {
		row := told.headings.first
		if len(rows) > 0 && rows[0].number == row {
			row = told.headings.last
		}
		return layout[R]{missing: []string{}}, &InputError{File: file, Message: fmt.Sprintf("has nothing in row %d, which the project file names under headings", row), Hint: headingsHint}
	}
	cells := joinHeadings(rows, content.mergedAcross(grid.ctx, actual, told.headings.last))
	shape := understand(cells, s.columns, newHeadingLookup(s.columns), told)
	if shape.above, shape.upper = above, len(rows)-1; shape.upper > 0 {
		shape.heads = rows
	}
	shape.findOthers(told)
	var trouble problems
	if len(shape.missing) > 0 {
		trouble.add(missingHeadings(shape, file, s.name))
	}
	trouble.add(shape.trouble(file, s.name))
	return shape, trouble.err()
}

// inTwoRows finds the first of two rows that may hold the headings together: the one at a place that has some, and the one above or below it
// that has some which are missing there; 0 for none.
func inTwoRows[R any](rows []rowAbove, at int, missing []string, columns []column[R], lookup headingLookup, told stated) uint32 {
	for _, other := range [...]int{at + 1, at - 1} {
		if other < 0 || other >= len(rows) || max(rows[at].number, rows[other].number)-min(rows[at].number, rows[other].number) != 1 {
			continue
		}
		shape := understand(rows[other].cells, columns, lookup, told)
		if slices.ContainsFunc(shape.columns, func(p placed[R]) bool { return p.index >= 0 && slices.Contains(missing, p.column.heading) }) {
			return min(rows[at].number, rows[other].number)
		}
	}
	return 0
}

// joinHeadings joins rows of headings column by column, from the top. What stands in an upper row holds for the columns that it is merged
// over, or where none there is merged for those behind it without a text in that row and with one below.
func joinHeadings(rows []rowAbove, across []xlsx.Across) []string {
	width := 0
	for _, row := range rows {
		width = max(width, len(row.cells))
	}
	joined := make([]string, width)
	last := rows[len(rows)-1].number
	upper := slices.DeleteFunc(slices.Clone(across), func(a xlsx.Across) bool { return a.Last >= last })
	for i, row := range rows {
		below := func(column int) bool {
			return slices.ContainsFunc(rows[i+1:], func(lower rowAbove) bool { return lower.text(column) != "" })
		}
		for column, group := range spread(row.cells, row.number, width, upper, below) {
			if row.number < last || group.from == column {
				joined[column] = joinHeading(joined[column], group.text)
			}
		}
	}
	return joined
}

// joinHeading joins the upper and the lower part of a heading; equal ones, as of merged cells that repeat their text, are one.
func joinHeading(upper, lower string) string {
	switch {
	case upper == "":
		return lower
	case lower == "" || headingKey(upper) == headingKey(lower):
		return upper
	}
	return upper + " " + lower
}

// text is what the row holds in a column.
func (r *rowAbove) text(column int) string {
	if column >= len(r.cells) {
		return ""
	}
	return strings.Join(strings.Fields(r.cells[column]), " ")
}

// group is what stands above a column in a row of headings, and in which column.
type group struct {
	text string
	from int
}

// spread is what stands in a row above each of so many columns: over the columns that its cells are merged over, or where none of the row
// is merged over those behind without a text, as long as they have one below.
func spread(cells []string, number uint32, width int, across []xlsx.Across, below func(column int) bool) []group {
	row := rowAbove{number, cells}
	groups := make([]group, width)
	merged := false
	for _, a := range across {
		if a.First != number {
			continue
		}
		merged = true
		for column := a.Column; column <= min(a.LastColumn, width-1); column++ {
			groups[column] = group{row.text(a.Column), a.Column}
		}
	}
	open := group{from: -1}
	for column := range groups {
		switch text := row.text(column); {
		case text != "":
			if groups[column].text == "" {
				groups[column] = group{text, column}
			}
			if open = groups[column]; !below(column) {
				open = group{from: -1}
			}
		case !below(column):
			open = group{from: -1}
		case !merged && open.text != "":
			groups[column] = open
		}
		if groups[column].text == "" {
			groups[column].from = -1 - column
		}
	}
	return groups
}
