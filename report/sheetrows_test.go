package report

import (
	"bytes"
	"context"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// writtenTable is a workbook with one table of two columns, read back by excelize.
func writtenTable(t *testing.T, rows ...any) *excelize.File {
	t.Helper()
	file := excelize.NewFile()
	b := &book{file: file, looks: looks{file, map[look]int{}}, result: fixtureResult(t)}
	table := b.newTable(context.Background(), "Sheet1", 0, []column{{"What", 10, look{}}, {"Cell", 30, look{wrap: true}}})
	for _, row := range rows {
		table.add("row", row)
	}
	require.NoError(t, table.finish())
	var out bytes.Buffer
	require.NoError(t, b.writeTo(&out))
	require.NoError(t, file.Close())
	read, err := excelize.OpenReader(&out)
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, read.Close()) })
	return read
}

// excelize is the reference: whatever a cell is given, excelize reads.
func TestCells(t *testing.T) {
	const text, number = excelize.CellTypeInlineString, excelize.CellTypeUnset
	tests := []struct {
		value any
		want  string
		kind  excelize.CellType
	}{
		{nil, "", number},
		{"", "", number},
		{"plain", "plain", text},
		{"=1+1", "=1+1", text},
		{`<a & "b"> 'c'`, `<a & "b"> 'c'`, text},
		{"ü 电 𝄞", "ü 电 𝄞", text},
		{"two\nlines\tand a tab", "two\nlines\tand a tab", text},
		{" kept ", " kept ", text},
		{"_x000D_ and _x00e9_", "_x000D_ and _x00e9_", text},
		{"_x12_ _xnone_ _x", "_x12_ _xnone_ _x", text},
		{"bell \a", "bell \uFFFD", text},
		{asRead("bell \a, \x00 and \r\n, \uFFFE _x0007_ \x7f <&>"), "bell \a, \x00 and \r\n, \uFFFE _x0007_ \x7f <&>", text},
		{asRead(strings.Repeat("\x01", 40_000)), strings.Repeat("\x01", longestCell-1) + "…", text},
		{asRead(""), "", number},
		{strings.Repeat("é", 40_000), strings.Repeat("é", longestCell-1) + "…", text},
		{42, "42", number},
		{-7, "-7", number},
		{0.1, "0.1", number},
		{1e21, "1000000000000000000000", number},
		{math.NaN(), "", number},
		{math.Inf(1), "", number},
		{metres(312.40000000000003), "312.4000", number},
		{metres(-0.00001), "0.0000", number},
		{degrees(-70.12345678901), "-70.1234567890", number},
		{computed{"1+1", 2.0}, "2", excelize.CellTypeUnset},
		{computed{`"a"&"b"`, "ab"}, "ab", excelize.CellTypeFormula},
		{styled{"bold", look{bold: true}}, "bold", text},
	}
	values := make([]any, len(tests))
	for i, test := range tests {
		values[i] = test.value
	}
	file := writtenTable(t, values...)
	for i, test := range tests {
		cell, err := excelize.CoordinatesToCellName(2, i+2)
		require.NoError(t, err)
		got, err := file.GetCellValue("Sheet1", cell, excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		require.Equal(t, test.want, got, "%v", test.value)
		kind, err := file.GetCellType("Sheet1", cell)
		require.NoError(t, err)
		require.Equal(t, test.kind, kind, "%v", test.value)
		if c, ok := test.value.(computed); ok {
			formula, err := file.GetCellFormula("Sheet1", cell)
			require.NoError(t, err)
			require.Equal(t, c.formula, formula)
		}
	}
}

func TestUnknownKindOfCell(t *testing.T) {
	file := excelize.NewFile()
	defer func() { require.NoError(t, file.Close()) }()
	b := &book{file: file, looks: looks{file, map[look]int{}}, result: fixtureResult(t)}
	for _, value := range []any{uint8(1), computed{"A1", true}} {
		table := b.newTable(context.Background(), "Sheet1", 0, []column{{"What", 10, look{}}})
		table.add(value)
		require.Error(t, table.finish())
	}
}

// Headings that are the same but for their case, of which a table would take one for a mistake, and those that its part would escape are written so
// that it has them.
func TestHeadingsThatNoTableHasAreFitted(t *testing.T) {
	for second, want := range map[string]string{"b": "b", "A": "A (2)", "": "Column", "two\nlines": "two lines", "one\r\n two": "one two", "_x0041_": "_x0041-", "_x0041_x0042_": "_x0041-x0042_",
		strings.Repeat("x", 255): strings.Repeat("x", 255), strings.Repeat("x", 256): strings.Repeat("x", 254) + "…"} {
		file := excelize.NewFile()
		b := &book{file: file, looks: looks{file, map[look]int{}}, result: fixtureResult(t), shown: true}
		table := b.newTable(context.Background(), "Sheet1", 1, []column{{"a", 10, look{}}, {second, 10, look{}}})
		table.add("x", "y")
		require.NoError(t, table.finish())
		require.NoError(t, table.layOut(file))
		made, err := file.GetTables("Sheet1")
		require.NoError(t, err)
		require.Len(t, made, 1, second)
		require.Equal(t, want, table.columns[1].heading)
		require.NoError(t, file.Close())
	}
}

// Few characters that are wide wrap too, and the row is as high as their two lines.
func TestRowsAreHighEnoughForWideCharacters(t *testing.T) {
	file := excelize.NewFile()
	b := &book{file: file, looks: looks{file, map[look]int{}}, result: fixtureResult(t)}
	table := b.newTable(context.Background(), "Sheet1", 0, []column{{"Line", 10, look{wrap: true}}, {"What", 10, look{wrap: true, bold: true}}})
	rows := []struct {
		line, what string
		high       bool
	}{
		{"A-04 Nowa Wieś", "", true}, {"A-04 lilit til", "", false}, {"A-03", "in force", false}, {"NOWA MAMMOWA", "", true}, {"", "a name so one", true}, {"a name so", "", false},
		{"abcdefghabcdef", "", false}, // which has no place to wrap
	}
	for _, row := range rows {
		table.add(row.line, row.what)
	}
	require.NoError(t, table.finish())
	var out bytes.Buffer
	require.NoError(t, b.writeTo(&out))
	require.NoError(t, file.Close())
	read, err := excelize.OpenReader(&out)
	require.NoError(t, err)
	defer func() { require.NoError(t, read.Close()) }()
	for i, row := range rows {
		height, err := read.GetRowHeight("Sheet1", i+2)
		require.NoError(t, err)
		require.Equal(t, row.high, height > 2*lineHeight, "%v is %g high", row, height)
	}
}
