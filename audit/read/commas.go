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

// decimalCommas tells of each column of a sheet whether its numbers have decimal commas. after is the heading row.
func decimalCommas[R any](ctx context.Context, content book, sheet string, columns []placed[R], after uint32) ([]bool, error) {
	grid, err := openSheet(ctx, content, sheet)
	if err != nil {
		return nil, err
	}
	defer grid.close()
	surely, mixed := make([]bool, len(columns)), make([]bool, len(columns))
	for grid.next() {
		for i, p := range columns {
			if grid.number <= after || p.index < 0 || p.index >= len(grid.cells) || !p.column.isNumber() {
				continue
			}
			cell := strings.TrimSpace(grid.cells[p.index])
			if _, ok := parseNumber(cell); !ok {
				cell, _ = numeral(cell)
			}
			if plain, sure := commaNumber(cell); plain != "" {
				surely[i] = surely[i] || sure
			} else if _, ok := parseNumber(cell); ok && strings.ContainsAny(cell, ".eE") {
				mixed[i] = true
			}
		}
	}
	for i := range surely {
		surely[i] = surely[i] && !mixed[i]
	}
	return surely, grid.err
}
