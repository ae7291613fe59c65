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
