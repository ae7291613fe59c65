package read

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf8"
)

// recordReader goes through the records of a text whose cells stand between commas, semicolons or tabs, as RFC 4180
// has it. Beyond that, rows may end with CR alone, and a quote within an unquoted cell stands for itself (5" disc).
type recordReader struct {
	text  []byte
	comma byte
	at    int
	line  uint32 // at which at is, from 1

	number uint32   // line at which the record starts
	cells  []string // used again for the next record
	ends   []int
	record []byte // its cells without their quotes, one after the other
}

// newRecordReader finds out what stands between the cells.
func newRecordReader(content []byte) (*recordReader, error) {
	switch {
	case len(content) == 0:
		return nil, fmt.Errorf("is empty, expected a table with headings in its first row")
	case bytes.HasPrefix(content, []byte("\xff\xfe")), bytes.HasPrefix(content, []byte("\xfe\xff")):
		return nil, fmt.Errorf("is in UTF-16, expected UTF-8")
	case bytes.IndexByte(content, 0) >= 0:
		return nil, fmt.Errorf("is neither a workbook nor a table of text")
	}
	text := bytes.TrimPrefix(content, []byte("\xef\xbb\xbf"))
	if !utf8.Valid(text) {
		return nil, fmt.Errorf("line %d is not in UTF-8", 1+bytes.Count(text[:firstInvalid(text)], []byte("\n")))
	}
	r := &recordReader{text: text, line: 1}
	head, rest, _ := bytes.Cut(text, []byte("\n"))
	if head = bytes.TrimRight(head, "\r"); len(head) == 5 && strings.EqualFold(string(head[:4]), "sep=") {
		r.comma, r.at, r.line = head[4], len(text)-len(rest), 2
		return r, nil
	}
	r.comma = separator(text)
	return r, nil
}

// firstInvalid is the place of the first byte that is not UTF-8.
func firstInvalid(text []byte) int {
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRune(text[i:])
		if r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return len(text)
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

// next goes to the next record; false without an error is the end.
func (r *recordReader) next() (bool, error) {
	if r.at >= len(r.text) {
		return false, nil
	}
	r.number = r.line
	r.record, r.ends, r.cells = r.record[:0], r.ends[:0], r.cells[:0]
	for more := true; more; {
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
	return true, nil
}

// cell reads a cell with what follows it and tells whether another cell of the record comes.
func (r *recordReader) cell() (more bool, err error) {
	if r.at < len(r.text) && r.text[r.at] == '"' {
		if err := r.quoted(); err != nil {
			return false, err
		}
	}
	from := r.at
	for r.at < len(r.text) && r.text[r.at] != r.comma && r.text[r.at] != '\r' && r.text[r.at] != '\n' {
		r.at++
	}
	r.record = append(r.record, r.text[from:r.at]...)
	if r.at == len(r.text) {
		return false, nil
	}
	end := r.text[r.at]
	if r.at++; end == r.comma {
		return true, nil
	}
	if end == '\r' && r.at < len(r.text) && r.text[r.at] == '\n' {
		r.at++
	}
	r.line++
	return false, nil
}

// quoted reads a cell in quotes up to the separator or the end of the row.
func (r *recordReader) quoted() error {
	opened := r.line
	for r.at++; r.at < len(r.text); r.at++ {
		switch c := r.text[r.at]; {
		case c != '"':
			if c == '\n' || c == '\r' && (r.at+1 == len(r.text) || r.text[r.at+1] != '\n') {
				r.line++
			}
			r.record = append(r.record, c)
		case r.at+1 < len(r.text) && r.text[r.at+1] == '"':
			r.record = append(r.record, '"')
			r.at++
		default:
			r.at++
			for r.at < len(r.text) && r.text[r.at] == ' ' && r.comma != ' ' {
				r.at++
			}
			if r.at < len(r.text) && r.text[r.at] != r.comma && r.text[r.at] != '\n' && r.text[r.at] != '\r' {
				return fmt.Errorf("line %d has %q behind a closing quote, expected the next cell", r.line, excerpt(firstLine(r.text[r.at:])))
			}
			return nil
		}
	}
	return fmt.Errorf("line %d opens a quote that is never closed", opened)
}

// separatorName is what stands between the cells, in words.
func (r *recordReader) separatorName() string {
	switch r.comma {
	case ',':
		return "commas"
	case ';':
		return "semicolons"
	case '\t':
		return "tabs"
	}
	return fmt.Sprintf("%q", string(rune(r.comma)))
}
