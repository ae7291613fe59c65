package shp

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"
)

// The header of the shapes and of their index has 100 bytes: the file code, the length of the file in words of 16 bits,
// both big-endian; then, little-endian, the version, the type of the shapes and the box around them.
//
// Source: ESRI Shapefile Technical Description, July 1998, pages 3 to 5.
const (
	fileCode     = 9994
	version      = 1000
	headerBytes  = 100
	recordHeader = 8 // number and length in words, big-endian
	indexEntry   = 8 // offset and length in words, big-endian
	wordBytes    = 2
)

// Magic is how the shapes of a shapefile start.
const Magic = "\x00\x00\x27\x0a"

// longestShape is the most bytes that one shape may have, which is held as a whole.
const longestShape = 192 << 20

// header is the header of the shapes or of the index.
type header struct {
	kind  kind
	bytes int64 // that the file has
}

func readHeader(part Part, in io.Reader) (header, error) {
	var raw [headerBytes]byte
	if err := readFull(part, in, raw[:], "its header"); err != nil {
		return header{}, err
	}
	if code := binary.BigEndian.Uint32(raw[:]); code != fileCode {
		return header{}, damaged(part, "starts with the code %d, expected %d", code, fileCode)
	}
	if v := binary.LittleEndian.Uint32(raw[28:]); v != version {
		return header{}, damaged(part, "is of version %d, expected %d", v, version)
	}
	h := header{kind(binary.LittleEndian.Uint32(raw[32:])), wordBytes * int64(binary.BigEndian.Uint32(raw[24:]))}
	if !h.kind.known() {
		return h, damaged(part, "has shapes of the %s, expected points, lines or polygons", h.kind)
	}
	if h.bytes < headerBytes {
		return h, damaged(part, "says in its header that it has %d bytes, expected no less than the %d of the header", h.bytes, headerBytes)
	}
	return h, nil
}

// shapeReader goes through the records of the shapes.
type shapeReader struct {
	in    io.Reader
	index *indexReader // nil where there is none
	header
	at      int64  // bytes passed
	number  uint32 // of the record
	content bytes.Buffer
}

func newShapeReader(in, index io.Reader) (*shapeReader, error) {
	h, err := readHeader(Shapes, in)
	if err != nil {
		return nil, err
	}
	r := &shapeReader{in: in, header: h, at: headerBytes}
	if index != nil {
		r.index, err = newIndexReader(index)
	}
	return r, err
}

// next goes to the next record; false without an error is the end.
func (r *shapeReader) next() (bool, error) {
	if r.at >= r.bytes {
		return false, r.end()
	}
	if r.number == math.MaxInt32 {
		return false, damaged(Shapes, "has more than %d records", math.MaxInt32)
	}
	r.number++
	var raw [recordHeader]byte
	if err := readFull(Shapes, r.in, raw[:], "record %d; its header says that it has %d bytes", r.number, r.bytes); err != nil {
		return false, err
	}
	if number := binary.BigEndian.Uint32(raw[:]); number != r.number {
		return false, damaged(Shapes, "has a record with the number %d where that with %d should be", number, r.number)
	}
	length := wordBytes * int64(binary.BigEndian.Uint32(raw[4:]))
	switch {
	case r.at+recordHeader+length > r.bytes:
		return false, damaged(Shapes, "has in record %d a shape of %d bytes, of which the %d that its header gives the file leave %d", r.number, length, r.bytes, max(0, r.bytes-r.at-recordHeader))
	case length > longestShape:
		return false, damaged(Shapes, "has in record %d a shape of %d MiB, expected no more than %d", r.number, length>>20, longestShape>>20)
	}
	if r.index != nil {
		if err := r.index.agrees(r.number, r.at, length); err != nil {
			return false, err
		}
	}
	r.content.Reset()
	if n, err := io.CopyN(&r.content, r.in, length); err == io.EOF {
		return false, damaged(Shapes, "ends in the middle of record %d, after %d of its %d bytes", r.number, n, length)
	} else if err != nil {
		return false, err
	}
	r.at += recordHeader + length
	return true, nil
}

// end looks whether all parts end where the last record does.
func (r *shapeReader) end() error {
	if r.at != r.bytes {
		return damaged(Shapes, "ends at byte %d, but its header says that it has %d", r.at, r.bytes)
	}
	if ended, err := atEnd(r.in); err != nil {
		return err
	} else if !ended {
		return damaged(Shapes, "goes on behind the %d bytes that its header gives it", r.bytes)
	}
	if r.index == nil {
		return nil
	}
	return r.index.end(r.number)
}

// indexReader goes through the index beside the shapes, to hold it against them.
type indexReader struct {
	in    io.Reader
	count uint32
}

func newIndexReader(in io.Reader) (*indexReader, error) {
	h, err := readHeader(Index, in)
	if err != nil {
		return nil, err
	}
	if (h.bytes-headerBytes)%indexEntry != 0 {
		return nil, damaged(Index, "says in its header that it has %d bytes, which is no whole number of entries", h.bytes)
	}
	return &indexReader{in, uint32((h.bytes - headerBytes) / indexEntry)}, nil
}

func (r *indexReader) agrees(number uint32, at, length int64) error {
	if number > r.count {
		return damaged(Index, "has %d entries, but the shapes have a record %d", r.count, number)
	}
	var raw [indexEntry]byte
	if err := readFull(Index, r.in, raw[:], "entry %d", number); err != nil {
		return err
	}
	offset, bytes := wordBytes*int64(binary.BigEndian.Uint32(raw[:])), wordBytes*int64(binary.BigEndian.Uint32(raw[4:]))
	if offset != at || bytes != length {
		return damaged(Index, "says that shape %d has %d bytes from byte %d on, but it has %d from %d on", number, bytes, offset, length, at)
	}
	return nil
}

func (r *indexReader) end(number uint32) error {
	if number != r.count {
		return damaged(Index, "has %d entries, but there are %d shapes", r.count, number)
	}
	return nil
}
