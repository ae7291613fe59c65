package xlsx

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// bookRows reads a sheet through all that a book knows of its rows.
func bookRows(t *testing.T, book Book, sheet string) []Row {
	t.Helper()
	rows, err := book.Rows(context.Background(), sheet)
	require.NoError(t, err)
	defer rows.Close()
	var all []Row
	var row Row
	for {
		more, err := rows.Next(&row)
		require.NoError(t, err)
		if !more {
			require.NoError(t, rows.Damage())
			return all
		}
		given := row
		given.Cells = append([]string(nil), row.Cells...)
		all = append(all, given)
	}
}

// TestBook holds that a sheet has the same rows and merged areas whoever reads it, or reads the rest of it.
func TestBook(t *testing.T) {
	const rows = `<row r="1"><c r="A1"><v>1</v></c></row><row r="3" hidden="1"><c r="A3"><v>2</v></c><c r="C3"><f>A1</f></c></row><row r="4"><c r="B4" t="str"><v>x</v></c></row>`
	const areas = `</sheetData><mergeCells count="2"><mergeCell ref="A1:B1"/><mergeCell ref="A3:A4"/></mergeCells>`
	want := []Row{{Number: 1, Cells: []string{"1"}}, {Number: 3, Cells: []string{"2", "", ""}, Formulas: map[int]string{2: "=A1"}, Hidden: true}, {Number: 4, Cells: []string{"", "x"}}}
	for name, odd := range map[string][2]string{
		"the scanner": {"", ""}, "the library alone": {"", ""}, "the library from row 1 on": {`r="A1"`, `r="$A$1"`}, "the library from row 3 on": {`r="A3"`, `r="$A$3"`}, "the library in row 3": {`r="C3"`, `r="$C$3"`},
		"the library from row 4 on": {`r="B4"`, `r="$B$4"`},
	} {
		t.Run(name, func(t *testing.T) {
			parts := smallBook(rows, "")
			const part = "xl/worksheets/sheet1.xml"
			parts[part] = strings.Replace(strings.Replace(parts[part], "</sheetData>", areas, 1), odd[0], odd[1], 1)
			if name == "the library alone" { // the scanner knows no two sheets of a name
				parts["xl/workbook.xml"] = strings.Replace(parts["xl/workbook.xml"], "</sheets>", `<sheet name="ONE" sheetId="2" r:id="r1"/></sheets>`, 1)
			}
			content := zipped(t, parts)
			book, err := Open(bytes.NewReader(content), int64(len(content)))
			require.NoError(t, err)
			require.Equal(t, "One", book.Sheets()[0])
			require.False(t, book.From1904())
			got := bookRows(t, book, "One")
			if len(got) > len(want) { // the library gives blank rows too
				got = append(got[:1], got[2:]...)
			}
			for i := range got {
				for len(got[i].Cells) < len(want[i].Cells) { // and no blank cells at the end of one
					got[i].Cells = append(got[i].Cells, "")
				}
			}
			require.Equal(t, want, got)
			require.Equal(t, []Area{{0, 3, 4}}, book.Merged(context.Background(), "One"))
			require.Equal(t, []Across{{0, 1, 1, 1}}, book.MergedAcross(context.Background(), "One", 1))
			require.Empty(t, book.MergedAcross(context.Background(), "One", 0))
			require.NoError(t, book.Close())
		})
	}
}

func TestOpenUnusable(t *testing.T) {
	open := func(content []byte) error {
		book, err := Open(bytes.NewReader(content), int64(len(content)))
		require.Nil(t, book)
		return err
	}
	var none *NoWorkbookError
	require.ErrorAs(t, open(nil), &none)
	require.ErrorAs(t, open([]byte("Line,Structure")), &none)
	require.ErrorAs(t, open(zipped(t, map[string]string{"xl/texts.xml": "<x/>"})), &none)
	var whole *BookError
	declared := smallBook("", "")
	declared["xl/workbook.xml"] = `<!DOCTYPE x>` + declared["xl/workbook.xml"]
	err := open(zipped(t, declared))
	require.ErrorAs(t, err, &whole)
	require.ErrorIs(t, err, ErrDeclared)
}
