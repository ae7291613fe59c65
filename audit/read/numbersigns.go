package read

import (
	"context"
	"fmt"
	"strings"
	"unicode/utf8"
)

// Numbers that stand in cells as text may have a decimal comma, and commas, points, apostrophes or blanks between thousands. They are
// read where nothing but one thing can be meant: by the number itself, as 1.234,5, 1,234,567 and 1'234, or by its column. 2,250 is
// two and a quarter where the other numbers of the column have decimal commas, two thousand where commas part thousands there, and
// nothing alone. 2.250 alone is two and a quarter, unless its table shows that the point may part thousands (doubtPoints) and its column
// has no decimal point for certain. What stands under decimal in the project file settles both.

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

// numberSigns are the signs that numbers have for certain.
type numberSigns struct {
	commaDecimal, pointDecimal, commaGroups, pointGroups, blankGroups bool

	loose   bool        // some have a comma that may be either
	byTable bool        // they are taken for decimal commas, as others of its table are for certain
	doubted bool        // the table of the column tells that a point may part thousands
	stated  decimalSign // by the project file
}

// writtenNumber is a number as it is written.
type writtenNumber struct {
	plain string // as parseNumber reads it, the sign of a loose one taken for the decimal one
	whole string // of a loose one, the sign taken for one between thousands; else empty
	loose byte   // the sign that may be either: comma, point, or blank, which may also part two numbers; 0 where there is none
	has   numberSigns
}

// writtenAs takes a number apart; ok is false where the text is none.
func writtenAs(text string) (n writtenNumber, ok bool) {
	sign := ""
	if text != "" && (text[0] == '-' || text[0] == '+') {
		sign, text = text[:1], text[1:]
	}
	groups, marks, ok := digitGroups(text)
	switch {
	case !ok:
		return n, false
	case len(marks) == 0:
		return writtenNumber{plain: sign + text}, true
	case len(marks) == 1 && (marks[0] == ',' || marks[0] == '.'):
		n.plain = sign + groups[0] + "." + groups[1]
		if _, surely := commaNumber(groups[0] + "," + groups[1]); !surely {
			n.whole, n.loose = sign+groups[0]+groups[1], byte(marks[0])
			return n, true
		}
		n.has.commaDecimal, n.has.pointDecimal = marks[0] == ',', marks[0] == '.'
		return n, true
	}
	between, fraction := marks[0], ""
	if last := marks[len(marks)-1]; last != between {
		if last != ',' && last != '.' {
			return n, false
		}
		fraction = "." + groups[len(groups)-1]
		n.has.commaDecimal, n.has.pointDecimal = last == ',', last == '.'
		groups, marks = groups[:len(groups)-1], marks[:len(marks)-1]
	}
	for i, group := range groups {
		if i > 0 && (marks[i-1] != between || len(group) != 3) || i == 0 && (len(group) > 3 || group[0] == '0') {
			return writtenNumber{}, false
		}
	}
	n.plain = sign + strings.Join(groups, "") + fraction
	n.has.commaGroups, n.has.pointGroups = between == ',', between == '.'
	if between == ' ' && fraction == "" && len(marks) == 1 {
		n.whole, n.loose = n.plain, ' '
		return n, true
	}
	n.has.blankGroups = between == ' '
	return n, true
}

// digitGroups takes a text apart into digits and the marks between them. Blanks that hold together and apostrophes of print are
// apostrophes: they stand in numbers alone.
func digitGroups(text string) (groups []string, marks []rune, ok bool) {
	start := 0
	for i, r := range text {
		switch r {
		case '0', '1', '2', '3', '4', '5', '6', '7', '8', '9':
			continue
		case '\u00a0', '\u202f', '\u2009', '\'', '\u2019':
			r = '\''
		case ',', '.', ' ':
		default:
			return nil, nil, false
		}
		if i == start && (i > 0 || r != ',' && r != '.') {
			return nil, nil, false
		}
		groups, marks, start = append(groups, text[start:i]), append(marks, r), i+lengthOf(text[i:])
	}
	return append(groups, text[start:]), marks, start < len(text)
}

func lengthOf(text string) int {
	_, size := utf8.DecodeRuneInString(text)
	return size
}

// note takes up what a cell of a column says for certain; isNumber tells that it stands there as a number, which has no sign.
func (s *numberSigns) note(cell string, isNumber bool) {
	if isNumber {
		return
	}
	if _, plain := parseNumber(cell); plain && (s.pointDecimal || !strings.ContainsAny(cell, ".eE") || strings.ContainsAny(cell, "eE")) {
		s.pointDecimal = s.pointDecimal || strings.ContainsAny(cell, ".eE")
		return
	}
	n, _ := writtenAs(cell)
	s.commaDecimal, s.pointDecimal = s.commaDecimal || n.has.commaDecimal, s.pointDecimal || n.has.pointDecimal
	s.commaGroups, s.pointGroups = s.commaGroups || n.has.commaGroups, s.pointGroups || n.has.pointGroups
	s.blankGroups, s.loose = s.blankGroups || n.has.blankGroups, s.loose || n.loose == ','
}

// decimalCommas tells whether the numbers of a column have decimal commas.
func (s numberSigns) decimalCommas() bool { return s.commaDecimal && !s.pointDecimal && !s.commaGroups }

// read is a number in the plain form; empty where the column does not tell what it is, or has numbers that contradict it.
func (s numberSigns) read(n writtenNumber) string {
	if s.stated != 0 && (n.loose == ',' || n.loose == '.') {
		return s.settle(n)
	}
	switch n.loose {
	case ',':
		if s.decimalCommas() {
			return n.plain
		} else if s.commaGroups && !s.commaDecimal && !s.pointGroups {
			return n.whole
		}
		return ""
	case '.':
		if !s.pointGroups && !s.commaDecimal && (s.pointDecimal || !s.doubted) {
			return n.plain
		} else if s.pointGroups && !s.pointDecimal && !s.commaGroups {
			return n.whole
		}
		return ""
	case ' ':
		if s.blankGroups {
			return n.whole
		}
		return ""
	}
	switch {
	case n.has.commaDecimal && (s.pointDecimal || s.commaGroups), n.has.commaGroups && (s.commaDecimal || s.pointGroups),
		n.has.pointGroups && (s.pointDecimal || s.commaGroups):
		return ""
	}
	return n.plain
}

// either words what a number may be that can be read in two ways.
func (n writtenNumber) either() string {
	if n.loose == ' ' {
		return n.whole + " or two numbers"
	}
	return n.plain + " or " + n.whole
}

// isLoosePoint tells whether a text is a number whose point may part thousands.
func isLoosePoint(text string) bool {
	if len(text) < len("1.234") || len(text) > len("-123.456") || text[len(text)-4] != '.' {
		return false
	}
	n, ok := writtenAs(text)
	return ok && n.loose == '.'
}

// figure takes a text apart into the number it begins with, with its marks between thousands, and what stands behind it.
func figure(text string) (number, behind string) {
	number, behind = numeral(text)
	end := 0
	for i, r := range text {
		if !strings.ContainsRune("0123456789.,' \u00a0\u202f\u2009\u2019", r) && (i > 0 || r != '-' && r != '+') {
			break
		}
		end = i + lengthOf(text[i:])
	}
	whole := strings.TrimRight(text[:end], " '\u00a0\u202f\u2009\u2019")
	if _, ok := writtenAs(whole); len(whole) > len(number) && ok && strings.ContainsAny(whole, "' \u00a0\u202f\u2009\u2019") {
		_, behind = numeral("0" + text[len(whole):])
		return whole, behind
	}
	return number, behind
}

// signsOf tells of each column of a sheet what signs its numbers have. after is the heading row, stated the sign that the project file states.
func signsOf[R any](ctx context.Context, content book, sheet string, columns []placed[R], after uint32, stated decimalSign) ([]numberSigns, error) {
	grid, err := openSheet(ctx, content, sheet)
	if err != nil {
		return nil, err
	}
	defer grid.close()
	signs := make([]numberSigns, len(columns))
	var beside numberSigns
	isRead := map[int]bool{}
	for _, p := range columns {
		isRead[p.index] = true
	}
	for grid.next() {
		if grid.number <= after {
			continue
		}
		for at, cell := range grid.cells {
			if !isRead[at] && !beside.pointGroups && !grid.from.isNumber(at) {
				beside.noteBeside(cell)
			}
		}
		for i, p := range columns {
			if p.index < 0 || p.index >= len(grid.cells) || !p.column.isNumber() {
				continue
			}
			cell := strings.Replace(strings.TrimSpace(grid.cells[p.index]), "\u2212", "-", 1)
			isNumber := grid.from.isNumber(p.index)
			if _, ok := parseNumber(cell); !ok {
				cell, _ = figure(cell)
			}
			signs[i].note(cell, isNumber)
		}
	}
	separator := byte(0)
	if text, is := grid.from.(*textRows); is {
		separator = text.records.comma
	}
	doubtPoints(signs, beside, separator, stated)
	return signs, grid.err
}

// notes say what marks the numbers of a column have.
func (s numberSigns) notes(heading string) (notes []string) {
	if s.decimalCommas() {
		notes = append(notes, fmt.Sprintf("the numbers of %q have decimal commas", heading))
	}
	switch commas, points := s.commaGroups && !s.commaDecimal && !s.pointGroups, s.pointGroups && !s.pointDecimal && !s.commaGroups; {
	case commas:
		notes = append(notes, fmt.Sprintf("the numbers of %q have commas between thousands", heading))
	case points:
		notes = append(notes, fmt.Sprintf("the numbers of %q have points between thousands", heading))
	}
	return notes
}
