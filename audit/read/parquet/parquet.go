// Package parquet reads tables in Parquet, with the geometries of GeoParquet. A file enters; rows leave one by one, each with its cells as
// text and its geometry. It knows nothing of what they mean.
package parquet

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/klauspost/compress/zstd"
	"github.com/parquet-go/parquet-go"
	"github.com/parquet-go/parquet-go/format"
)

// Magic is how the bytes of a file start, and end.
const Magic = "PAR1"

// File is an open file.
type File struct {
	file     *parquet.File
	from     io.ReaderAt
	size     int64
	columns  []Column
	geometry *Geometry
	zstd     *zstd.Decoder // nil until a page needs it
}

// Open reads what a file says of itself. size is its length in bytes.
func Open(from io.ReaderAt, size int64) (f *File, err error) {
	defer caught(&err)
	if err := checkFooter(from, size); err != nil {
		return nil, err
	}
	file, err := parquet.OpenFile(from, size, parquet.SkipPageIndex(true), parquet.SkipBloomFilters(true))
	if err != nil {
		return nil, err
	}
	f = &File{file: file, from: from, size: size}
	if err := errors.Join(f.checkCounts(), f.checkCompression()); err != nil {
		return nil, err
	}
	if f.geometry, err = geometryOf(file); err != nil {
		return nil, err
	}
	if f.columns, err = f.findColumns(); err != nil {
		return nil, err
	}
	return f, nil
}

// checkCounts holds what the file says of its rows against its parts, and those against their columns.
func (f *File) checkCounts() error {
	var sum int64
	leaves := f.file.Schema().Columns()
	for _, group := range f.file.Metadata().RowGroups {
		if group.NumRows < 0 || sum+group.NumRows < sum {
			return errors.New("it is damaged: its counts of rows contradict each other")
		}
		sum += group.NumRows
		for i, chunk := range group.Columns {
			leaf, _ := f.file.Schema().Lookup(leaves[i]...)
			if count := chunk.MetaData.NumValues; leaf.MaxRepetitionLevel == 0 && count != group.NumRows {
				return fmt.Errorf("it is damaged: its column %q has %d values in a group of %d rows", strings.Join(leaves[i], "."), count, group.NumRows)
			}
		}
	}
	if all := f.file.NumRows(); sum != all {
		return fmt.Errorf("it is damaged: it tells of %d rows, its parts of %d", all, sum)
	}
	return nil
}

// checkCompression refuses columns compressed by LZ4, which the library unpacks without a bound where they are damaged, or into other values.
func (f *File) checkCompression() error {
	for _, group := range f.file.Metadata().RowGroups {
		for _, chunk := range group.Columns {
			switch of := chunk.MetaData.Codec; of {
			case format.Uncompressed, format.Snappy, format.Gzip, format.Brotli, format.Zstd:
			default:
				return fmt.Errorf("its column %q is compressed by %v, expected zstd, snappy, gzip, brotli or none", strings.Join(chunk.MetaData.PathInSchema, "."), of)
			}
		}
	}
	return nil
}

// Columns lists the columns of the file but for that of the geometry and that of its extents.
func (f *File) Columns() []Column { return f.columns }

// Geometry is what the file says of its geometry; nil where it has none.
func (f *File) Geometry() *Geometry { return f.geometry }

// caught makes an error of a panic of the library, which broken files bring about.
func caught(err *error) {
	if p := recover(); p != nil {
		*err = fmt.Errorf("it is damaged (%v)", p)
	}
}
