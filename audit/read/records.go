package read

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"math/bits"
	"strings"
	"unicode/utf8"

	"dryarc/audit/read/xlsx"
)

// recordReader goes through the records of a text whose cells stand between commas, semicolons or tabs, as RFC 4180
// has it, and holds no more of the text than one record. Beyond that standard, rows may end with CR alone, a quote within
// an unquoted cell stands for itself (5" disc), and blank lines are no records.
type recordReader struct {
	text   *textReader
	block  []byte // room for the window
	window []byte // read from the text, whole characters
	begun  []byte // the start of a character whose end is not yet read
	at     int    // of what is not yet passed in the window
	piece  string // of the window, whose parts are cells
	from   int    // where it starts there
	ended  error  // why nothing can be read beyond the window
	failed error  // the same once the window is passed, unless it is the end
	comma  byte
	line   int64 // at which at is, from 1

	number uint32   // line at which the record starts
	open   bool     // the text ends with it, without a line end
	apart  bool     // blank lines stand before it
	cells  []string // used again for the next record
	ends   []int
	record []byte // its cells without their quotes, one after the other
}

// recordError says what is wrong with a text and what helps.
type recordError struct{ message, hint string }

func (e *recordError) Error() string { return e.message }

// Limits of a text, in bytes. A longer cell is a quote that is never closed, or the text is no table.
const (
	recordBlock   = 256 << 10
	longestCSV    = 1 << 20 // of a cell
	longestRecord = 16 << 20
	longestPlain  = 4 << 10          // of a record without more ado, which thus has no more cells than a sheet has columns
	piecePlain    = 4 * longestPlain // of such records that are taken together (a choice of this program)
)

const quoteHint = "put quotes around a cell that holds one, and double those within it"

var (
	errNotUTF8 = errors.New("is not in UTF-8")

	errZero = &recordError{"is neither a workbook nor a table of text", readableHint}
)

// newRecordReader finds out what stands between the cells.
func newRecordReader(in io.Reader, stated textEncoding) (*recordReader, error) {
	r := &recordReader{text: newTextReader(in, stated), block: make([]byte, 0, recordBlock), line: 1}
	if r.more(); r.ended == errZero {
		return nil, r.ended
	}
	if len(r.window) == 0 && r.ended == io.EOF {
		return nil, &recordError{"is empty, expected a table with headings in its first row", readableHint}
	}
	if bytes.HasPrefix(r.window, []byte("\xef\xbb\xbf")) {
		r.at = 3
	}
	text := r.window[r.at:]
	head, rest, _ := bytes.Cut(text, []byte("\n"))
	if head = bytes.TrimRight(head, "\r"); len(head) == 5 && strings.EqualFold(string(head[:4]), "sep=") {
		r.comma, r.at, r.line = head[4], len(r.window)-len(rest), 2
		return r, nil
	}
	r.comma = separator(text)
	return r, nil
}

// separator finds the character that stands between the cells: the one that parts the most of the first lines into at
// least three cells, then the most frequent one.
func separator(text []byte) byte {
	const looked = 30
	text = text[:min(len(text), 64<<10)]
	best, bestLines, bestCount := byte(','), 0, 0
	for _, candidate := range [...]byte{',', ';', '\t'} {
		lines, count, here, quoted := 0, 0, 0, false
		line := 0
		for i := 0; i <= len(text) && line < looked; i++ {
			switch {
			case i == len(text) || !quoted && (text[i] == '\n' || text[i] == '\r'):
				if here > 1 {
					lines++
				}
				count += here
				here = 0
				line++
			case text[i] == '"':
				quoted = !quoted
			case text[i] == candidate && !quoted:
				here++
			}
		}
		if lines > bestLines || lines == bestLines && count > bestCount {
			best, bestLines, bestCount = candidate, lines, count
		}
	}
	return best
}

// here tells whether a character is left, which then stands at its place in the window.
func (r *recordReader) here() bool { return r.at < len(r.window) || r.more() }

// more reads on where all of the window has been passed.
func (r *recordReader) more() bool {
	if r.ended != nil {
		if r.ended != io.EOF {
			r.failed = r.ended
		}
		return false
	}
	r.at, r.from, r.piece = 0, 0, ""
	block := append(r.block[:0], r.begun...)
	for n := 0; len(block) < cap(block) && r.ended == nil; block = block[:len(block)+n] {
		n, r.ended = r.text.Read(block[len(block):cap(block)])
	}
	length, err := wholeText(block)
	r.window, r.begun = block[:length], append(r.begun[:0], block[length:]...)
	switch {
	case err != nil:
		r.ended = err
	case r.ended == io.EOF && len(r.begun) > 0:
		r.ended = errNotUTF8
	}
	return len(r.window) > 0 || r.more()
}

// wholeText returns how much of a text is whole characters; the rest is the start of one, or the error says what it is.
func wholeText(text []byte) (length int, err error) {
	if i := bytes.IndexByte(text, 0); i >= 0 {
		text, err = text[:i], errZero
	}
	for i := len(text) - 1; err == nil && i >= max(0, len(text)-utf8.UTFMax+1); i-- {
		if utf8.RuneStart(text[i]) {
			if !utf8.FullRune(text[i:]) {
				text = text[:i]
			}
			break
		}
	}
	if utf8.Valid(text) {
		return len(text), err
	}
	for {
		r, size := utf8.DecodeRune(text[length:])
		if r == utf8.RuneError && size <= 1 {
			return length, errNotUTF8
		}
		length += size
	}
}

// next goes to the next record; false without an error is the end.
func (r *recordReader) next() (bool, error) {
	before := r.line
	r.passBlankLines()
	r.apart = r.line > before
	if r.at == len(r.window) {
		return false, r.problem()
	}
	if r.line > math.MaxUint32 {
		return false, &recordError{fmt.Sprintf("has more than %d lines", uint32(math.MaxUint32)), fullHint}
	}
	r.number, r.open = uint32(r.line), false
	r.record, r.ends, r.cells = r.record[:0], r.ends[:0], r.cells[:0]
	if r.plain() {
		return !r.endsByMark(), nil
	}
	for more := true; more; {
		if len(r.ends) == xlsx.MostColumns {
			return false, &recordError{fmt.Sprintf("line %d has more than %d cells, expected no more than a sheet has columns", r.number, xlsx.MostColumns), tableHint}
		}
		var err error
		if more, err = r.cell(); err != nil {
			return false, err
		}
		r.ends = append(r.ends, len(r.record))
	}
	all, from := string(r.record), 0
	for _, end := range r.ends {
		r.cells = append(r.cells, all[from:end])
		from = end
	}
	return !r.endsByMark(), nil
}

// take goes to the next record, as next does, and hands it out as a row.
func (r *recordReader) take(to *row) (bool, error) {
	more, err := r.next()
	if more {
		to.number, to.cells, to.apart, to.open = r.number, r.cells, r.apart, r.open
	}
	return more, err
}

// plain takes a record as nearly all are: a line without a quote that is not long and ends within the window. Of anything else it
// takes nothing.
func (r *recordReader) plain() bool {
	rest := r.window[r.at:]
	line, _, ends := bytes.Cut(rest[:min(len(rest), longestPlain)], []byte{'\n'})
	length := len(line)
	line = bytes.TrimSuffix(line, []byte{'\r'})
	if !ends || bytes.IndexByte(line, '"') >= 0 || bytes.IndexByte(line, '\r') >= 0 {
		return false
	}
	r.cells = cutAt(r.comma, r.textOf(r.at, r.at+len(line)), r.cells)
	r.at += length + 1
	r.line++
	return true
}

// textOf is a part of the window as a text that stays as it is. It is taken together with what follows, since a piece of memory for each
// record costs more than to read it.
func (r *recordReader) textOf(from, to int) string {
	if to > r.from+len(r.piece) {
		r.from, r.piece = from, string(r.window[from:min(len(r.window), from+piecePlain)])
	}
	return r.piece[from-r.from : to-r.from]
}

// cutAt adds the pieces of a text between which a character stands to others. It looks at eight bytes at a time, since most cells have fewer.
func cutAt(comma byte, text string, pieces []string) []string {
	const ones, low = 0x0101010101010101, 0x7f7f7f7f7f7f7f7f
	from, at := 0, 0
	for ; at+8 <= len(text); at += 8 {
		unlike := eightBytes(text, at) ^ ones*uint64(comma)
		// the high bit of each byte in which nothing is unlike
		for alike := ^((unlike&low + low) | unlike | low); alike != 0; alike &= alike - 1 {
			end := at + bits.TrailingZeros64(alike)/8
			pieces = append(pieces, text[from:end])
			from = end + 1
		}
	}
	for ; at < len(text); at++ {
		if text[at] == comma {
			pieces = append(pieces, text[from:at])
			from = at + 1
		}
	}
	return append(pieces, text[from:])
}

// eightBytes are those of a text from a place on as one number, the first the lowest.
func eightBytes(text string, at int) uint64 {
	t := text[at : at+8]
	return uint64(t[0]) | uint64(t[1])<<8 | uint64(t[2])<<16 | uint64(t[3])<<24 | uint64(t[4])<<32 | uint64(t[5])<<40 | uint64(t[6])<<48 | uint64(t[7])<<56
}

// endsByMark takes the mark off the last record by which old programs end a text, and tells whether nothing else is in it.
func (r *recordReader) endsByMark() bool {
	last := &r.cells[len(r.cells)-1]
	if !strings.HasSuffix(*last, endMark) || r.here() {
		return false
	}
	*last, r.open = strings.TrimRight(*last, endMark), false
	return len(r.cells) == 1 && *last == ""
}

// endMark is the character SUB, code 26.
const endMark = "\x1a"

// passBlankLines goes to the next line that is not blank, or to the end.
func (r *recordReader) passBlankLines() {
	for r.here() {
		rest := r.window[r.at:]
		blank := 0
		for blank < len(rest) && rest[blank] == '\n' {
			blank++
		}
		r.at += blank
		r.line += int64(blank)
		switch {
		case blank == len(rest):
		case rest[blank] != '\r':
			return
		default:
			r.endLine()
		}
	}
}

const tableHint = "see that it is the file meant, a table with one row for each assembly"

// problem words why nothing can be read beyond a place, nil at the end of the text.
func (r *recordReader) problem() error {
	switch r.failed {
	case errNotUTF8:
		return &recordError{fmt.Sprintf("line %d is not in UTF-8", r.line), encodingHint}
	case errZero:
		return &recordError{fmt.Sprintf("line %d holds a zero byte, expected text", r.line), errZero.hint}
	}
	return r.failed
}

// cell reads a cell with what follows it and tells whether another cell of the record comes.
func (r *recordReader) cell() (more bool, err error) {
	start := len(r.record)
	if r.here() && r.window[r.at] == '"' {
		if err := r.quoted(); err != nil {
			return false, err
		}
	}
	for r.here() {
		from := r.at
		for r.at < len(r.window) && r.window[r.at] != r.comma && r.window[r.at] != '\r' && r.window[r.at] != '\n' {
			r.at++
		}
		r.record = append(r.record, r.window[from:r.at]...)
		if len(r.record)-start > longestCSV {
			return false, &recordError{fmt.Sprintf("line %d holds more than %d MiB in cell %d", r.line, longestCSV>>20, len(r.ends)+1), tableHint}
		}
		if len(r.record) > longestRecord {
			return false, &recordError{fmt.Sprintf("line %d holds more than %d MiB", r.line, longestRecord>>20), tableHint}
		}
		if r.at == len(r.window) {
			continue
		}
		if r.window[r.at] == r.comma {
			r.at++
			return true, nil
		}
		r.endLine()
		return false, nil
	}
	r.open = true
	return false, r.problem()
}

// endLine passes over the end of a line.
func (r *recordReader) endLine() {
	r.line++
	r.at++
	if r.window[r.at-1] == '\r' && r.here() && r.window[r.at] == '\n' {
		r.at++
	}
}

// quoted reads a cell in quotes up to the separator or the end of the row.
func (r *recordReader) quoted() error {
	opened, start, last := r.line, len(r.record), byte(0)
	for r.at++; r.here(); r.at++ {
		c := r.window[r.at]
		if c == '"' {
			r.at++
			if !r.here() || r.window[r.at] != '"' {
				return r.closed()
			}
		} else if c == '\r' || c == '\n' && last != '\r' {
			r.line++
		}
		last = c
		if r.record = append(r.record, c); len(r.record)-start > longestCSV {
			return &recordError{fmt.Sprintf("line %d opens a quote in cell %d that is not closed within %d MiB", opened, len(r.ends)+1, longestCSV>>20), quoteHint}
		}
	}
	if r.failed != nil {
		return r.problem()
	}
	return &recordError{fmt.Sprintf("line %d opens a quote that is never closed", opened), quoteHint}
}

// closed passes over the blanks behind a closing quote, where the next cell comes or the row ends.
func (r *recordReader) closed() error {
	for r.comma != ' ' && r.here() && r.window[r.at] == ' ' {
		r.at++
	}
	if r.here() && r.window[r.at] != r.comma && r.window[r.at] != '\n' && r.window[r.at] != '\r' {
		return &recordError{fmt.Sprintf("line %d has %q behind a closing quote, expected the next cell", r.line, excerpt(firstLine(r.window[r.at:]))), quoteHint}
	}
	return nil
}

// separatorName is what stands between the cells, in words.
func separatorName(comma byte) string {
	switch comma {
	case ',':
		return "commas"
	case ';':
		return "semicolons"
	case '\t':
		return "tabs"
	}
	return fmt.Sprintf("%q", string(rune(comma)))
}
