package read

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"dryarc/audit"
)

// Cells that are not written plainly: with their unit of measure, as a word for a number, with a word for nothing. They are read
// after the plain reading failed, or known by their length, so that plain cells do not wait for them.

// nothingSaid is what a cell says by a word for nothing.
type nothingSaid uint8

const (
	saysSomething nothingSaid = iota
	saysBlank                 // there is none, or nothing to say
	saysUnknown               // nobody knows
)

// nothingIn tells whether a cell that is not empty holds a word for nothing (common practice).
func nothingIn(cell string) nothingSaid {
	if cell == "" {
		return saysSomething
	}
	switch c := cell[0]; {
	case c == '-', c == '?', c >= utf8.RuneSelf:
	case c|0x20 != 'n' && c|0x20 != 't' && c|0x20 != 'u': // as of nearly all cells
		return saysSomething
	}
	var says nothingSaid
	var words []string
	switch len(cell) {
	case 1, 2:
		switch cell {
		case "-", "--":
			return saysBlank
		case "?", "??":
			return saysUnknown
		}
	case 3:
		words = []string{"n/a", "nil", "–", "—", "−"}
		if strings.EqualFold(cell, "tbc") || strings.EqualFold(cell, "tbd") {
			return saysUnknown
		}
		says = saysBlank
	case 4:
		words, says = []string{"n.a.", "none"}, saysBlank
	case 6:
		words, says = []string{"t.b.c."}, saysUnknown
	case 7:
		words, says = []string{"unknown"}, saysUnknown
	case 9:
		words, says = []string{"not known"}, saysUnknown
	case 14:
		words, says = []string{"not applicable"}, saysBlank
	}
	for _, word := range words {
		if strings.EqualFold(cell, word) {
			return says
		}
	}
	return saysSomething
}

var saidUnknown = &trouble{kind: audit.MissingValue, expected: "says that nobody knows it; nothing stands in for it", gathered: "unknown"}

// nothing reads a cell by a word for nothing; read is false where it holds none, or a word of its column. Signs name the poles of a phase.
func (p *placed[R]) nothing(row *R, cell string) (t *trouble, read bool) {
	says := nothingIn(cell)
	if says == saysSomething || p.column.long || p.column.signs && strings.Trim(cell, "-–—−") == "" ||
		slices.ContainsFunc(p.column.choices, func(word string) bool { return strings.EqualFold(word, cell) }) {
		return nil, false
	}
	switch says {
	case saysBlank:
		if p.column.none != nil && strings.EqualFold(cell, "none") {
			return p.column.none, true
		}
		return nil, true
	case saysUnknown:
		if !p.column.verbatim {
			p.column.read(row, cell, p.in) // the figure becomes unknown
		}
		return saidUnknown, true
	}
	return nil, false
}

// otherwise reads a cell that its column did not read plainly.
func (p *placed[R]) otherwise(row *R, cell string, t *trouble) *trouble {
	if p.column.other != nil {
		if read, known := p.column.other(row, cell); known {
			return read
		}
	}
	if t != notANumber {
		return t
	}
	number, behind := numeral(cell)
	switch {
	case number == "" || behind == "":
		return t
	case p.column.measure == nil:
		if p.column.counts(behind) {
			return p.column.read(row, number, p.in)
		}
		return t
	}
	in, known := p.column.measure.find(behind)
	if !known {
		return &trouble{kind: audit.NotANumber, expected: fmt.Sprintf("is no number with a unit of this column, expected one of %s", strings.Join(p.column.measure.list(), ", "))}
	}
	return p.column.read(row, number, in)
}

// numeral parts a text into the digits it begins with, their signs and points, and what stands behind them.
func numeral(text string) (number, behind string) {
	i := 0
	for i < len(text) && ('0' <= text[i] && text[i] <= '9' || text[i] == '.' || text[i] == ',' || i == 0 && (text[i] == '-' || text[i] == '+')) {
		i++
	}
	behind = strings.TrimSpace(text[i:])
	if strings.HasPrefix(behind, "(") && strings.HasSuffix(behind, ")") {
		behind = strings.TrimSpace(behind[1 : len(behind)-1])
	}
	return text[:i], behind
}

// counts tells whether a word behind a number says no more than that it counts what the column counts.
func (c *column[R]) counts(word string) bool {
	return c.shape == wholeShape && isCounting(word, c.counted)
}

// isCounting tells whether a word behind a number says no more than that it counts such things (common practice).
func isCounting(word string, things []string) bool {
	switch wordKey(word) {
	case "no", "nos", "pc", "pcs", "ea", "each":
		return true
	}
	for _, counted := range things {
		if key := wordKey(counted); wordKey(word) == key || wordKey(word) == key+"s" {
			return true
		}
	}
	return false
}

// counting names what a column counts, in the singular.
func (c column[R]) counting(words ...string) column[R] {
	c.counted = words
	return c
}

// unlessNone makes a fault of "none", which is no blank in the column.
func (c column[R]) unlessNone(expected string) column[R] {
	c.none = &trouble{kind: audit.NotANumber, expected: expected}
	return c
}

// or reads what a column does not read plainly; known is false where it is nothing of the kind.
func (c column[R]) or(read func(row *R, cell string) (t *trouble, known bool)) column[R] {
	c.other = read
	return c
}

// subconductors are the words for the conductors of a bundle (common practice).
func subconductors(word string) (n int, known bool) {
	switch strings.TrimSuffix(strings.TrimSuffix(wordKey(word), "bundle"), "conductor") {
	case "single":
		return 1, true
	case "twin", "double", "duplex":
		return 2, true
	case "triple", "triplex":
		return 3, true
	case "quad", "quadruple":
		return 4, true
	case "hexa", "hex", "sextuple":
		return 6, true
	}
	return 0, false
}

// countedUnits are what people call the units that they count (common practice).
var countedUnits = []string{"unit", "disc", "disk", "bell", "insulator"}

// readStrungUnits reads a number of units that says the strings too.
func readStrungUnits(a *assembly, cell string) (*trouble, bool) {
	strung, units, ok := strungUnits(cell)
	if !ok {
		return nil, false
	}
	n, _ := parseNumber(strung)
	each, _ := parseNumber(units)
	if n < 1 || n > mostStrings || each < 1 || each > longestMakeup {
		return &trouble{kind: audit.OutOfRange, expected: fmt.Sprintf("is out of range as strings × units, expected 1 to %d × 1 to %d", mostStrings, longestMakeup)}, true
	}
	a.stringsByUnits, a.UnitsPerString = int16(n), int16(each)
	return nil, true
}

// mostStrings is the largest number of strings side by side that is believed, here and in the column Strings (a choice of this
// program).
const mostStrings = 8

// sayStrings takes note of a word for the arrangement that says how many strings there are.
func sayStrings(a *assembly, cell string) {
	if a.Arrangement == audit.Parallel && isDouble(cell) {
		a.stringsSaid = 2
	}
}

// saying takes further note of what a column has read.
func (c column[R]) saying(note func(row *R, cell string)) column[R] {
	read := c.read
	c.read = func(row *R, cell string, in unitOfMeasure) *trouble {
		t := read(row, cell, in)
		if t == nil {
			note(row, cell)
		}
		return t
	}
	return c
}

// strungUnits reads strings × units: 2x23, 2 x 23, 2 × 23 discs.
func strungUnits(cell string) (strung, units string, ok bool) {
	first, behind := numeral(cell)
	sign, size := utf8.DecodeRuneInString(behind)
	if first == "" || !strings.ContainsRune("xX×*", sign) {
		return "", "", false
	}
	second, rest := numeral(strings.TrimSpace(behind[size:]))
	for _, digits := range [...]string{first, second} {
		if digits == "" || strings.Trim(digits, "0123456789") != "" {
			return "", "", false
		}
	}
	if rest != "" && !isCounting(rest, countedUnits) {
		return "", "", false
	}
	return first, second, true
}
