package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// onMaterial changes the rows of the sheet Material, its heading included, and saves the workbook.
func onMaterial(t *testing.T, path string, change func(rows [][]string) [][]string) {
	t.Helper()
	book, err := excelize.OpenFile(path)
	require.NoError(t, err)
	rows, err := book.GetRows("Material", excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	require.NoError(t, book.DeleteSheet("Material"))
	_, err = book.NewSheet("Material")
	require.NoError(t, err)
	for i, row := range change(rows) {
		values := make([]any, len(row))
		for k, text := range row {
			values[k] = text
		}
		require.NoError(t, book.SetSheetRow("Material", fmt.Sprintf("A%d", i+1), &values))
	}
	require.NoError(t, book.Save())
}

// stockOn is what stands under In stock on Material, by type, where anything does.
func stockOn(t *testing.T, path string) map[string]string {
	t.Helper()
	book, err := excelize.OpenFile(path)
	require.NoError(t, err)
	rows, err := book.GetRows("Material", excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	at := slices.Index(rows[0], "In stock")
	found := map[string]string{}
	for _, row := range rows[1:] {
		if len(row) > at && row[at] != "" {
			found[row[1]] = row[at]
		}
	}
	return found
}

// What the store types under In stock stands there again after each run, wherever rows and columns were moved, in a project without decisions too.
func TestStockSurvivesTheNextRun(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(filepath.Join("..", "..", "testdata", "demo"))))
	out := filepath.Join(dir, "out")
	audited := func(day string) string {
		var told, errs bytes.Buffer
		require.Equal(t, exitDone, run(context.Background(), []string{"audit", filepath.Join(dir, "audit.yaml"), "--out", out, "--as-of", day}, &told, &errs), errs.String())
		return errs.String()
	}
	workbook := filepath.Join(out, "exceptions.xlsx")
	require.NotContains(t, audited("2026-11-25"), "In stock")
	onMaterial(t, workbook, func(rows [][]string) [][]string {
		at := slices.Index(rows[0], "In stock")
		for i := range rows {
			rows[i] = append(rows[i], make([]string, len(rows[0])-len(rows[i]))...)
			switch {
			case rows[i][2] != "all lines":
			case rows[i][1] == "U160BL":
				rows[i][at] = "40"
			case rows[i][1] == "CLR-145":
				rows[i][at] = "a box"
			}
			rows[i] = slices.Concat(rows[i][at:at+1], rows[i][:at], rows[i][at+1:]) // the column first
		}
		gone := slices.Clone(rows[1])
		gone[0], gone[1+1] = "17", "GONE-1"
		slices.Reverse(rows[1:])
		return append(rows, gone)
	})
	want := map[string]string{"U160BL": "40", "CLR-145": "a box", "GONE-1": "17"}
	for _, day := range []string{"2026-11-26", "2026-11-26", "2026-11-27"} {
		said := audited(day)
		require.Equal(t, want, stockOn(t, workbook), said)
		require.Contains(t, said, "In stock of CLR-145 (a box) is no whole number of 0 or more; it stays as it is")
		require.Contains(t, said, "In stock of GONE-1 (17) has no row of work any more; it stands at the end of Material until its cell is emptied")
	}
	onMaterial(t, workbook, func(rows [][]string) [][]string {
		at := slices.Index(rows[0], "In stock")
		for _, row := range slices.Clone(rows[1:]) {
			if len(row) > at && row[1] == "U160BL" && row[at] == "40" {
				twice := slices.Clone(row)
				twice[at] = "41"
				rows = append(rows, twice)
			}
			if len(row) > at && row[1] == "GONE-1" {
				row[at] = ""
			}
		}
		return rows
	})
	said := audited("2026-11-28")
	require.Regexp(t, `In stock of U160BL is 40 in Material row \d+ and 41 in Material row \d+; it is left blank`, said)
	require.NotContains(t, said, "GONE-1")
	require.Equal(t, map[string]string{"CLR-145": "a box"}, stockOn(t, workbook))
	require.NoError(t, os.WriteFile(workbook, []byte("no workbook"), 0o666))
	require.Contains(t, audited("2026-11-29"), "what stood under In stock is not taken over: ")
}

// What a run does not take over of the stock is said with --quiet too, and on the sheet.
func TestLostStockIsSaidWithQuiet(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(filepath.Join("..", "..", "testdata", "demo"))))
	out := filepath.Join(dir, "out")
	audited := func(day string, more ...string) string {
		var told, errs bytes.Buffer
		require.Equal(t, exitDone, run(context.Background(), append([]string{"audit", filepath.Join(dir, "audit.yaml"), "--out", out, "--as-of", day, "--quiet"}, more...), &told, &errs), errs.String())
		require.Empty(t, told.String())
		return errs.String()
	}
	workbook := filepath.Join(out, "exceptions.xlsx")
	quiet := audited("2026-11-25")
	require.NotContains(t, quiet, "In stock")
	typed := func(rename string) {
		onMaterial(t, workbook, func(rows [][]string) [][]string {
			at := slices.Index(rows[0], "In stock")
			for i := range rows {
				rows[i] = append(rows[i], make([]string, len(rows[0])-len(rows[i]))...)
				if rows[i][1] == "U160BL" && rows[i][2] == "all lines" {
					rows[i][at] = "40"
				}
			}
			rows[0][at] = rename
			return rows
		})
	}
	typed("In stock")
	require.Equal(t, quiet, audited("2026-11-26"), "what is kept is not worth a word")
	require.Equal(t, map[string]string{"U160BL": "40"}, stockOn(t, workbook))
	typed("Stock of November")
	said := audited("2026-11-27")
	require.Contains(t, said, "what stood under In stock is not taken over: "+workbook+`!Material: has no headings "Type" and "In stock" beside each other, but "Item", "Type", "Line", `)
	require.Contains(t, said, `"Stock of November"`)
	book, err := excelize.OpenFile(workbook)
	require.NoError(t, err)
	onSheet, err := book.SearchSheet("Material", "^what stood under In stock is not taken over: ", true)
	require.NoError(t, err)
	require.NotEmpty(t, onSheet)
	require.NoError(t, os.WriteFile(workbook, []byte("no workbook"), 0o666))
	require.Contains(t, audited("2026-11-28"), "what stood under In stock is not taken over: ")
}

// A run of some lines keeps the stock of all, and says that it does not know what the lines that it left out take.
func TestStockOfARunOfSomeLines(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(filepath.Join("..", "..", "testdata", "demo"))))
	out := filepath.Join(dir, "out")
	audited := func(day string, more ...string) string {
		var told, errs bytes.Buffer
		require.Equal(t, exitDone, run(context.Background(), append([]string{"audit", filepath.Join(dir, "audit.yaml"), "--out", out, "--as-of", day}, more...), &told, &errs), errs.String())
		return errs.String()
	}
	workbook := filepath.Join(out, "exceptions.xlsx")
	audited("2026-11-25")
	onMaterial(t, workbook, func(rows [][]string) [][]string {
		at := slices.Index(rows[0], "In stock")
		for i := range rows {
			rows[i] = append(rows[i], make([]string, len(rows[0])-len(rows[i]))...)
			if i > 0 && rows[i][2] == "all lines" {
				rows[i][at] = "7"
			}
		}
		return rows
	})
	all := audited("2026-11-26")
	require.NotContains(t, all, "left lines out: To fit")
	require.NotContains(t, all, "no row of work")
	stock := stockOn(t, workbook)
	require.Greater(t, len(stock), 2)
	some := audited("2026-11-27", "--lines", "DP-33")
	require.Equal(t, stock, stockOn(t, workbook))
	require.Contains(t, some, "This run left lines out: To fit and To order are of the others alone, and what the work of those left out takes of the same stock is not counted")
	require.Contains(t, some, "has no row of work of the lines of this run; it stands at the end of Material until a run of all lines gives it one, or its cell is emptied")
	require.NotContains(t, some, "any more")
	again := audited("2026-11-28")
	require.NotContains(t, again, "left lines out")
	require.NotContains(t, again, "no row of work")
	require.Equal(t, stock, stockOn(t, workbook))
}
