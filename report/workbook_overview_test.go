package report

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

func demoBook(t *testing.T) (*audit.Result, *excelize.File) {
	t.Helper()
	r, jobs := demoJobs(t)
	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, r, &account{jobs: jobs}, generous))
	return r, openFile(t, saved(t, "exceptions.xlsx", b.Bytes()))
}

// What is listed on the first page leads to its row: a job to that of its structure, a line to that of the line.
func TestOverviewLeadsToRows(t *testing.T) {
	r, book := demoBook(t)
	work, lines, worst := cells(t, book, workSheet), cells(t, book, linesSheet), cells(t, book, exceptionsSheet)
	led := map[string]int{}
	for i, row := range cells(t, book, overviewSheet) {
		for k, text := range row {
			cell, err := excelize.CoordinatesToCellName(k+1, i+1)
			require.NoError(t, err)
			is, target, err := book.GetCellHyperLink(overviewSheet, cell)
			require.NoError(t, err)
			if !is || text == "" {
				continue
			}
			sheet, at, _ := strings.Cut(target, "!A")
			to := int(number64(t, at)) - 1
			led[sheet]++
			switch sheet {
			case workSheet:
				require.Equal(t, fmt.Sprintf("%s. %s, %s:", work[to][0], work[to][1], work[to][2]), text)
			case linesSheet:
				require.Equal(t, lines[to][0], text)
			default:
				place, _, _ := strings.Cut(text, "–")
				require.Equal(t, worst[to][2]+", "+worst[to][3], place)
			}
		}
	}
	require.Equal(t, map[string]int{workSheet: listedJobs, linesSheet: min(listedLines, len(r.Lines)), exceptionsSheet: listedWorst}, led)
}

// The first page is one sheet of A4 and holds what is asked first.
func TestFirstPageOfTheOverview(t *testing.T) {
	_, book := demoBook(t)
	area := ""
	for _, name := range book.GetDefinedName() {
		if name.Name == "_xlnm.Print_Area" && name.Scope == overviewSheet {
			area, _, _ = strings.Cut(name.RefersTo, ",")
		}
	}
	var last int
	_, err := fmt.Sscanf(area, "Overview!$A$1:$M$%d", &last)
	require.NoError(t, err, area)
	high, text := 0.0, ""
	for row := 1; row <= last; row++ {
		points, err := book.GetRowHeight(overviewSheet, row)
		require.NoError(t, err)
		high += points
	}
	require.LessOrEqual(t, high, (210-(0.65+0.6)*25.4)/25.4*72, "of A4 across, between its margins")
	layout, err := book.GetPageLayout(overviewSheet)
	require.NoError(t, err)
	require.Equal(t, []int{9, 1, 0}, []int{*layout.Size, *layout.FitToWidth, *layout.FitToHeight})
	for _, row := range cells(t, book, overviewSheet)[:last] {
		text += strings.Join(row, " ") + "\n"
	}
	for _, said := range []string{"What to do first", "Lines by open exceptions per 100 structures", "How far exceptions fall short", "Trend", "What to measure next", "blue tabs", Caution} {
		require.Contains(t, text, said)
	}
	for name, label := range map[string]string{"total_shortfalls": "Shortfalls", "judged_percent": "Could be judged (%)", "rows_left_out": "Register rows left out"} {
		i := slices.IndexFunc(book.GetDefinedName(), func(d excelize.DefinedName) bool { return d.Name == name })
		require.GreaterOrEqual(t, i, 0, name)
		cell := strings.ReplaceAll(strings.TrimPrefix(book.GetDefinedName()[i].RefersTo, "Overview!"), "$", "")
		above, err := book.GetCellValue(overviewSheet, strings.TrimRight(cell, "0123456789")+"4")
		require.NoError(t, err)
		require.Equal(t, label, above)
	}
}

// A text that takes more room than there is ends between words and says where the rest is.
func TestCutAt(t *testing.T) {
	p := &page{book: &book{file: excelize.NewFile()}, sheet: "Sheet1"}
	require.NoError(t, p.book.file.SetColWidth("Sheet1", "A", "A", 20))
	require.Equal(t, "hang it", p.cutAt(1, 1, "hang it", 1, " … see Work"))
	long := strings.Repeat("word ", 40)
	cut := p.cutAt(1, 1, long, 2, " … see Work")
	require.LessOrEqual(t, p.rowsOf(1, 1, cut), 2)
	require.Regexp(t, `^(word ){4,}… see Work$`, cut)
	require.NoError(t, p.err)
}
