package report

import (
	"bytes"
	"context"
	"testing"

	"github.com/stretchr/testify/require"
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
