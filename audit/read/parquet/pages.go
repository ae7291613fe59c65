package parquet

import (
	"errors"
	"fmt"
	"io"

	"github.com/andybalholm/brotli"
	"github.com/klauspost/compress/gzip"
	"github.com/klauspost/compress/snappy"
	"github.com/klauspost/compress/zstd"
	"github.com/parquet-go/parquet-go/encoding/thrift"
	"github.com/parquet-go/parquet-go/format"
)

const (
	largestHeader = 16 << 20  // bytes of that of a page, with the statistics in it
	largestWindow = 128 << 20 // bytes that zstd may refer back to
)

// checkPages walks through the pages of a column of a group before the library unpacks them, as it does not bound that: each must unpack to as
// much as it says, all to no more than the footer says, and that must be in proportion to the file.
//
// Source: Apache Parquet, parquet.thrift (PageHeader, ColumnMetaData).
func (f *File) checkPages(chunk *format.ColumnMetaData) error {
	at := chunk.DataPageOffset
	if chunk.DictionaryPageOffset != 0 {
		at = chunk.DictionaryPageOffset
	}
	end := at + chunk.TotalCompressedSize
	if at < 0 || end < at || end > f.size {
		return errors.New("is damaged, as it reaches beyond the file")
	}
	var unpacked, values int64
	for at < end {
		header, length, err := f.pageAt(at, end)
		if err != nil {
			return fmt.Errorf("has a damaged page: %w", err)
		}
		at += length
		size := int64(header.CompressedPageSize)
		unpacked += int64(header.UncompressedPageSize)
		if header.Type == format.DataPageV2 {
			values += int64(header.DataPageHeaderV2.V.NumValues)
		} else {
			values += int64(header.DataPageHeader.V.NumValues)
		}
		switch {
		case size < 0 || header.UncompressedPageSize < 0 || size > end-at:
			return errors.New("has a damaged page: it reaches beyond its column")
		case unpacked > chunk.TotalUncompressedSize:
			return fmt.Errorf("is damaged, as its pages tell of more than its %d bytes", chunk.TotalUncompressedSize)
		case values > chunk.NumValues || header.DictionaryPageHeader.V.NumValues > header.UncompressedPageSize:
			return errors.New("is damaged, as its pages tell of more values than it has")
		case tooDense(unpacked, f.size) || tooDense(values, f.size):
			return errTooDense
		}
		if err := f.checkUnpacked(io.NewSectionReader(f.from, at, size), chunk.Codec, header); err != nil {
			return fmt.Errorf("has a damaged page: %w", err)
		}
		at += size
	}
	return nil
}

// pageAt reads the header of a page, and how many bytes it has.
func (f *File) pageAt(at, end int64) (header *format.PageHeader, length int64, err error) {
	for room := int64(4 << 10); ; room *= 16 {
		text := make([]byte, min(room, end-at))
		if _, err := f.from.ReadAt(text, at); err != nil && err != io.EOF {
			return nil, 0, err
		}
		w := walkOf(text)
		err := w.structure(1, func(_ int16, of thrift.Type, depth int) error { return w.value(of, depth) })
		if err != nil && room < min(largestHeader, end-at) {
			continue
		}
		if err != nil {
			return nil, 0, err
		}
		header = new(format.PageHeader)
		return header, int64(w.passed()), thrift.NewDecoder(walkOf(text).Reader).Decode(header)
	}
}

// checkUnpacked holds a page to unpack to as many bytes as it says. In version 2 what tells which values there are stands before, as it is.
func (f *File) checkUnpacked(page *io.SectionReader, codec format.CompressionCodec, header *format.PageHeader) (err error) {
	want, packed := int64(header.UncompressedPageSize), true
	if header.Type == format.DataPageV2 {
		v2 := header.DataPageHeaderV2.V
		before := int64(v2.DefinitionLevelsByteLength) + int64(v2.RepetitionLevelsByteLength)
		if v2.DefinitionLevelsByteLength < 0 || v2.RepetitionLevelsByteLength < 0 || before > want || before > page.Size() {
			return errors.New("its counts contradict each other")
		}
		page, want = io.NewSectionReader(page, before, page.Size()-before), want-before
		packed = !v2.IsCompressed.Valid || v2.IsCompressed.V
	}
	has := page.Size()
	if packed && want > 0 && codec != format.Uncompressed {
		if has, err = f.unpackedSize(page, codec, want+1); err != nil {
			return err
		}
	}
	if has != want && want > 0 {
		return fmt.Errorf("it tells of %d bytes, but unpacks to others", want)
	}
	return nil
}

// unpackedSize is how many bytes a page unpacks to, up to most.
func (f *File) unpackedSize(page io.Reader, codec format.CompressionCodec, most int64) (int64, error) {
	switch codec {
	case format.Snappy:
		head := make([]byte, 10)
		n, _ := io.ReadFull(page, head)
		size, err := snappy.DecodedLen(head[:n])
		return int64(size), err
	case format.Gzip:
		r, err := gzip.NewReader(page)
		if err != nil {
			return 0, err
		}
		return io.Copy(io.Discard, io.LimitReader(r, most))
	case format.Zstd:
		if f.zstd == nil {
			var err error
			if f.zstd, err = zstd.NewReader(nil, zstd.WithDecoderConcurrency(1), zstd.WithDecoderMaxWindow(largestWindow)); err != nil {
				return 0, err
			}
		}
		if err := f.zstd.Reset(page); err != nil {
			return 0, err
		}
		return io.Copy(io.Discard, io.LimitReader(f.zstd, most))
	}
	return io.Copy(io.Discard, io.LimitReader(brotli.NewReader(page), most))
}
