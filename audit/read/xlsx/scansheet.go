package xlsx

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"strings"
)

// scannedSheet goes through the rows of a sheet that hold anything.
type scannedSheet struct {
	number uint32 // of the row in the spreadsheet, from 1
	hidden bool
	cells  []scannedCell // by column; used again for the next row
	err    error

	part   io.ReadCloser
	xml    *xmlScanner
	shared *sharedTexts
	texts  []byte          // of the row
	piece  strings.Builder // of memory, for the texts of many rows
	done   bool
	merged []Area // once the rows have ended
}

// longestRow is how much text a row may hold, in bytes.
const longestRow = 16 << 20

// scan starts to read a sheet. It must be closed.
func (b *scanBook) scan(ctx context.Context, name string) (*scannedSheet, error) {
	if err := b.loadShared(ctx); err != nil {
		return nil, err
	}
	unpacked, err := b.unpack(ctx, b.part(name), largestPart)
	if err != nil {
		return nil, err
	}
	s := &scannedSheet{part: unpacked, shared: &b.shared}
	if s.xml, err = newXMLScanner(unpacked); err == nil {
		err = s.findRows()
	}
	if err != nil {
		s.close()
		return nil, inPart(b.part(name), err)
	}
	return s, nil
}

// part returns the name of the part that holds a sheet.
func (b *scanBook) part(name string) string {
	for _, sheet := range b.sheets {
		if sheet.name == name {
			return sheet.part
		}
	}
	return ""
}

func (s *scannedSheet) close() { s.part.Close() }

// findRows goes to the first row.
func (s *scannedSheet) findRows() error {
	if err := s.xml.root("worksheet"); err != nil {
		return err
	}
	for depth := 0; ; {
		kind, err := s.xml.next()
		switch {
		case err != nil:
			return err
		case kind == tokenEnd && depth == 0:
			s.done = true
			return s.drain()
		case kind == tokenEnd:
			depth--
		case kind == tokenText:
		case string(s.xml.name) == "sheetData" && depth == 0:
			return nil
		case string(s.xml.name) == "sheetData" || string(s.xml.name) == "row":
			return fmt.Errorf("row outside the rows %w", errNotRecognised)
		default:
			// Other elements, with what is in them, come before the rows.
			depth++
		}
	}
}

// drain reads what comes after the rows, by which the archive proves that they came out right, and finds the merged areas there.
func (s *scannedSheet) drain() error {
	s.merged = mergedAreas(io.MultiReader(strings.NewReader("</"+rowsTag), bytes.NewReader(s.xml.window[s.xml.at:]), s.part))
	_, err := io.Copy(io.Discard, s.part)
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
		if len(s.texts) > longestRow {
			return &CellError{fmt.Sprintf("holds more than %d MiB of text in row %d", longestRow>>20, number)}
		}
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
			all := s.keptTexts()
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

// keptTexts are the texts of the row as one that stays as it is. They share a piece of memory with those of other rows.
func (s *scannedSheet) keptTexts() string {
	const pieceSize = 16 << 10 // a choice of this program
	if s.piece.Cap()-s.piece.Len() < len(s.texts) {
		s.piece = strings.Builder{}
		s.piece.Grow(max(pieceSize, len(s.texts)))
	}
	from := s.piece.Len()
	s.piece.Write(s.texts)
	return s.piece.String()[from:]
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
			if ok && n > MostRows || len(a.value) > 9 && len(bytes.Trim(a.value, "0123456789")) == 0 {
				n, ok = MostRows+1, true
			}
			if !ok || n == 0 {
				return 0, fmt.Errorf("row number %q %w", a.value, errNotRecognised)
			}
			number = uint32(n)
		}
	}
	switch {
	case number > MostRows:
		return 0, &CellError{fmt.Sprintf("has more rows than the %d of a sheet", MostRows)}
	case number <= s.number:
		return 0, &CellError{fmt.Sprintf("is damaged: row %d stands after row %d", number, s.number)}
	}
	return number, nil
}

// lastRow returns the number of the last row in the XML of a sheet, sound or not, 0 where none is found.
func (b *scanBook) lastRow(name string) uint32 {
	part, err := b.unpack(context.Background(), b.part(name), largestPart)
	if err != nil {
		return 0
	}
	defer part.Close()
	return lastRow(part)
}
