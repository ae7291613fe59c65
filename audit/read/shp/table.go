package shp

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"
)

// The header of a table has 32 bytes: its kind, the day of the last change, the number of rows (4 bytes, little-endian),
// the lengths of header and row (2 bytes each) and, at byte 29, the language driver. A field takes 32 more: its name (11 bytes,
// ended by a zero), its type, and at byte 16 its length. A CR ends them. A row starts with a blank, or an asterisk where it
// is deleted; its fields follow at their full lengths. The byte 0x1A ends the table.
const (
	tableHeader = 32
	fieldBytes  = 32
	nameBytes   = 11
	endOfFields = '\r'
	endOfTable  = 0x1a
	deletedRow  = '*'
)

// field is a column of the table.
type field struct {
	name   string
	kind   byte
	length int
}

// table goes through the rows of the table.
type table struct {
	in       io.Reader
	encoding Encoding
	fields   []field
	rows     uint32
	number   uint32 // of the row, from 1
	row      []byte
	starred  int // numbers that are asterisks
	cut      int // texts that end in a part of a character
}

// tableShape is what the header of a table says.
type tableShape struct {
	rows   uint32
	driver byte // the language driver
	row    int  // bytes
	fields []byte
}

func readTableHeader(in io.Reader) (shape tableShape, err error) {
	var raw [tableHeader]byte
	if err := readFull(Table, in, raw[:], "its header"); err != nil {
		return shape, err
	}
	length := int(binary.LittleEndian.Uint16(raw[8:]))
	shape = tableShape{rows: binary.LittleEndian.Uint32(raw[4:]), driver: raw[29], row: int(binary.LittleEndian.Uint16(raw[10:]))}
	if length <= tableHeader || shape.row < 1 {
		return shape, damaged(Table, "says that its header has %d bytes and each row %d, expected more than %d and 1", length, shape.row, tableHeader)
	}
	shape.fields = make([]byte, length-tableHeader)
	return shape, readFull(Table, in, shape.fields, "its fields")
}

// newTable reads the header and the fields of a table.
func newTable(in io.Reader, encoding Encoding) (*table, error) {
	shape, err := readTableHeader(in)
	if err != nil {
		return nil, err
	}
	return shape.table(in, encoding)
}

// table reads the fields and goes to the first row.
func (shape *tableShape) table(in io.Reader, encoding Encoding) (*table, error) {
	t := &table{in: in, encoding: encoding, rows: shape.rows, row: make([]byte, shape.row)}
	known := map[string]bool{}
	sum := 1
	for rest := shape.fields; ; rest = rest[fieldBytes:] {
		if len(rest) > 0 && rest[0] == endOfFields {
			break
		}
		if len(rest) < fieldBytes {
			return nil, damaged(Table, "has fields that do not end within its header")
		}
		f := field{kind: rest[11], length: int(rest[16])}
		name, _, _ := bytes.Cut(rest[:nameBytes], []byte{0})
		var err error
		if f.name, err = encoding.name(name); err != nil {
			return nil, damaged(Table, "has a name of field %d, %q, that %v", len(t.fields)+1, name, err)
		}
		f.name = strings.TrimSpace(f.name)
		switch {
		case strings.IndexByte("CNFDL", f.kind) >= 0:
		case f.kind == 'M':
			return nil, damaged(Table, "has the memo field %q, whose texts are in another file, expected texts, numbers, dates and logical values", f.name)
		default:
			return nil, damaged(Table, "has the field %q of the type %q, expected C, N, F, D or L", f.name, string(rune(f.kind)))
		}
		if known[f.name] {
			return nil, damaged(Table, "has two fields %q", f.name)
		}
		known[f.name] = true
		sum += f.length
		t.fields = append(t.fields, f)
	}
	if sum != shape.row {
		return nil, damaged(Table, "says that each row has %d bytes, but its fields have %d", shape.row, sum)
	}
	return t, nil
}

// next goes to the next row; false without an error is the end.
func (t *table) next() (bool, error) {
	if t.number == t.rows {
		return false, nil
	}
	t.number++
	if err := readFull(Table, t.in, t.row, "row %d of %d", t.number, t.rows); err != nil {
		return false, err
	}
	if mark := t.row[0]; mark != ' ' && mark != deletedRow {
		return false, damaged(Table, "has a row %d that starts with %q, expected a blank or, of a deleted one, an asterisk", t.number, string(mark))
	}
	return true, nil
}

// end looks whether the table ends where its last row does.
func (t *table) end() error {
	var mark [1]byte
	n, err := io.ReadFull(t.in, mark[:])
	switch {
	case n == 0 && err == io.EOF:
		return nil
	case err != nil:
		return err
	case mark[0] != endOfTable:
		return damaged(Table, "goes on behind the %d rows that its header gives it", t.rows)
	}
	return nil
}

func (t *table) deleted() bool { return t.row[0] == deletedRow }

// values reads the values of the row: nil where blank, a bool, a time.Time of a date, a Number, or a text. What is no value
// of its field's type is a text.
func (t *table) values(to []any) ([]any, error) {
	at := 1
	for _, f := range t.fields {
		raw := t.row[at : at+f.length]
		at += f.length
		if f.kind == 'C' {
			text, err := t.text(raw, f)
			if err != nil {
				return nil, err
			}
			to = append(to, text)
			continue
		}
		plain := bytes.Trim(raw, " \x00")
		if isASCII(plain) {
			to = append(to, t.plain(f.kind, string(plain)))
			continue
		}
		text, err := t.text(raw, f)
		if err != nil {
			return nil, err
		}
		to = append(to, text)
	}
	return to, nil
}

// Number is a number as it is written, which is one of JSON.
type Number string

// plain reads a value that is no text.
func (t *table) plain(kind byte, text string) any {
	switch {
	case text == "":
		return nil
	case kind == 'D':
		if text == "00000000" {
			return nil
		}
		if day, err := time.Parse("20060102", text); err == nil {
			return day
		}
	case kind == 'L':
		switch text {
		case "T", "t", "Y", "y":
			return true
		case "F", "f", "N", "n":
			return false
		case "?":
			return nil
		}
	case strings.Trim(text, "*") == "":
		t.starred++
		return nil
	case isNumber(text):
		return Number(text)
	}
	return text
}

// isNumber tells whether a text is a number as JSON writes them.
func isNumber(text string) bool {
	digits := func() bool {
		from := len(text)
		text = strings.TrimLeft(text, "0123456789")
		return len(text) < from
	}
	text = strings.TrimPrefix(text, "-")
	if strings.HasPrefix(text, "0") && len(text) > 1 && text[1] >= '0' && text[1] <= '9' || !digits() {
		return false
	}
	if strings.HasPrefix(text, ".") {
		if text = text[1:]; !digits() {
			return false
		}
	}
	if text != "" && (text[0] == 'e' || text[0] == 'E') {
		if text = text[1:]; text != "" && (text[0] == '+' || text[0] == '-') {
			text = text[1:]
		}
		return digits() && text == ""
	}
	return text == ""
}

func isASCII(text []byte) bool {
	for _, c := range text {
		if c >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// text decodes a text; nil where it is blank. One that fills its field may end in a part of a character, which is left out.
func (t *table) text(raw []byte, f field) (any, error) {
	raw, _, _ = bytes.Cut(raw, []byte{0})
	full := len(raw) == f.length && len(raw) > 0 && raw[len(raw)-1] != ' '
	raw = bytes.Trim(raw, " ")
	if len(raw) == 0 {
		return nil, nil
	}
	text, err := t.encoding.decode(raw)
	if err != nil && full && t.encoding.isUTF8() {
		if whole := wholeCharacters(raw); utf8.Valid(whole) && len(whole) < len(raw) {
			t.cut++
			return string(whole), nil
		}
	}
	if err != nil {
		return nil, &EncodingError{fmt.Sprintf("row %d of the table has in %q a text that %v", t.number, f.name, err)}
	}
	return text, nil
}

// wholeCharacters is a text in UTF-8 without the part of a character at its end.
func wholeCharacters(raw []byte) []byte {
	for i := len(raw) - 1; i >= max(0, len(raw)-utf8.UTFMax+1); i-- {
		if utf8.RuneStart(raw[i]) {
			if !utf8.FullRune(raw[i:]) {
				return raw[:i]
			}
			break
		}
	}
	return raw
}
