package parquet

import (
	"bytes"
	"context"
	"encoding/binary"
	"testing"

	"dryarc/audit/read/parquet/parquettest"

	"github.com/parquet-go/parquet-go"
	"github.com/parquet-go/parquet-go/encoding/thrift"
	"github.com/parquet-go/parquet-go/format"
	"github.com/stretchr/testify/require"
)

// withFooter is a file that has nothing but a footer.
func withFooter(footer []byte) []byte {
	content := append([]byte(Magic), footer...)
	return append(binary.LittleEndian.AppendUint32(content, uint32(len(footer))), Magic...)
}

// schemaOf are the members of a file that tell of a chain of so many elements, each grouping the next: field 2, a list of structures with a name
// (field 4) and a count (field 5).
func schemaOf(count int) []byte {
	footer := binary.AppendUvarint([]byte{0x15, 2, 0x19, 0xfc}, uint64(count))
	for i := range count {
		footer = append(footer, 0x48, 1, 'a')
		if i < count-1 {
			footer = append(footer, 0x15, 2)
		}
		footer = append(footer, 0)
	}
	return append(footer, 0)
}

// TestFooter holds footers that tell of more than they have, or of more than a table has, to be refused before room is made for it.
func TestFooter(t *testing.T) {
	lists := append([]byte{0x15, 2, 0x19, 0xfc}, binary.AppendUvarint(nil, 1<<31-1)...)
	entries := append(binary.AppendUvarint([]byte{0x49, 0xfc}, mostEntries+1), make([]byte, mostEntries+2)...)
	for name, c := range map[string]struct {
		footer  []byte
		problem string
	}{
		"columns":              {lists, "its footer is damaged: it tells of 2147483647 columns, expected at most 10000"},
		"groups":               {append([]byte{0x49, 0xfc}, binary.AppendUvarint(nil, 1<<31-1)...), "it lists more than 1000000 entries"},
		"entries":              {entries, "it lists more than 1000000 entries"},
		"columns left":         {[]byte{0x15, 2, 0x19, 0x3c}, "it tells of 3 entries in a list with 0 bytes left"},
		"structures":           {bytes.Repeat([]byte{0xfc}, 20_000_000), "it is nested deeper than 64 levels"},
		"lists in lists":       {bytes.Repeat([]byte{0x19}, 100_000), "it is nested deeper than 64 levels"},
		"maps in maps":         {append([]byte{0x1b}, bytes.Repeat([]byte{1, 0xbb}, 100_000)...), "it is nested deeper than 64 levels"},
		"columns in columns":   {schemaOf(9_999), "its columns are nested deeper than 64 levels"},
		"many columns":         {schemaOf(10_001), "it tells of 10001 columns"},
		"columns without room": {[]byte{0x15, 2, 0x19, 0x1c, 0x48, 1, 'a', 0x15, 4, 0, 0}, "it has fewer columns than it tells of"},
		"columns without root": {[]byte{0x15, 2, 0x19, 0x2c, 0x48, 1, 'a', 0, 0x48, 1, 'b', 0, 0}, "it has more columns than it tells of"},
		"no end":               {[]byte{0x15}, "unexpected EOF"},
		"too large":            {make([]byte, largestFooter+1), "its footer has 67108865 bytes, expected at most 67108864"},
	} {
		t.Run(name, func(t *testing.T) {
			content := withFooter(c.footer)
			_, err := Open(bytes.NewReader(content), int64(len(content)))
			require.ErrorContains(t, err, c.problem)
			require.Less(t, len(err.Error()), 200)
		})
	}
}

// amended is a file whose footer tells otherwise.
func amended(t *testing.T, content []byte, amend func(*format.FileMetaData)) []byte {
	t.Helper()
	end := len(content) - 8
	begin := end - int(binary.LittleEndian.Uint32(content[end:]))
	var footer format.FileMetaData
	require.NoError(t, thrift.Unmarshal(new(thrift.CompactProtocol), content[begin:end], &footer))
	amend(&footer)
	text, err := thrift.Marshal(new(thrift.CompactProtocol), footer)
	require.NoError(t, err)
	return append(binary.LittleEndian.AppendUint32(append(bytes.Clone(content[:begin]), text...), uint32(len(text))), Magic...)
}

// TestCounts holds counts of rows and values that contradict each other, or what the columns hold, to be told as damage.
func TestCounts(t *testing.T) {
	var rows [][]parquet.Value
	for i := range 6 {
		rows = append(rows, []parquet.Value{parquet.Int64Value(int64(i)), parquet.ByteArrayValue([]byte{'a', byte('a' + i)})})
	}
	content, err := parquettest.File([]parquettest.Column{{Name: "n", Node: parquet.Int(64)}, {Name: "t", Node: parquet.Optional(parquet.String())}}, rows, nil, 10)
	require.NoError(t, err)
	count := func(file, group, first, second int64) func(*format.FileMetaData) {
		return func(footer *format.FileMetaData) {
			footer.NumRows, footer.RowGroups[0].NumRows = file, group
			footer.RowGroups[0].Columns[0].MetaData.NumValues, footer.RowGroups[0].Columns[1].MetaData.NumValues = first, second
		}
	}
	for name, c := range map[string]struct {
		amend   func(*format.FileMetaData)
		problem string
	}{
		"as it is":     {count(6, 6, 6, 6), ""},
		"file":         {count(5, 6, 6, 6), "it is damaged: it tells of 5 rows, its parts of 6"},
		"group":        {count(5, 5, 6, 6), `it is damaged: its column "n" has 6 values in a group of 5 rows`},
		"column":       {count(6, 6, 6, 9), `it is damaged: its column "t" has 9 values in a group of 6 rows`},
		"below zero":   {count(-1, -1, -1, -1), "invalid file metadata: num_rows=-1 is negative"},
		"fewer in all": {count(5, 5, 5, 5), `after row 0, column "n": is damaged, as its pages tell of more values than it has`},
		"more in all":  {count(7, 7, 7, 7), `row 7, column "n": is damaged, as it has fewer values than rows`},
	} {
		t.Run(name, func(t *testing.T) {
			read, err := readAll(context.Background(), amended(t, content, c.amend))
			if c.problem != "" {
				require.EqualError(t, err, c.problem)
				return
			}
			require.NoError(t, err)
			require.Equal(t, 6, read)
		})
	}
}
