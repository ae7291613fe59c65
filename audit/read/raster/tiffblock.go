package raster

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"io"
	"math"
	"strconv"

	"github.com/klauspost/compress/zlib"
	"github.com/klauspost/compress/zstd"
	"golang.org/x/image/tiff/lzw"
)

// sampleKind is how the bits of a sample are to be read, as TIFF numbers it.
type sampleKind uint64

const (
	unsigned sampleKind = 1
	signed   sampleKind = 2
	floating sampleKind = 3
)

// compression is one as TIFF numbers it.
type compression uint64

const (
	notCompressed compression = 1
	lzwCompressed compression = 5
	deflated      compression = 8
	packBits      compression = 32773
	deflatedOld   compression = 32946
	zstandard     compression = 50000
)

// tiffSamples are the samples of the first band. A block is a strip or tile of it; of strips that are not compressed, a row.
type tiffSamples struct {
	file          *tiffFile
	width, height int
	bytes         int // of a sample
	kind          sampleKind
	compression   compression
	predictor     uint64
	stride        int // samples of all bands that stand beside one another
	bands         int

	blockWidth, blockHeight, across int
	tiled                           bool
	offsets, lengths                field

	noData, scale, offset float64
	blocks                cache[[]byte]
}

// layout reads how the samples stand in the file.
func (s *tiffSamples) layout(entries map[uint16]field) error {
	var err error
	whole := func(tag uint16, otherwise uint64) (value uint64) {
		if err == nil {
			value, err = s.file.whole(entries, tag, otherwise)
		}
		return value
	}
	const most = math.MaxInt32
	width, height := whole(tagWidth, 0), whole(tagHeight, 0)
	bands, planar := whole(tagSamplesPerPixel, 1), whole(tagPlanar, 1)
	kind := whole(tagSampleFormat, uint64(unsigned))
	s.compression, s.predictor = compression(whole(tagCompression, 1)), whole(tagPredictor, 1)
	_, s.tiled = entries[tagTileOffsets]
	blockWidth, blockHeight := width, min(height, whole(tagRowsPerStrip, height))
	s.offsets, s.lengths = entries[tagStripOffsets], entries[tagStripBytes]
	if s.tiled {
		blockWidth, blockHeight = whole(tagTileWidth, 0), whole(tagTileHeight, 0)
		s.offsets, s.lengths = entries[tagTileOffsets], entries[tagTileBytes]
	}
	if err != nil {
		return err
	}
	bits, err := s.file.wholes(entries, tagBits)
	if err != nil {
		return err
	}
	if len(bits) == 0 {
		bits = []uint64{1}
	}
	switch {
	case width < 1 || height < 1 || width > most || height > most:
		return wrong("has %d by %d samples, expected 1 to %d", width, height, most)
	case blockWidth < 1 || blockHeight < 1 || blockWidth > most || blockHeight > most:
		return wrong("has strips or tiles of %d by %d samples, expected 1 to %d", blockWidth, blockHeight, most)
	case bands < 1 || bands > most:
		return wrong("has %d samples at each place, expected 1 or more", bands)
	case planar != 1 && planar != 2:
		return wrong("has its bands in the arrangement %d, expected 1, side by side, or 2, one by one", planar)
	}
	s.kind, s.bands = sampleKind(kind), int(bands)
	switch of := bits[0]; {
	case of == 16 && s.kind != floating, of == 32, of == 64 && s.kind == floating:
		s.bytes = int(of / 8)
	default:
		return wrong("has samples of %d bits in the sample format %d, expected Int16, UInt16, Int32, UInt32, Float32 or Float64", of, kind)
	}
	if s.kind < unsigned || s.kind > floating {
		return wrong("has the sample format %d, expected 1, unsigned, 2, signed, or 3, floating", kind)
	}
	for _, other := range bits {
		if other != bits[0] {
			return wrong("has bands of %d and %d bits, expected the same of all", bits[0], other)
		}
	}
	switch s.compression {
	case notCompressed, lzwCompressed, deflated, deflatedOld, packBits, zstandard:
	default:
		return wrong("has the compression %d, expected none (1), LZW (5), Deflate (8 or 32946), PackBits (32773) or ZSTD (50000)", s.compression)
	}
	if s.predictor < 1 || s.predictor > 3 || s.predictor == 3 && s.kind != floating {
		return wrong("has the predictor %d for the sample format %d, expected 1, 2, or of floating samples 3", s.predictor, kind)
	}
	if s.compression == notCompressed || s.compression == packBits {
		s.predictor = 1 // which goes with LZW and what came after it
	}
	if s.predictor == 3 && s.file.order != binary.LittleEndian { // those who write it do not agree on the order of its planes
		return wrong("has the predictor 3 and the high byte first, expected the low byte first (II) or another predictor")
	}
	s.width, s.height, s.stride = int(width), int(height), 1
	if planar == 1 {
		if bands > largestBlock {
			return wrong("has %d samples at each place, more than is read", bands)
		}
		s.stride = int(bands)
	}
	s.blockWidth, s.blockHeight = int(blockWidth), int(blockHeight)
	s.across = (s.width-1)/s.blockWidth + 1
	return s.checkBlocks()
}

// checkBlocks looks whether the strips or tiles can be held and are all there.
func (s *tiffSamples) checkBlocks() error {
	rows := s.blockHeight
	if s.byRow() {
		rows = 1
	}
	// Each factor is below 2³¹ or held below 2²⁷, so that no product runs over.
	row := uint64(s.blockWidth) * uint64(s.stride*s.bytes)
	if row > largestBlock || row*uint64(rows) > largestBlock {
		return wrong("has strips or tiles of %d by %d places with %d bytes each, expected %d bytes at most: write it in tiles of 256 by 256", s.blockWidth, s.blockHeight, s.stride*s.bytes, largestBlock)
	}
	down := (s.height-1)/s.blockHeight + 1
	blocks := uint64(s.across) * uint64(down)
	if s.offsets.count < blocks || s.lengths.count < blocks {
		return wrong("has the places of %d and the lengths of %d strips or tiles, expected those of %d", s.offsets.count, s.lengths.count, blocks)
	}
	for _, f := range [...]field{s.offsets, s.lengths} {
		switch f.kind {
		case 3, 4, 16, 13, 18:
		default:
			return wrong("has values of type %d under tag %d, expected whole numbers", f.kind, f.tag)
		}
	}
	return nil
}

// byRow tells that rows stand in the strips as they are.
func (s *tiffSamples) byRow() bool { return s.compression == notCompressed && !s.tiled }

func (s *tiffSamples) numberOf(column, row int) uint64 {
	return uint64(row/s.blockHeight)*uint64(s.across) + uint64(column/s.blockWidth)
}

// block is a row where rows are read.
func (s *tiffSamples) block(column, row int) uint64 {
	if s.byRow() {
		return uint64(row)
	}
	return s.numberOf(column, row)
}

func (s *tiffSamples) at(column, row int) (float64, error) {
	block := s.numberOf(column, row)
	key, within := s.block(column, row), row%s.blockHeight
	raw, err := s.blocks.get(key, func() ([]byte, int, error) {
		raw, err := s.decode(block, row)
		return raw, len(raw), err
	})
	if err != nil || len(raw) == 0 { // a block that was never written has no values
		return math.NaN(), err
	}
	if s.byRow() {
		within = 0
	}
	at := (within*s.blockWidth + column%s.blockWidth) * s.bytes
	value := s.value(raw[at : at+s.bytes])
	if value == s.noData || math.IsInf(value, 0) {
		return math.NaN(), nil
	}
	return value*s.scale + s.offset, nil
}

func (s *tiffSamples) value(b []byte) float64 {
	bits := s.file.word(b)
	switch {
	case s.kind == floating && s.bytes == 4:
		return float64(math.Float32frombits(uint32(bits)))
	case s.kind == floating:
		return math.Float64frombits(bits)
	case s.kind == signed && s.bytes == 2:
		return float64(int16(bits))
	case s.kind == signed:
		return float64(int32(bits))
	}
	return float64(bits)
}

// entry is one of the values of a field.
func (s *tiffSamples) entry(f field, i uint64) (uint64, error) {
	b := make([]byte, bytesOf(f.kind))
	err := s.file.read(b, f.at+i*uint64(len(b)), "the values of tag "+strconv.Itoa(int(f.tag)))
	return s.file.word(b), err
}

// decode reads the first band of a block, of strips that are not compressed only a row; nothing where it was never written.
func (s *tiffSamples) decode(block uint64, row int) ([]byte, error) {
	at, err := s.entry(s.offsets, block)
	if err != nil {
		return nil, err
	}
	length, err := s.entry(s.lengths, block)
	if err != nil || at == 0 && length == 0 {
		return nil, err
	}
	rows := s.blockHeight
	if !s.tiled { // the last strip may have fewer
		rows = min(rows, s.height-row/s.blockHeight*s.blockHeight)
	}
	rowBytes := s.blockWidth * s.stride * s.bytes
	skip := uint64(0)
	if s.byRow() {
		rows, skip = 1, uint64(row%s.blockHeight)*uint64(rowBytes)
	}
	what := "strip or tile " + strconv.FormatUint(block+1, 10)
	if at > uint64(s.file.size) || length > uint64(s.file.size)-at {
		return nil, wrong("has %s at byte %d with %d bytes, beyond its end at byte %d: it is damaged or was cut short", what, at, length, s.file.size)
	}
	raw := make([]byte, rows*rowBytes)
	if skip+uint64(len(raw)) > length && s.compression == notCompressed {
		return nil, wrong("has %d bytes in %s, expected %d", length, what, skip+uint64(len(raw)))
	}
	from := io.NewSectionReader(s.file.in, int64(at+skip), int64(length-min(skip, length)))
	if n, err := s.unpack(raw, from); err != nil {
		return nil, wrong("has %s that ends or breaks off after %d of %d bytes: %v", what, n, len(raw), err)
	}
	s.undo(raw, rowBytes)
	if s.stride == 1 {
		return raw, nil
	}
	band := make([]byte, 0, len(raw)/s.stride)
	for i := 0; i < len(raw); i += s.stride * s.bytes {
		band = append(band, raw[i:i+s.bytes]...)
	}
	return band, nil
}

// unpack fills a buffer from what is compressed, and reads no more of it than that takes.
func (s *tiffSamples) unpack(to []byte, from io.Reader) (int, error) {
	switch s.compression {
	case lzwCompressed:
		unpacked := lzw.NewReader(from, lzw.MSB, 8)
		defer unpacked.Close()
		return io.ReadFull(unpacked, to)
	case deflated, deflatedOld:
		unpacked, err := zlib.NewReader(bufio.NewReader(from))
		if err != nil {
			return 0, err
		}
		defer unpacked.Close()
		return io.ReadFull(unpacked, to)
	case zstandard:
		unpacked, err := zstd.NewReader(from, zstd.WithDecoderConcurrency(1), zstd.WithDecoderLowmem(true), zstd.WithDecoderMaxWindow(2*largestBlock))
		if err != nil {
			return 0, err
		}
		defer unpacked.Close()
		return io.ReadFull(unpacked, to)
	case packBits:
		return unpackBits(to, bufio.NewReader(from))
	}
	return io.ReadFull(from, to)
}

// unpackBits undoes PackBits: a byte n of 0 to 127 goes before n+1 bytes, one of 129 to 255 before one that stands for 257−n.
func unpackBits(to []byte, from *bufio.Reader) (int, error) {
	n := 0
	for n < len(to) {
		code, err := from.ReadByte()
		if err != nil {
			return n, io.ErrUnexpectedEOF
		}
		switch {
		case code < 128:
			end := min(n+int(code)+1, len(to))
			more, err := io.ReadFull(from, to[n:end])
			if n += more; err != nil {
				return n, io.ErrUnexpectedEOF
			}
		case code > 128:
			value, err := from.ReadByte()
			if err != nil {
				return n, io.ErrUnexpectedEOF
			}
			end := min(n+257-int(code), len(to))
			copy(to[n:end], bytes.Repeat([]byte{value}, end-n))
			n = end
		}
	}
	return n, nil
}

// undo undoes the predictor of the rows of a block.
func (s *tiffSamples) undo(raw []byte, rowBytes int) {
	switch s.predictor {
	case 2:
		for ; len(raw) > 0; raw = raw[rowBytes:] {
			s.addUp(raw[:rowBytes])
		}
	case 3:
		planes := make([]byte, rowBytes)
		for ; len(raw) > 0; raw = raw[rowBytes:] {
			s.join(raw[:rowBytes], planes)
		}
	}
}

// addUp makes values of the differences of each sample from the one before it, which is predictor 2.
func (s *tiffSamples) addUp(row []byte) {
	order, step := s.file.order, s.stride*s.bytes
	for i := step; i < len(row); i += s.bytes {
		this, before := row[i:i+s.bytes], row[i-step:i-step+s.bytes]
		switch s.bytes {
		case 2:
			order.PutUint16(this, order.Uint16(this)+order.Uint16(before))
		case 4:
			order.PutUint32(this, order.Uint32(this)+order.Uint32(before))
		case 8:
			order.PutUint64(this, order.Uint64(this)+order.Uint64(before))
		}
	}
}

// join makes samples of the differences of their bytes, those of the highest of all samples first, which is predictor 3, of a file with the
// low byte first.
func (s *tiffSamples) join(row, planes []byte) {
	for i := s.stride; i < len(row); i++ {
		row[i] += row[i-s.stride]
	}
	copy(planes, row)
	samples := len(row) / s.bytes
	for i := range samples {
		for k := range s.bytes {
			row[i*s.bytes+s.bytes-1-k] = planes[k*samples+i]
		}
	}
}
