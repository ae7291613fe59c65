package parquet

import (
	"bytes"
	"context"
	"errors"
	"io"
	"testing"

	"dryarc/audit/read/parquet/parquettest"

	"github.com/parquet-go/parquet-go"
	"github.com/parquet-go/parquet-go/compress"
	"github.com/parquet-go/parquet-go/format"
	"github.com/stretchr/testify/require"
)

// TestUnpacked holds a page that unpacks to another length than it tells of to be refused, however much comes out of it.
func TestUnpacked(t *testing.T) {
	const length = 20 << 20
	for _, codec := range []compress.Codec{&parquet.Uncompressed, &parquet.Snappy, &parquet.Gzip, &parquet.Brotli, &parquet.Zstd} {
		packed, err := codec.Encode(nil, make([]byte, length))
		require.NoError(t, err)
		for _, told := range []int32{length, length - 1, length + 1, 100} {
			page := io.NewSectionReader(bytes.NewReader(packed), 0, int64(len(packed)))
			err := new(File).checkUnpacked(page, codec.CompressionCodec(), &format.PageHeader{UncompressedPageSize: told})
			if told == length {
				require.NoError(t, err, codec)
			} else {
				require.ErrorContains(t, err, "but unpacks to others", codec)
			}
		}
	}
}

// TestPages holds columns that say less than their pages, or reach beyond the file, to be refused.
func TestPages(t *testing.T) {
	rows := [][]parquet.Value{{parquet.ByteArrayValue(bytes.Repeat([]byte("a"), 1000))}}
	content, err := parquettest.File([]parquettest.Column{{Name: "t", Node: parquet.String()}}, rows, nil, 10)
	require.NoError(t, err)
	for problem, amend := range map[string]func(*format.ColumnMetaData){
		"is damaged, as its pages tell of more than its 900 bytes": func(c *format.ColumnMetaData) { c.TotalUncompressedSize = 900 },
		"is damaged, as it reaches beyond the file":                func(c *format.ColumnMetaData) { c.TotalCompressedSize = 1 << 40 },
		"has a damaged page: it reaches beyond its column":         func(c *format.ColumnMetaData) { c.TotalCompressedSize-- },
	} {
		_, err := readAll(context.Background(), amended(t, content, func(footer *format.FileMetaData) { amend(&footer.RowGroups[0].Columns[0].MetaData) }))
		require.EqualError(t, err, `after row 0, column "t": `+problem)
	}
}

// TestLevels holds a page whose levels tell of fewer texts than it has to be refused: the texts would stand in other rows.
func TestLevels(t *testing.T) {
	var rows [][]parquet.Value
	for i := range 16 {
		rows = append(rows, []parquet.Value{parquet.ByteArrayValue([]byte{'a' + byte(i)})})
	}
	content, err := parquettest.File([]parquettest.Column{{Name: "t", Node: parquet.Optional(parquet.Encoded(parquet.String(), &parquet.Plain))}}, rows, nil, 20, parquet.Compression(&parquet.Uncompressed))
	require.NoError(t, err)
	count, err := readAll(context.Background(), content)
	require.NoError(t, err)
	require.Equal(t, 16, count)
	refused := 0
	for at := range content {
		for bit := range 8 {
			damaged := bytes.Clone(content)
			damaged[at] ^= 1 << bit
			if _, err := readAll(context.Background(), damaged); err != nil && errors.Is(err, errMoreValues) {
				refused++
			}
		}
	}
	require.Positive(t, refused)
}
