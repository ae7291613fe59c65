package report

import (
	"archive/zip"
	"bytes"
	"hash/crc32"
	"io"
	"sync"

	"github.com/klauspost/compress/flate"
)

// packed is a stretch of a deflate stream (RFC 1951) that others can follow: its last block is not marked as the last,
// and it ends on a byte. Stretches that are made beside each other so become one entry of a zip file.
type packed struct {
	deflated pieces
	deflater *flate.Writer // nil once nothing follows
	crc      uint32        // of what went in
	size     int64         // of what went in
}

// pieces are bytes in pieces of one size, so that of what grows nothing is copied and no room is held for as much again.
type pieces [][]byte

const pieceSize = 1 << 16

func (p *pieces) Write(b []byte) (n int, err error) {
	for n = len(b); len(b) > 0; {
		last := len(*p) - 1
		if last < 0 || len((*p)[last]) == pieceSize {
			*p = append(*p, make([]byte, 0, pieceSize))
			last++
		}
		fits := min(len(b), pieceSize-len((*p)[last]))
		(*p)[last], b = append((*p)[last], b[:fits]...), b[fits:]
	}
	return n, nil
}

// keepWhole keeps bytes in one piece, the last one or a new one, which may be larger than others.
func (p *pieces) keepWhole(b []byte) {
	last := len(*p) - 1
	if last < 0 || len((*p)[last])+len(b) > pieceSize {
		*p = append(*p, make([]byte, 0, max(pieceSize, len(b))))
		last++
	}
	(*p)[last] = append((*p)[last], b...)
}

func (p pieces) size() (n uint64) {
	for _, piece := range p {
		n += uint64(len(piece))
	}
	return n
}

// reader reads the bytes from the first on.
func (p pieces) reader() io.Reader {
	readers := make([]io.Reader, len(p))
	for i := range p {
		readers[i] = bytes.NewReader(p[i])
	}
	return io.MultiReader(readers...)
}

// newPacked packs at the least level, at which the sheets of 100 000 structures took 0.6 s of processor time (one run).
func newPacked() *packed {
	p := &packed{deflater: deflaters.Get().(*flate.Writer)}
	p.deflater.Reset(&p.deflated)
	return p
}

func (p *packed) Write(text []byte) (int, error) {
	p.crc = crc32.Update(p.crc, crc32.IEEETable, text)
	p.size += int64(len(text))
	return p.deflater.Write(text)
}

// end brings what was written into deflated; last ends the stream.
func (p *packed) end(last bool) error {
	end := p.deflater.Flush
	if last {
		end = p.deflater.Close
	}
	defer giveBack(p.deflater)
	p.deflater = nil
	return end()
}

// deflaters pack one part of a workbook after another: each takes hundreds of kilobytes.
var deflaters = sync.Pool{New: func() any {
	w, _ := flate.NewWriter(nil, flate.BestSpeed) // fails only on a level that there is not
	return w
}}

// giveBack keeps a deflater for the next part, and nothing of where it wrote to.
func giveBack(w *flate.Writer) {
	w.Reset(io.Discard)
	deflaters.Put(w)
}

// lentDeflater goes back when it is closed.
type lentDeflater struct{ *flate.Writer }

func (l lentDeflater) Close() error {
	defer giveBack(l.Writer)
	return l.Writer.Close()
}

// packText packs a text; last ends the stream.
func packText(text string, last bool) (*packed, error) {
	p := newPacked()
	if _, err := io.WriteString(p, text); err != nil {
		return nil, err
	}
	return p, p.end(last)
}

// firstDay is the first day that a zip file can state, 1 January 1980, as it states it.
const firstDay = 1<<5 | 1

// writePacked writes an entry that consists of some stretches, of which the last one ended the stream.
func writePacked(z *zip.Writer, name string, stretches ...*packed) error {
	header := &zip.FileHeader{Name: name, Method: zip.Deflate, ReaderVersion: 20,
		//lint:ignore SA1019 CreateRaw takes these fields alone.
		ModifiedDate: firstDay}
	for _, p := range stretches {
		header.CRC32 = joinedCRC(header.CRC32, p.crc, p.size)
		header.UncompressedSize64 += uint64(p.size)
		header.CompressedSize64 += p.deflated.size()
	}
	w, err := z.CreateRaw(header)
	if err != nil {
		return err
	}
	for _, p := range stretches {
		for _, piece := range p.deflated {
			if _, err := w.Write(piece); err != nil {
				return err
			}
		}
	}
	return nil
}

// joinedCRC is the CRC-32 of one text after another, from the CRC-32 of each and the size of the second in bytes.
//
//	CRC(first, second) = CRC(first)·x^(8·size) + CRC(second)
//
// over polynomials with coefficients 0 and 1, modulo that of IEEE 802.3.
func joinedCRC(first, second uint32, size int64) uint32 {
	const one, x = 1 << 31, 1 << 30 // the highest bit is the coefficient of x^0
	power, square := uint32(one), uint32(x)
	for n := 8 * size; n > 0; n >>= 1 {
		if n&1 != 0 {
			power = product(power, square)
		}
		square = product(square, square)
	}
	return product(first, power) ^ second
}

// product multiplies two polynomials modulo that of IEEE 802.3.
func product(a, b uint32) (p uint32) {
	for bit := uint32(1 << 31); bit != 0; bit >>= 1 {
		if a&bit != 0 {
			p ^= b
		}
		lowest := b & 1
		b >>= 1
		if lowest != 0 {
			b ^= crc32.IEEE
		}
	}
	return p
}
