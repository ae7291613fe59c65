package postgres

import (
	"bufio"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"dryarc/audit/read/wkb"

	geom "github.com/twpayne/go-geom"
)

// Rows goes through the rows of a stream.
type Rows struct {
	Number   int64    // of the row, from 1
	Cells    []string // by column; blank where there is nothing, used again for the next row
	Geometry geom.T   // nil where there is none or it cannot be used
	Problem  error    // why the geometry cannot be used
	Placed   bool     // a geometry has come, whose system is known
	System   string   // of the geometries, such as EPSG:32719; empty where they have none

	head head
	from *bufio.Reader
	ends []int // of the cells of the row
	room []byte

	passed int64
	ended  bool
}

// Read starts to read a stream from its start.
func Read(stream io.Reader) (*Rows, error) {
	r := &Rows{from: bufio.NewReaderSize(stream, full)}
	written, err := r.value()
	if err != nil {
		return nil, err
	}
	if err := json.Unmarshal(written, &r.head); err != nil {
		return nil, err
	}
	r.Cells = make([]string, len(r.head.Columns))
	r.ends = make([]int, len(r.Cells))
	return r, nil
}

// Passed tells how many bytes of the stream have been passed.
func (r *Rows) Passed() int64 { return r.passed }

// Columns lists the columns but for that of the geometry.
func (r *Rows) Columns() []Column { return r.head.Columns }

// GeometryColumn is the column of the geometry and its type, geometry or geography; empty where there is none.
func (r *Rows) GeometryColumn() (name, is string) { return r.head.Geometry, r.head.Type }

// mostBytes is more than a row of the server has.
const mostBytes = 1 << 30

// bytes reads so many bytes, good until the next are read.
func (r *Rows) bytes(count int) ([]byte, error) {
	if count > mostBytes {
		return nil, errCut
	}
	if cap(r.room) < count {
		r.room = make([]byte, count)
	}
	r.room = r.room[:count]
	r.passed += int64(count)
	_, err := io.ReadFull(r.from, r.room)
	return r.room, cut(err)
}

func (r *Rows) length() (int, error) {
	n, err := binary.ReadUvarint(r.from)
	if n > mostBytes {
		err = errCut
	}
	r.passed++
	return int(n), cut(err)
}

// value reads a length and so many bytes.
func (r *Rows) value() ([]byte, error) {
	count, err := r.length()
	if err != nil {
		return nil, err
	}
	return r.bytes(count)
}

var errCut = errors.New("its rows are cut off")

func cut(err error) error {
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		return errCut
	}
	return err
}

// Next goes to the next row; false without an error is the end.
func (r *Rows) Next() (more bool, err error) {
	for !r.ended {
		kind, err := r.from.ReadByte()
		if err != nil {
			return false, cut(err)
		}
		switch kind {
		case systemRecord:
			name, err := r.value()
			if err != nil {
				return false, err
			}
			r.Placed, r.System = true, string(name)
		case endRecord:
			count, err := binary.ReadUvarint(r.from)
			if err == nil && count != uint64(r.Number) {
				err = errCut
			}
			r.ended = err == nil
			return false, cut(err)
		case rowRecord:
			return true, r.row()
		default:
			return false, errCut
		}
	}
	return false, nil
}

// row reads a row. What its cells hold is one text, of which each is a part.
func (r *Rows) row() error {
	r.Number++
	r.Geometry, r.Problem = nil, nil
	end := 0
	for i := range r.ends {
		length, err := r.length()
		if err != nil {
			return err
		}
		end += length
		r.ends[i] = end
	}
	all := end
	if r.head.Geometry != "" {
		length, err := r.length()
		if err != nil {
			return err
		}
		all += length
	}
	written, err := r.bytes(all)
	if err != nil {
		return err
	}
	text, start := string(written[:end]), 0
	for i, to := range r.ends {
		r.Cells[i], start = text[start:to], to
	}
	if !utf8.ValidString(text) {
		for i, cell := range r.Cells {
			if !utf8.ValidString(cell) {
				return fmt.Errorf("row %d, column %q: the text %q is not in UTF-8", r.Number, r.head.Columns[i].Name, cell)
			}
		}
	}
	if all > end {
		r.Geometry, r.Problem = wkb.DecodeExtended(written[end:])
	}
	return nil
}
