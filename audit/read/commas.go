package read

import (
	"context"
	"strings"
)

// Numbers that stand in cells as text may have decimal commas. They are read where every number of their column has one
// or none, and where at least one of them cannot be a thousand: 1,5 or 0,125 beside 2,250, but never 2,250 alone.

// commaNumber is a number with a decimal comma written with a point; empty where the text is none. surely tells that
// the comma cannot set thousands apart.
func commaNumber(text string) (plain string, surely bool) {
	whole, fraction, found := strings.Cut(text, ",")
	if !found || strings.ContainsAny(whole, ".eE") || fraction == "" {
		return "", false
	}
	for i := range len(fraction) {
		if fraction[i] < '0' || fraction[i] > '9' {
			return "", false
		}
	}
	plain = whole + "." + fraction
	if _, ok := parseNumber(plain); !ok {
		return "", false
	}
	digits := strings.TrimLeft(whole, "+-")
	return plain, len(fraction) != 3 || len(digits) > 3 || digits == "" || digits[0] == '0'
}

// commaColumns finds out which columns have decimal commas.
type commaColumns struct{ numbers, surely, mixed []bool }

// newCommaColumns asks it of the columns that are read as numbers.
func newCommaColumns(numbers []bool) *commaColumns {
	return &commaColumns{numbers, make([]bool, len(numbers)), make([]bool, len(numbers))}
}

// note takes note of the cells of a row, with their units behind them or without.
func (c *commaColumns) note(cells []string) {
	for i := range min(len(cells), len(c.numbers)) {
		if !c.numbers[i] {
			continue
		}
		cell := strings.Replace(strings.TrimSpace(cells[i]), "\u2212", "-", 1)
		if _, ok := parseNumber(cell); !ok {
			cell, _ = numeral(cell)
		}
		if plain, sure := commaNumber(cell); plain != "" {
			c.surely[i] = c.surely[i] || sure
		} else if _, ok := parseNumber(cell); ok && strings.ContainsAny(cell, ".eE") {
			c.mixed[i] = true
		}
	}
}

// found are the columns that have them.
func (c *commaColumns) found() []bool {
	for i := range c.surely {
		c.surely[i] = c.surely[i] && !c.mixed[i]
	}
	return c.surely
}

// decimalCommas tells of each column of a sheet whether its numbers have decimal commas. after is the heading row.
func decimalCommas[R any](ctx context.Context, content book, sheet string, columns []placed[R], after uint32) ([]bool, error) {
	grid, err := openSheet(ctx, content, sheet)
	if err != nil {
		return nil, err
	}
	defer grid.close()
	width := 0
	for _, p := range columns {
		width = max(width, p.index+1)
	}
	numbers := make([]bool, width)
	for _, p := range columns {
		if p.index >= 0 && p.column.isNumber() {
			numbers[p.index] = true
		}
	}
	commas := newCommaColumns(numbers)
	for grid.next() {
		if grid.number > after {
			commas.note(grid.cells)
		}
	}
	have := make([]bool, len(columns))
	for i, p := range columns {
		have[i] = p.index >= 0 && commas.found()[p.index]
	}
	return have, grid.err
}
