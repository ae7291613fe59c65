package report

import (
	"bytes"
	"context"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

func TestPagesAcross(t *testing.T) {
	const room = (420 - 2*0.4*25.4) / (8 * 25.4 / 96) // of A3 across, in units of the column width: 188.64
	wide := func(widths ...float64) (columns []column) {
		for _, width := range widths {
			columns = append(columns, column{width: width})
		}
		return columns
	}
	for _, c := range []struct {
		columns []column
		frozen  int
		want    int
	}{
		{wide(20, room-20), 1, 1},
		{wide(20, room-20, 1), 1, 2},
		{wide(20, room-30, room-20), 1, 2},
		{wide(20, room-30, room-20, 1), 1, 3},
		{wide(20, 20, room-40, room-40), 2, 2},
		{wide(20, 20, room-40, room-39.9), 1, 2},
		{nil, 0, 1},
	} {
		require.Equal(t, c.want, pagesAcross(c.columns, c.frozen), c.columns)
	}
}

// The sheet Work prints as large as it is shown, whatever stands in it: with decisions and what is carried it takes more pages.
func TestWorkOnPaper(t *testing.T) {
	r, jobs := demoJobs(t)
	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, r, &account{jobs: jobs}, generous))
	book := openFile(t, saved(t, "exceptions.xlsx", b.Bytes()))
	layout, err := book.GetPageLayout(workSheet)
	require.NoError(t, err)
	require.Equal(t, []any{8, 2, 0, "overThenDown"}, []any{*layout.Size, *layout.FitToWidth, *layout.FitToHeight, *layout.PageOrder})
	titles := ""
	for _, name := range book.GetDefinedName() {
		if name.Scope == workSheet && name.Name == "_xlnm.Print_Titles" {
			titles += name.RefersTo + ";"
		}
	}
	require.Equal(t, "Work!$A:$C,Work!$1:$1;", titles)

	r, a := decidedFixture(t, "exception,line,check,decision,until,by,reason,structure,decided,ended,was\n,N-1,short-string,accept,2026-04-20,K. Lee,spring\n")
	b.Reset()
	require.NoError(t, writeBook(context.Background(), &b, r, a, generous))
	layout, err = openFile(t, saved(t, "exceptions.xlsx", b.Bytes())).GetPageLayout(workSheet)
	require.NoError(t, err)
	require.Equal(t, 2, *layout.FitToWidth)
}

func TestBrokenAt(t *testing.T) {
	for _, c := range []struct {
		text string
		most int
		want []string
	}{
		{"", 5, []string{""}},
		{"all of it", 9, []string{"all of it"}},
		{"all of it", 8, []string{"all of", "it"}},
		{"Höhe über", 9, []string{"Höhe über"}},
		{"a longerword b", 6, []string{"a", "longerword", "b"}},
	} {
		require.Equal(t, c.want, brokenAt(c.text, c.most), c.text)
	}
}

// No remark of a table is wider than what is printed of it, so that none makes the table small on paper, and none of its words is lost.
func TestRemarksAreNoWiderThanTheirTable(t *testing.T) {
	s := lookedAt(t, fixture(t), "at 245 kV")
	var out bytes.Buffer
	require.NoError(t, s.writeBook(context.Background(), &out, s.Today))
	file := openFile(t, saved(t, "scope.xlsx", out.Bytes()))
	for sheet, columns := range map[string]int{materialSheet: 15, changesSheet: 14, stopsSheet: 9, coverageSheet: 11} {
		width := 0.0
		for i := 1; i <= columns; i++ {
			name, err := excelize.ColumnNumberToName(i)
			require.NoError(t, err)
			w, err := file.GetColWidth(sheet, name)
			require.NoError(t, err)
			width += w
		}
		rows, err := file.GetRows(sheet)
		require.NoError(t, err)
		remarks := 0
		text := ""
		for _, row := range rows {
			if len(row) == 1 {
				remarks++
				text += row[0] + " "
				require.LessOrEqual(t, float64(utf8.RuneCountInString(row[0])), width*charactersPerWidth, "%s: %s", sheet, row[0])
			}
		}
		require.GreaterOrEqual(t, remarks, 2, sheet)
		if sheet == materialSheet || sheet == changesSheet {
			require.Contains(t, text, scopeUnits)
		}
	}
}
