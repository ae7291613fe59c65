package xlsx

import (
	"bytes"
	"fmt"

	"github.com/xuri/excelize/v2"
)

// scannedCell is a cell that holds a value or a formula.
type scannedCell struct {
	text   string
	source string // of a formula without a stored value, with its "="

	// Where text and source are in the texts of the row, while it is read; no part of a workbook is longer than these reach.
	textFrom, textTo, sourceFrom, sourceTo uint32

	column  int // from 0
	style   uint32
	formula bool
	number  bool // stored as a number
	stored  bool // a value is stored, be it an empty text
}

// storage is how the value of a cell is stored.
type storage int

const (
	direct storage = iota
	directText
	sharedText
	inlineText
)

// cell reads the cell that has just been started, in the column after the given one unless it says another.
func (s *scannedSheet) cell(row uint32, after int) (int, error) {
	c := s.add(after + 1)
	how, err := s.cellTag(c, row)
	switch {
	case err != nil:
		return 0, err
	case c.column <= after:
		return 0, &CellError{fmt.Sprintf("is damaged: cell %s stands after cell %s", cellName(c.column, row), cellName(after, row))}
	case c.column >= MostColumns:
		return 0, &CellError{fmt.Sprintf("has more cells in row %d than the %d columns of a sheet", row, MostColumns)}
	}
	value, inline := false, false
	var inlineFrom, inlineTo uint32
	for {
		kind, err := s.xml.next()
		from := uint32(len(s.texts))
		switch {
		case err != nil:
			return 0, err
		case kind == tokenText:
		case kind == tokenEnd:
			if how == inlineText && inline {
				c.textFrom, c.textTo = inlineFrom, inlineTo
			}
			empty := c.textTo == c.textFrom
			c.stored = value && (!empty || how == directText) || how == inlineText && inline
			column := c.column
			return column, s.keep(c, how, row)
		case string(s.xml.name) == "v" && !value:
			value = true
			s.texts, err = s.xml.appendText(s.texts)
			c.textFrom, c.textTo = from, uint32(len(s.texts))
		case string(s.xml.name) == "f" && !c.formula:
			if err = s.checkFormula(); err == nil {
				c.formula = true
				s.texts, err = s.xml.appendText(append(s.texts, '='))
				c.sourceFrom, c.sourceTo = from, uint32(len(s.texts))
			}
		case string(s.xml.name) == "is" && !inline:
			inline = true
			s.texts, err = s.xml.appendRich(s.texts)
			inlineFrom, inlineTo = from, uint32(len(s.texts))
		default:
			err = fmt.Errorf("element %q in a cell %w", s.xml.name, errNotRecognised)
		}
		if err != nil {
			return 0, err
		}
	}
}

// plainCell reads a cell that is written as most are:
//
//	<c r="B7" s="1" t="s"><v>12</v></c>
//	<c r="B7" t="inlineStr"><is><t>text</t></is></c>
//
// Where anything else comes next, or not all of it is in the window, nothing is read and the column stays as it is.
func (s *scannedSheet) plainCell(row uint32, after int) (int, error) {
	rest := cursor{text: s.xml.window[s.xml.at:]}
	if s.xml.empty || !rest.pass(`<c r="`) {
		return after, nil
	}
	column, number, ok := parseCellName(rest.upTo('"'))
	if !ok || number != row || column <= after || column >= MostColumns {
		return after, nil
	}
	how, style := direct, uint64(0)
	if rest.pass(`" s="`) {
		if style, ok = parseCount(rest.upTo('"')); !ok {
			return after, nil
		}
	}
	if rest.pass(`" t="`) {
		if how, ok = storedAs(rest.upTo('"')); !ok {
			return after, nil
		}
	}
	start, end := `"><v>`, "</v></c>"
	if how == inlineText {
		start, end = `"><is><t>`, "</t></is></c>"
	}
	if !rest.pass(start) {
		return after, nil
	}
	value := rest.text[rest.at:]
	value = value[:plainLength(value)]
	rest.at += len(value)
	if len(value) == 0 || how == inlineText && bytes.IndexByte(value, '_') >= 0 || !rest.pass(end) {
		return after, nil
	}
	s.xml.at += rest.at
	c := s.add(column)
	c.style, c.stored = uint32(style), true
	c.textFrom = uint32(len(s.texts))
	s.texts = append(s.texts, value...)
	c.textTo = uint32(len(s.texts))
	return column, s.keep(c, how, row)
}

// add adds a cell to the row, of which keep tells whether it stays. It is written where it is to stand: copying it takes longer than
// the rest.
func (s *scannedSheet) add(column int) *scannedCell {
	s.cells = append(s.cells, scannedCell{column: column})
	return &s.cells[len(s.cells)-1]
}

// cursor is a place in a text.
type cursor struct {
	text []byte
	at   int
}

// pass passes over what is expected, if it comes next.
func (c *cursor) pass(expected string) bool {
	if len(c.text)-c.at < len(expected) || string(c.text[c.at:c.at+len(expected)]) != expected {
		return false
	}
	c.at += len(expected)
	return true
}

// upTo passes over what comes before a character, or the end of the text, and returns it.
func (c *cursor) upTo(end byte) []byte {
	from := c.at
	for c.at < len(c.text) && c.text[c.at] != end {
		c.at++
	}
	return c.text[from:c.at]
}

// cellTag reads the tag of a cell.
func (s *scannedSheet) cellTag(c *scannedCell, row uint32) (how storage, err error) {
	for _, a := range s.xml.attributes {
		name := localName(a.name)
		if len(name) != 1 {
			continue
		}
		ok := len(a.name) == 1
		switch name[0] {
		case 'r':
			var number uint32
			c.column, number, ok = parseCellName(a.value)
			ok = ok && number == row && len(a.name) == 1
		case 's':
			style, isCount := parseCount(a.value)
			c.style = uint32(style)
			ok = ok && isCount
		case 't':
			var known bool
			how, known = storedAs(a.value)
			ok = ok && known
		default:
			ok = true
		}
		if !ok {
			return how, fmt.Errorf("attribute %s=%q of a cell in row %d %w", a.name, a.value, row, errNotRecognised)
		}
	}
	return how, nil
}

func storedAs(how []byte) (storage, bool) {
	switch string(how) {
	case "n", "", "b", "e", "d":
		return direct, true
	case "s":
		return sharedText, true
	case "str":
		return directText, true
	case "inlineStr":
		return inlineText, true
	}
	return 0, false
}

// checkFormula looks for what would keep other readers from reading the formula.
func (s *scannedSheet) checkFormula() error {
	for _, a := range s.xml.attributes {
		ok := true
		switch string(localName(a.name)) {
		case "si":
			_, ok = parseCount(a.value)
		case "aca", "bx", "ca", "del1", "del2", "dt2D", "dtr":
			value := string(a.value)
			ok = value == "0" || value == "1" || value == "true" || value == "false"
		}
		if !ok {
			return fmt.Errorf("attribute %s=%q of a formula %w", a.name, a.value, errNotRecognised)
		}
	}
	return nil
}

// keep takes the cell that was added last off the row again unless it holds anything.
func (s *scannedSheet) keep(c *scannedCell, how storage, row uint32) error {
	raw := s.texts[c.textFrom:c.textTo]
	switch {
	case how == sharedText && len(raw) > 0:
		index, ok := parseCount(bytes.TrimSpace(raw))
		if !ok || index >= uint64(len(s.shared.places)) {
			return &CellError{fmt.Sprintf("is damaged: cell %s refers to the shared text %q of %d", cellName(c.column, row), raw, len(s.shared.places))}
		}
		c.text, c.textFrom, c.textTo = s.shared.text(index), 0, 0
		if !fits(c.text) {
			return tooLong(c.column, row)
		}
	case len(raw) > longestCell && !fits(string(raw)):
		return tooLong(c.column, row)
	}
	if !c.formula && len(raw) == 0 || !c.formula && how == sharedText && c.text == "" {
		s.cells = s.cells[:len(s.cells)-1]
		return nil
	}
	switch {
	case c.stored || !c.formula:
		c.sourceFrom, c.sourceTo = 0, 0
	case c.sourceTo > c.sourceFrom+1 && s.texts[c.sourceFrom+1] == '=':
		c.sourceFrom++
	}
	c.number = how == direct
	return nil
}

func tooLong(column int, row uint32) error {
	return &CellError{fmt.Sprintf("cell %s holds more than the %d characters of a cell", cellName(column, row), longestCell)}
}

// ColumnName returns the letters of a column, counted from 0; empty where no sheet has it.
func ColumnName(column int) string {
	name, err := excelize.ColumnNumberToName(column + 1)
	if err != nil {
		return ""
	}
	return name
}

func cellName(column int, row uint32) string {
	name, err := excelize.CoordinatesToCellName(column+1, int(row))
	if err != nil {
		return fmt.Sprintf("%d in row %d", column+1, row)
	}
	return name
}

// parseCellName reads the name of a cell into its column from 0 and its row from 1.
func parseCellName(name []byte) (column int, row uint32, ok bool) {
	i := 0
	for ; i < len(name) && i < 4; i++ {
		letter := name[i] &^ ('a' - 'A')
		if letter < 'A' || letter > 'Z' {
			break
		}
		column = column*26 + int(letter-'A') + 1
	}
	number, ok := parseCount(name[i:])
	return column - 1, uint32(number), ok && i > 0 && number <= MostRows
}

// parseCount reads a number of up to nine digits.
func parseCount(digits []byte) (uint64, bool) {
	value := uint64(0)
	for _, c := range digits {
		if c < '0' || c > '9' {
			return 0, false
		}
		value = value*10 + uint64(c-'0')
	}
	return value, len(digits) > 0 && len(digits) < 10
}
