package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// leastPoints is the smallest that text may be on paper.
const leastPoints = 9

// Every sheet of the workbook prints its text no smaller than nine points: scale times font, of the demo project and of the real case.
func TestTextOfTheWorkbookOnPaper(t *testing.T) {
	t.Parallel()
	t.Run("demo", func(t *testing.T) {
		out := t.TempDir()
		auditInto(t, demoProject, out)
		requireReadable(t, filepath.Join(out, "exceptions.xlsx"))
	})
	t.Run("risk", func(t *testing.T) {
		out := t.TempDir()
		auditInto(t, riskProject(t), out, "--also", "risk")
		requireReadable(t, filepath.Join(out, "exceptions.xlsx"))
	})
	t.Run("decided", func(t *testing.T) {
		d := newDecidable(t)
		d.audit("2026-01-01", exitDone)
		requireReadable(t, d.workbook())
	})
	t.Run("andes", func(t *testing.T) {
		cases := os.Getenv("DRYARC_CASES")
		if cases == "" {
			t.Skip("DRYARC_CASES names no folder of real cases")
		}
		out := t.TempDir()
		auditInto(t, filepath.Join(cases, "andes", "audit.yaml"), out)
		requireReadable(t, filepath.Join(out, "exceptions.xlsx"))
	})
}

func requireReadable(t *testing.T, path string) {
	t.Helper()
	book, err := excelize.OpenFile(path)
	require.NoError(t, err)
	defer func() { require.NoError(t, book.Close()) }()
	smallest := math.Inf(1)
	for i := 0; ; i++ {
		style, err := book.GetStyle(i)
		if err != nil {
			require.Greater(t, i, 20)
			break
		}
		if style.Font != nil {
			smallest = min(smallest, style.Font.Size)
		}
	}
	for _, sheet := range book.GetSheetList() {
		scale := printedScale(t, book, sheet)
		t.Logf("%s: %.2f points, %.0f %%", sheet, scale*smallest, 100*scale)
		require.GreaterOrEqual(t, scale*smallest, float64(leastPoints), sheet)
		margins, err := book.GetHeaderFooter(sheet)
		require.NoError(t, err)
		for _, font := range regexp.MustCompile(`&(\d+)`).FindAllStringSubmatch(margins.OddHeader+margins.OddFooter, -1) {
			points, err := strconv.Atoi(font[1])
			require.NoError(t, err)
			require.GreaterOrEqual(t, points, leastPoints, sheet)
		}
	}
}

// unitPoints is how wide one unit of a column is on paper: 6 points by the workbook's font (computed), 6.099 in LibreOffice (measured on its PDF).
const unitPoints = 6.099

var (
	areaColumns  = regexp.MustCompile(`\$([A-Z]+)\$\d+:\$([A-Z]+)\$\d+`)
	titleColumns = regexp.MustCompile(`\$([A-Z]+):\$([A-Z]+)`)
)

// printedScale is the scale at which a sheet is printed, by its paper, margins, widths of columns and what repeats on each page.
func printedScale(t *testing.T, book *excelize.File, sheet string) float64 {
	t.Helper()
	layout, err := book.GetPageLayout(sheet)
	require.NoError(t, err)
	props, err := book.GetSheetProps(sheet)
	require.NoError(t, err)
	if !*props.FitToPage {
		return float64(*layout.AdjustTo) / 100
	}
	require.Zero(t, *layout.FitToHeight, "%s: rows go over as many pages as they take", sheet)
	margins, err := book.GetPageMargins(sheet)
	require.NoError(t, err)
	long := map[int]float64{9: 297, 8: 420}[*layout.Size] // A4 and A3 across, in mm (ISO 216)
	require.NotZero(t, long, sheet)
	room := long/25.4*72 - 72*(*margins.Left+*margins.Right)

	dimension, err := book.GetSheetDimension(sheet)
	require.NoError(t, err)
	_, end, _ := strings.Cut(dimension, ":")
	columns := 0
	if end != "" {
		columns, _, err = excelize.CellNameToCoordinates(end)
		require.NoError(t, err)
	}
	rows, err := book.Rows(sheet)
	require.NoError(t, err)
	for n := 0; n < 20 && rows.Next(); n++ {
		cells, err := rows.Columns()
		require.NoError(t, err)
		columns = max(columns, len(cells))
	}
	require.NoError(t, rows.Close())
	repeated := 0
	number := func(letters string) int {
		n, err := excelize.ColumnNameToNumber(letters)
		require.NoError(t, err)
		return n
	}
	for _, name := range book.GetDefinedName() {
		if name.Scope != sheet {
			continue
		}
		if area := areaColumns.FindStringSubmatch(name.RefersTo); name.Name == "_xlnm.Print_Area" && area != nil {
			columns = number(area[2])
		}
		if title := titleColumns.FindStringSubmatch(name.RefersTo); name.Name == "_xlnm.Print_Titles" && title != nil {
			repeated = number(title[2])
		}
	}
	var widths []float64
	for i := 1; i <= columns; i++ {
		letters, err := excelize.ColumnNumberToName(i)
		require.NoError(t, err)
		width, err := book.GetColWidth(sheet, letters)
		require.NoError(t, err)
		if seen, err := book.GetColVisible(sheet, letters); err != nil || !seen {
			width = 0
		}
		widths = append(widths, width*unitPoints)
	}
	require.NotEmpty(t, widths, sheet)
	for percent := 100; percent > 5; percent-- {
		if across(widths, repeated, room/(float64(percent)/100)) <= *layout.FitToWidth {
			return float64(percent) / 100
		}
	}
	return 0
}

// across is how many pages columns take beside each other; the first ones repeat on each.
func across(widths []float64, repeated int, room float64) int {
	pages, used, again := 1, 0.0, 0.0
	for i, width := range widths {
		if i == repeated {
			again = used
		}
		if used+width > room && i > repeated {
			pages, used = pages+1, again
		}
		used += width
	}
	return pages
}

func TestAcross(t *testing.T) {
	for _, c := range []struct {
		widths   []float64
		repeated int
		want     int
	}{{[]float64{40, 60}, 1, 1}, {[]float64{40, 30, 31}, 1, 2}, {[]float64{40, 60, 60, 1}, 1, 3}, {[]float64{40, 20, 60, 40}, 1, 3}, {nil, 0, 1}} {
		require.Equal(t, c.want, across(c.widths, c.repeated, 100), fmt.Sprint(c.widths))
	}
}
