package read

import (
	"bytes"
	"context"
	"fmt"
	"io"

	"github.com/xuri/excelize/v2"
)

// cellKind is what the value of a cell was stored as.
type cellKind int

const (
	numberCell cellKind = iota
	textCell
	boolCell  // 1 or 0
	errorCell // such as #N/A
	dateCell  // as ISO 8601; most dates are numbers whose style is one of dates
)

// scannedCell is a cell that holds a value or a formula.
type scannedCell struct {
	column  int // from 0
	kind    cellKind
	style   int // of its number format, see dateStyles
	text    string
	formula bool
	stored  bool   // a value is stored, be it an empty text
	source  string // of a formula without a stored value, with its "="

	// Where text and source are in the texts of the row, while it is read.
	textFrom, textTo, sourceFrom, sourceTo int
}

// scannedSheet goes through the rows of a sheet that hold anything.
type scannedSheet struct {
	number uint32 // of the row in the spreadsheet, from 1
	hidden bool
	cells  []scannedCell // by column; used again for the next row
	err    error

	part   io.ReadCloser
	xml    *xmlScanner
	shared []string
	texts  []byte
	done   bool
}

// cellError says that a row or a cell cannot be used as it is.
type cellError struct{ message string }

func (e *cellError) Error() string { return e.message }

// lastRowNumber and lastColumn bound a sheet (ECMA-376-1:2016 leaves it open; every spreadsheet program has these).
const (
	lastRowNumber = 1 << 20
	lastColumn    = 1 << 14
)

// rows starts to read a sheet. It must be closed.
func (b *scanBook) rows(ctx context.Context, name string) (*scannedSheet, error) {
	part := ""
	for _, sheet := range b.sheets {
		if sheet.name == name {
			part = sheet.part
		}
	}
	if err := b.loadShared(ctx); err != nil {
		return nil, err
	}
	unpacked, err := b.unpack(ctx, part, largestPart)
	if err != nil {
		return nil, err
	}
	s := &scannedSheet{part: unpacked, shared: b.shared}
	if s.xml, err = newXMLScanner(unpacked); err == nil {
		err = s.findRows()
	}
	if err != nil {
		s.close()
		return nil, err
	}
	return s, nil
}

func (s *scannedSheet) close() { s.part.Close() }

// findRows goes to the first row.
func (s *scannedSheet) findRows() error {
	if err := s.xml.root("worksheet"); err != nil {
		return err
	}
	for {
		kind, err := s.xml.next()
		switch {
		case err != nil:
			return err
		case kind == tokenEnd:
			s.done = true
			return s.drain()
		case kind == tokenText:
		case string(s.xml.name) == "sheetData":
			return nil
		case string(s.xml.name) == "row":
			return fmt.Errorf("row outside the rows %w", errNotRecognised)
		default:
			if err := s.skipOther(); err != nil {
				return err
			}
		}
	}
}

// skipOther passes over an element before the rows, in which there must be none.
func (s *scannedSheet) skipOther() error {
	for depth := 1; depth > 0; {
		switch kind, err := s.xml.next(); {
		case err != nil:
			return err
		case kind == tokenStart && (string(s.xml.name) == "row" || string(s.xml.name) == "sheetData"):
			return fmt.Errorf("row outside the rows %w", errNotRecognised)
		case kind == tokenStart:
			depth++
		case kind == tokenEnd:
			depth--
		}
	}
	return nil
}

// drain reads what comes after the rows, by which the archive proves that they came out right.
func (s *scannedSheet) drain() error {
	_, err := io.Copy(io.Discard, s.part)
	if err == nil && s.xml.ended != nil && s.xml.ended != io.EOF {
		err = s.xml.ended
	}
	return err
}

// next goes to the next row that holds anything.
func (s *scannedSheet) next() bool {
	for s.err == nil && !s.done {
		kind, err := s.xml.next()
		switch {
		case err != nil:
			s.err = err
		case kind == tokenText:
		case kind == tokenEnd:
			s.done = true
			s.err = s.drain()
		case string(s.xml.name) != "row":
			s.err = fmt.Errorf("element %q among rows %w", s.xml.name, errNotRecognised)
		default:
			if s.err = s.row(); s.err == nil && len(s.cells) > 0 {
				return true
			}
		}
	}
	return false
}

// row reads the row that has just been started. Until it has ended, number is that of the row before.
func (s *scannedSheet) row() error {
	number, err := s.rowNumber()
	if err != nil {
		return err
	}
	s.cells, s.texts = s.cells[:0], s.texts[:0]
	for column := -1; ; {
		if next, err := s.plainCell(number, column); err != nil {
			return err
		} else if next > column {
			column = next
			continue
		}
		kind, err := s.xml.next()
		switch {
		case err != nil:
			return err
		case kind == tokenText:
			continue
		case kind == tokenEnd:
			s.number = number
			all := string(s.texts)
			for i := range s.cells {
				c := &s.cells[i]
				if c.textTo > c.textFrom {
					c.text = all[c.textFrom:c.textTo]
				}
				c.source = all[c.sourceFrom:c.sourceTo]
			}
			return nil
		case string(s.xml.name) != "c":
			return fmt.Errorf("element %q in a row %w", s.xml.name, errNotRecognised)
		}
		if column, err = s.cell(number, column); err != nil {
			return err
		}
	}
}

// rowNumber reads the tag of a row.
func (s *scannedSheet) rowNumber() (uint32, error) {
	number := s.number + 1
	s.hidden = false
	for _, a := range s.xml.attributes {
		switch name := localName(a.name); {
		case len(name) != len(a.name) && (string(name) == "r" || string(name) == "hidden"):
			return 0, fmt.Errorf("attribute %q of a row %w", a.name, errNotRecognised)
		case string(name) == "hidden":
			s.hidden = string(a.value) == "1" || string(a.value) == "true"
		case string(name) == "r":
			n, ok := parseCount(a.value)
			if !ok || n == 0 || n > lastRowNumber {
				return 0, fmt.Errorf("row number %q %w", a.value, errNotRecognised)
			}
			number = uint32(n)
		}
	}
	switch {
	case number > lastRowNumber:
		return 0, &cellError{fmt.Sprintf("has more rows than the %d of a sheet", lastRowNumber)}
	case number <= s.number:
		return 0, &cellError{fmt.Sprintf("is damaged: row %d stands after row %d", number, s.number)}
	}
	return number, nil
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
	c := scannedCell{column: after + 1}
	how, err := s.cellTag(&c, row)
	switch {
	case err != nil:
		return 0, err
	case c.column <= after:
		return 0, &cellError{fmt.Sprintf("is damaged: cell %s stands after cell %s", cellName(c.column, row), cellName(after, row))}
	case c.column >= lastColumn:
		return 0, fmt.Errorf("column %d %w", c.column+1, errNotRecognised)
	}
	value, inline := false, false
	var inlineFrom, inlineTo int
	for {
		kind, err := s.xml.next()
		from := len(s.texts)
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
			return c.column, s.keep(&c, how, row)
		case string(s.xml.name) == "v" && !value:
			value = true
			s.texts, err = s.xml.appendText(s.texts)
			c.textFrom, c.textTo = from, len(s.texts)
		case string(s.xml.name) == "f" && !c.formula:
			if err = s.checkFormula(); err == nil {
				c.formula = true
				s.texts, err = s.xml.appendText(append(s.texts, '='))
				c.sourceFrom, c.sourceTo = from, len(s.texts)
			}
		case string(s.xml.name) == "is" && !inline:
			inline = true
			s.texts, err = s.xml.appendRich(s.texts)
			inlineFrom, inlineTo = from, len(s.texts)
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
//
// Where anything else comes next, or not all of it is in the window, nothing is read and the column stays as it is.
func (s *scannedSheet) plainCell(row uint32, after int) (int, error) {
	const tag, style, kind, value, end = `<c r="`, ` s="`, ` t="`, "><v>", "</v></c>"
	if s.xml.empty {
		return after, nil
	}
	rest := s.xml.window[s.xml.at:]
	if !startsWith(rest, 0, tag) {
		return after, nil
	}
	var c scannedCell
	var how storage
	i := len(tag)
	length := bytes.IndexByte(rest[i:], '"')
	if length < 0 {
		return after, nil
	}
	column, number, ok := parsePlace(rest[i : i+length])
	if !ok || number != row || column <= after || column >= lastColumn {
		return after, nil
	}
	c.column = column
	i += length + 1
	if startsWith(rest, i, style) {
		i += len(style)
		from := i
		for i < len(rest) && rest[i] != '"' {
			i++
		}
		n, ok := parseCount(rest[from:i])
		if !ok {
			return after, nil
		}
		c.style = int(n)
		i++
	}
	if startsWith(rest, i, kind) {
		i += len(kind)
		from := i
		for i < len(rest) && rest[i] != '"' {
			i++
		}
		if c.kind, how, ok = storedAs(rest[from:i]); !ok {
			return after, nil
		}
		i++
	}
	if !startsWith(rest, i, value) {
		return after, nil
	}
	i += len(value)
	from := i
	for i < len(rest) && rest[i] != '<' {
		i++
	}
	raw := rest[from:i]
	if len(raw) == 0 || !startsWith(rest, i, end) || !isPlain(raw) {
		return after, nil
	}
	s.xml.at += i + len(end)
	c.stored = true
	c.textFrom = len(s.texts)
	s.texts = append(s.texts, raw...)
	c.textTo = len(s.texts)
	return column, s.keep(&c, how, row)
}

func startsWith(text []byte, at int, start string) bool {
	return len(text)-at >= len(start) && string(text[at:at+len(start)]) == start
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
			c.column, number, ok = parsePlace(a.value)
			ok = ok && number == row && len(a.name) == 1
		case 's':
			style, isCount := parseCount(a.value)
			c.style, ok = int(style), ok && isCount
		case 't':
			var known bool
			c.kind, how, known = storedAs(a.value)
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

func storedAs(how []byte) (cellKind, storage, bool) {
	switch string(how) {
	case "n", "":
		return numberCell, direct, true
	case "s":
		return textCell, sharedText, true
	case "str":
		return textCell, directText, true
	case "inlineStr":
		return textCell, inlineText, true
	case "b":
		return boolCell, direct, true
	case "e":
		return errorCell, direct, true
	case "d":
		return dateCell, direct, true
	}
	return 0, 0, false
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

// keep adds a cell to the row if it holds anything.
func (s *scannedSheet) keep(c *scannedCell, how storage, row uint32) error {
	raw := s.texts[c.textFrom:c.textTo]
	switch {
	case how == sharedText && len(raw) > 0:
		index, ok := parseCount(bytes.TrimSpace(raw))
		if !ok || index >= uint64(len(s.shared)) {
			return &cellError{fmt.Sprintf("is damaged: cell %s refers to the shared text %q of %d", cellName(c.column, row), raw, len(s.shared))}
		}
		c.text, c.textFrom, c.textTo = s.shared[index], 0, 0
		if !fits(c.text) {
			return tooLong(c.column, row)
		}
	case len(raw) > longestCell && !fits(string(raw)):
		return tooLong(c.column, row)
	}
	if !c.formula && len(raw) == 0 || !c.formula && how == sharedText && c.text == "" {
		return nil
	}
	switch {
	case c.stored || !c.formula:
		c.sourceFrom, c.sourceTo = 0, 0
	case c.sourceTo > c.sourceFrom+1 && s.texts[c.sourceFrom+1] == '=':
		c.sourceFrom++
	}
	s.cells = append(s.cells, *c)
	return nil
}

func tooLong(column int, row uint32) error {
	return &cellError{fmt.Sprintf("cell %s holds more than the %d characters of a cell", cellName(column, row), longestCell)}
}

func cellName(column int, row uint32) string {
	name, err := excelize.CoordinatesToCellName(column+1, int(row))
	if err != nil {
		return fmt.Sprintf("%d in row %d", column+1, row)
	}
	return name
}

// parsePlace reads the name of a cell into its column from 0 and its row from 1.
func parsePlace(name []byte) (column int, row uint32, ok bool) {
	i := 0
	for ; i < len(name) && i < 4; i++ {
		letter := name[i] &^ ('a' - 'A')
		if letter < 'A' || letter > 'Z' {
			break
		}
		column = column*26 + int(letter-'A') + 1
	}
	number, ok := parseCount(name[i:])
	return column - 1, uint32(number), ok && i > 0 && number <= lastRowNumber
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
