package parquet

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"github.com/parquet-go/parquet-go/encoding/thrift"
)

// What a footer may hold, chosen far above what files of tables have, so that one that is broken or hostile takes little room.
const (
	largestFooter = 64 << 20 // bytes
	deepest       = 64       // levels of parts within parts, and of columns within columns
	mostColumns   = 10_000   // with those that only group others
	mostEntries   = 1_000_000
)

// checkFooter walks through the footer of a file before the library reads it, which makes room for what is told there. size is the length of
// the file in bytes.
//
// Source: Apache Parquet, File Format (4-byte magic, footer, its length in 4 bytes, magic) and parquet.thrift (FileMetaData, SchemaElement);
// Apache Thrift, compact protocol.
func checkFooter(from io.ReaderAt, size int64) error {
	const ends, foot = 12, 8
	if size < ends {
		return errors.New("it is cut short")
	}
	var end [foot]byte
	if _, err := from.ReadAt(end[:], size-foot); err != nil && err != io.EOF {
		return err
	}
	length := int64(binary.LittleEndian.Uint32(end[:]))
	switch {
	case string(end[4:]) == "PARE":
		return errors.New("it is encrypted")
	case string(end[4:]) != Magic:
		return errors.New("it is cut short, as it does not end in " + Magic)
	case length > size-ends:
		return errors.New("its last bytes tell of more than it has")
	case length > largestFooter:
		return fmt.Errorf("its footer has %d bytes, expected at most %d", length, largestFooter)
	}
	footer := make([]byte, length)
	if _, err := from.ReadAt(footer, size-foot-length); err != nil && err != io.EOF {
		return err
	}
	w := walkOf(footer)
	if err := w.structure(1, w.file); err != nil {
		return fmt.Errorf("its footer is damaged: %w", err)
	}
	return w.checkNesting()
}

// walk goes through bytes in the compact protocol.
type walk struct {
	thrift.Reader
	length   int
	entries  int     // of lists, that are structures
	children []int32 // of each element of the schema
}

func walkOf(text []byte) *walk {
	var protocol thrift.CompactProtocol
	return &walk{Reader: protocol.NewReaderFromBytes(text), length: len(text)}
}

// passed is how many bytes have been read.
func (w *walk) passed() int { return w.Reader.(interface{ BytesRead() int }).BytesRead() }

// file takes a member of the file; its second are the elements of the schema.
func (w *walk) file(id int16, of thrift.Type, depth int) error {
	if id != 2 || of != thrift.LIST {
		return w.value(of, depth)
	}
	list, err := w.ReadList()
	if err != nil {
		return cut(err)
	}
	if list.Size > mostColumns {
		return fmt.Errorf("it tells of %d columns, expected at most %d", list.Size, mostColumns)
	}
	return w.items(list.Size, depth, func() error {
		if list.Type != thrift.STRUCT {
			return w.value(list.Type, depth+1)
		}
		w.children = append(w.children, 0)
		return w.structure(depth+1, w.element)
	})
}

// element takes a member of an element of the schema; its fifth is how many others it groups.
func (w *walk) element(id int16, of thrift.Type, depth int) (err error) {
	if id != 5 || of != thrift.I32 {
		return w.value(of, depth)
	}
	w.children[len(w.children)-1], err = w.ReadInt32()
	return cut(err)
}

// checkNesting holds the elements of the schema, each of which stands before those that it groups, to be one tree that is not too deep.
func (w *walk) checkNesting() error {
	var left []int32 // of each level, how many elements come yet
	for i, children := range w.children {
		for len(left) > 0 && left[len(left)-1] == 0 {
			left = left[:len(left)-1]
		}
		if len(left) == 0 && i > 0 {
			return errors.New("its footer is damaged: it has more columns than it tells of")
		}
		if len(left) > 0 {
			left[len(left)-1]--
		}
		if children > 0 {
			left = append(left, children)
		}
		if len(left) > deepest {
			return fmt.Errorf("its columns are nested deeper than %d levels, expected columns of values", deepest)
		}
	}
	for _, n := range left {
		if n > 0 {
			return errors.New("its footer is damaged: it has fewer columns than it tells of")
		}
	}
	return nil
}

// structure takes the members of a structure.
func (w *walk) structure(depth int, member func(id int16, of thrift.Type, depth int) error) error {
	if depth > deepest {
		return fmt.Errorf("it is nested deeper than %d levels", deepest)
	}
	for id := int16(0); ; {
		field, err := w.ReadField()
		if err != nil {
			return cut(err)
		}
		if field.Type == thrift.STOP && !field.Delta {
			return nil
		}
		if field.Delta {
			id += field.ID
		} else {
			id = field.ID
		}
		if field.Type == thrift.TRUE || field.Type == thrift.FALSE {
			continue // the type is the value
		}
		if err := member(id, field.Type, depth); err != nil {
			return err
		}
	}
}

// value passes over a value.
func (w *walk) value(of thrift.Type, depth int) (err error) {
	switch of {
	case thrift.TRUE, thrift.FALSE:
		_, err = w.ReadBool()
	case thrift.I8:
		_, err = w.ReadInt8()
	case thrift.I16:
		_, err = w.ReadInt16()
	case thrift.I32:
		_, err = w.ReadInt32()
	case thrift.I64:
		_, err = w.ReadInt64()
	case thrift.DOUBLE:
		_, err = w.ReadFloat64()
	case thrift.BINARY:
		_, err = w.ReadBytes()
	case thrift.LIST, thrift.SET:
		list, err := w.ReadList()
		if err != nil {
			return cut(err)
		}
		if list.Type == thrift.STRUCT {
			if w.entries += int(list.Size); w.entries > mostEntries {
				return fmt.Errorf("it lists more than %d entries", mostEntries)
			}
		}
		return w.items(list.Size, depth, func() error { return w.value(list.Type, depth+1) })
	case thrift.MAP:
		pairs, err := w.ReadMap()
		if err != nil {
			return cut(err)
		}
		return w.items(pairs.Size, depth, func() error {
			if err := w.value(pairs.Key, depth+1); err != nil {
				return err
			}
			return w.value(pairs.Value, depth+1)
		})
	case thrift.STRUCT:
		return w.structure(depth+1, func(_ int16, of thrift.Type, depth int) error { return w.value(of, depth) })
	case thrift.UUID:
		if _, err = w.ReadFloat64(); err == nil {
			_, err = w.ReadFloat64()
		}
	default:
		return fmt.Errorf("it has a value of the unknown type %d", of)
	}
	return cut(err)
}

// items takes so many entries, each of which has a byte at least.
func (w *walk) items(count int32, depth int, item func() error) error {
	if left := w.length - w.passed(); int(count) > left {
		return fmt.Errorf("it tells of %d entries in a list with %d bytes left", count, left)
	}
	if depth > deepest {
		return fmt.Errorf("it is nested deeper than %d levels", deepest)
	}
	for range count {
		if err := item(); err != nil {
			return err
		}
	}
	return nil
}

// cut tells an end within a value.
func cut(err error) error {
	if err == io.EOF {
		return io.ErrUnexpectedEOF
	}
	return err
}
