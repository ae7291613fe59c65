package wkb

import (
	"encoding/binary"
	"fmt"
)

// wellKnown goes through well-known binary without decoding it. The decoder makes room for as many positions as a count
// says; a count of a broken file can say more than there is memory, so every count is held against the bytes there are.
type wellKnown struct {
	bytes []byte
	order binary.ByteOrder
}

// The types of the simple features. Their thousands say which coordinates a position has, as high bits of some programs
// do.
//
// Source: OGC 06-103r4, clause 8.2.
const (
	pointType = iota + 1
	lineType
	polygonType
	multiPointType
	multiLineType
	multiPolygonType
	collectionType
)

// curved are the types that may have arcs, faceted those that are made of faces.
//
// Source: OGC 06-103r4, table 7.
var (
	curved  = map[uint32]string{8: "CircularString", 9: "CompoundCurve", 10: "CurvePolygon", 11: "MultiCurve", 12: "MultiSurface"}
	faceted = map[uint32]string{15: "PolyhedralSurface", 16: "TIN", 17: "Triangle"}
)

const (
	zBit, mBit, systemBit = 1 << 31, 1 << 30, 1 << 29
	deepest               = 8 // collections within each other
)

var errCounts = fmt.Errorf("cannot be decoded: its counts do not fit its length")

// check tells whether every count fits the bytes that are left.
func (w *wellKnown) check(depth int) error {
	if len(w.bytes) < 5 || depth > deepest {
		return errCounts
	}
	w.order = binary.ByteOrder(binary.BigEndian)
	if w.bytes[0] == 1 {
		w.order = binary.LittleEndian
	}
	w.bytes = w.bytes[1:]
	kind, _ := w.count(0)
	coordinates := 2
	for _, bit := range [...]uint32{zBit, mBit} {
		if kind&bit != 0 {
			coordinates++
		}
	}
	if kind&systemBit != 0 {
		if _, err := w.count(0); err != nil {
			return err
		}
	}
	kind &^= zBit | mBit | systemBit
	switch kind / 1000 {
	case 1, 2:
		coordinates++
	case 3:
		coordinates += 2
	}
	switch kind % 1000 {
	case pointType:
		return w.skip(8 * coordinates)
	case lineType:
		return w.positions(coordinates)
	case polygonType:
		return w.each(4, func() error { return w.positions(coordinates) })
	case multiPointType, multiLineType, multiPolygonType, collectionType:
		return w.each(5, func() error { return w.check(depth + 1) })
	}
	if name := curved[kind%1000]; name != "" {
		return fmt.Errorf("is a %s, which is not read; turn it into straight pieces, in PostGIS by ST_CurveToLine", name)
	}
	if name := faceted[kind%1000]; name != "" {
		return fmt.Errorf("is a %s, which is not read, expected points, lines or polygons", name)
	}
	return fmt.Errorf("is of the unknown type %d", kind)
}

// count reads a number, of things that take at least so many bytes each.
func (w *wellKnown) count(least int) (uint32, error) {
	if len(w.bytes) < 4 {
		return 0, errCounts
	}
	n := w.order.Uint32(w.bytes)
	w.bytes = w.bytes[4:]
	if uint64(n)*uint64(least) > uint64(len(w.bytes)) {
		return 0, errCounts
	}
	return n, nil
}

func (w *wellKnown) positions(coordinates int) error {
	n, err := w.count(8 * coordinates)
	if err != nil {
		return err
	}
	return w.skip(int(n) * 8 * coordinates)
}

func (w *wellKnown) each(least int, part func() error) error {
	n, err := w.count(least)
	for range n {
		if err == nil {
			err = part()
		}
	}
	return err
}

func (w *wellKnown) skip(length int) error {
	if length > len(w.bytes) {
		return errCounts
	}
	w.bytes = w.bytes[length:]
	return nil
}
