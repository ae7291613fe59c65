package report

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// sheetRows are the rows of one sheet as its part of the workbook holds them (ECMA-376 part 1, 18.3.1), packed as they
// come. excelize writes the rest of the sheet; its own writer of rows took three times as long for the sheets that list
// every structure.
type sheetRows struct {
	packed *packed  // nil of rows that are made beside others
	xml    []byte   // of the rows that are not packed yet
	names  []string // of the columns
	row    int
	digits []byte // of the row number
	column int
}

func newSheetRows(columns int) (*sheetRows, error) {
	s := &sheetRows{packed: newPacked(), names: make([]string, columns)}
	for i := range s.names {
		name, err := excelize.ColumnNumberToName(i + 1)
		if err != nil {
			return nil, err
		}
		s.names[i] = name
	}
	return s, nil
}

// begin starts a row of some height in points.
func (s *sheetRows) begin(height float64) {
	s.row++
	s.column = 0
	s.digits = strconv.AppendInt(s.digits[:0], int64(s.row), 10)
	s.xml = append(s.xml, `<row r="`...)
	s.xml = append(s.xml, s.digits...)
	s.xml = append(s.xml, `" ht="`...)
	s.xml = strconv.AppendFloat(s.xml, height, 'f', -1, 64)
	s.xml = append(s.xml, `" customHeight="1">`...)
}

// end ends a row.
func (s *sheetRows) end() error {
	s.xml = append(s.xml, `</row>`...)
	if s.packed == nil {
		return nil
	}
	return s.pack()
}

func (s *sheetRows) pack() error {
	_, err := s.packed.Write(s.xml)
	s.xml = s.xml[:0]
	return err
}

// open begins the next cell; kind is the type of its value, "" for a number or none.
func (s *sheetRows) open(style int, kind string) {
	b := append(s.xml, `<c r="`...)
	b = append(b, s.names[s.column]...)
	b = append(b, s.digits...)
	if style != 0 {
		b = append(b, `" s="`...)
		b = strconv.AppendInt(b, int64(style), 10)
	}
	if kind != "" {
		b = append(b, `" t="`...)
		b = append(b, kind...)
	}
	s.xml = append(b, `">`...)
	s.column++
}

func (s *sheetRows) close() { s.xml = append(s.xml, `</c>`...) }

// blank writes a cell without a value.
func (s *sheetRows) blank(style int) {
	s.open(style, "")
	s.close()
}

// text writes a cell of text. It must be cellText.
func (s *sheetRows) text(style int, text string) { s.inline(style, text, s.escape) }

// kept writes a cell of text with all its characters, those that XML cannot hold by their escape.
func (s *sheetRows) kept(style int, text string) {
	s.inline(style, text, func(text string) {
		var b bytes.Buffer
		_ = xml.EscapeText(&b, []byte(withoutControls(underscored(text)))) // a buffer takes everything
		s.xml = append(s.xml, b.Bytes()...)
	})
}

func (s *sheetRows) inline(style int, text string, escape func(string)) {
	if text == "" {
		s.blank(style)
		return
	}
	s.open(style, "inlineStr")
	s.xml = append(s.xml, `<is><t`...)
	if strings.TrimSpace(text) != text {
		s.xml = append(s.xml, ` xml:space="preserve"`...)
	}
	s.xml = append(s.xml, '>')
	escape(text)
	s.xml = append(s.xml, `</t></is>`...)
	s.close()
}

// asManyAsNeeded is as many decimals as a number needs to be read back the same.
const asManyAsNeeded = -1

// number writes a cell of a number with so many decimals, or a blank one if it is unknown.
func (s *sheetRows) number(style int, x float64, digits int) {
	s.open(style, "")
	s.value(x, digits)
	s.close()
}

func (s *sheetRows) value(x float64, digits int) {
	if unknown(x) {
		return
	}
	b := append(s.xml, `<v>`...)
	if digits == asManyAsNeeded {
		b = appendShortest(b, x)
	} else {
		b = appendDecimals(b, x, digits)
	}
	s.xml = append(b, `</v>`...)
}

// formula writes a cell of a formula and the number that it gives.
func (s *sheetRows) formula(style int, formula string, gives float64) {
	s.open(style, "")
	s.xml = append(s.xml, `<f>`...)
	s.escape(formula)
	s.xml = append(s.xml, `</f>`...)
	s.value(gives, asManyAsNeeded)
	s.close()
}

// textFormula writes a cell of a formula and the text that it gives.
func (s *sheetRows) textFormula(style int, formula, gives string) {
	s.open(style, "str")
	s.xml = append(s.xml, `<f>`...)
	s.escape(formula)
	s.xml = append(s.xml, `</f><v>`...)
	s.escape(gives)
	s.xml = append(s.xml, `</v>`...)
	s.close()
}

// escape writes text as XML. A text that has the form of the escape _xHHHH_ (ECMA-376 part 1, 22.9.2.19) is escaped by
// its underscore, so that it stays as it is.
func (s *sheetRows) escape(text string) {
	for i := range len(text) {
		if c := text[i]; c < ' ' || c == '&' || c == '<' || c == '>' || c == '"' || c == '\'' || c == '_' {
			var b bytes.Buffer
			_ = xml.EscapeText(&b, []byte(underscored(text))) // a buffer takes everything
			s.xml = append(s.xml, b.Bytes()...)
			return
		}
	}
	s.xml = append(s.xml, text...)
}

// underscored writes the first underscore of every _xHHHH_ as _x005F_.
func underscored(text string) string {
	if !strings.Contains(text, "_x") { // as nearly none does
		return text
	}
	var b strings.Builder
	for i := range len(text) {
		b.WriteByte(text[i])
		if isEscape(text[i:]) {
			b.WriteString("x005F_")
		}
	}
	return b.String()
}

// withoutControls writes what XML cannot hold, and the carriage return that it would make an end of line, as _xHHHH_ (ECMA-376 part
// 1, 22.9.2.19).
func withoutControls(text string) string {
	var b strings.Builder
	for _, r := range text {
		if r < ' ' && r != '\t' && r != '\n' || r == 0xFFFE || r == 0xFFFF {
			fmt.Fprintf(&b, "_x%04X_", r)
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}

// escapeLength is how long an escape is.
const escapeLength = len("_x0000_")

func isEscape(text string) bool {
	if len(text) < escapeLength || text[0] != '_' || text[1] != 'x' || text[6] != '_' {
		return false
	}
	_, err := strconv.ParseUint(text[2:6], 16, 16)
	return err == nil
}
