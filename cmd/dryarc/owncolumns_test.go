package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// Columns that people add to the workbook are in none that a later run writes; that is said, with --quiet too, and on the sheet Run. A run that finds none
// says nothing.
func TestColumnsThatPeopleAddAreNotDroppedInSilence(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(filepath.Join("..", "..", "testdata", "demo"))))
	out := filepath.Join(dir, "out")
	audited := func(day string) string {
		var told, errs bytes.Buffer
		require.Equal(t, exitDone, run(context.Background(), []string{"audit", filepath.Join(dir, "audit.yaml"), "--out", out, "--as-of", day, "--quiet"}, &told, &errs), errs.String())
		return errs.String()
	}
	workbook := filepath.Join(out, "exceptions.xlsx")
	audited("2026-11-24")
	require.NotContains(t, audited("2026-11-25"), "not taken over", "the columns of the program are its own")

	book, err := excelize.OpenFile(workbook)
	require.NoError(t, err)
	require.NoError(t, book.InsertCols("Work", "B", 1))
	for _, cell := range [...][2]string{{"B1", "Crew"}, {"B2", "north"}, {"B3", "south"}} {
		require.NoError(t, book.SetCellValue("Work", cell[0], cell[1]))
	}
	require.NoError(t, book.SetCellValue("Exceptions", "BA3", "seen by KL"))
	require.NoError(t, book.SetCellValue("Material", "BB1", "Shelf"))
	require.NoError(t, book.Save())
	require.NoError(t, book.Close())

	said := audited("2026-11-26")
	require.Contains(t, said, `column "Crew" of sheet Work (2 cells filled in) is not taken over into the new workbook`)
	require.Contains(t, said, "column BA without a heading of sheet Exceptions (1 cell filled in) is not taken over")
	require.NotContains(t, said, "Shelf", "nothing stands in it")
	book, err = excelize.OpenFile(workbook)
	require.NoError(t, err)
	defer func() { require.NoError(t, book.Close()) }()
	for _, text := range []string{`^column "Crew" of sheet Work`, "^column BA without a heading"} {
		found, err := book.SearchSheet("Run", text, true)
		require.NoError(t, err)
		require.Len(t, found, 1)
	}
	require.NotContains(t, audited("2026-11-27"), "not taken over")
}

// The columns that come with inspections are the program's own in a run that has these no more. Those that people call so elsewhere are not.
func TestColumnsOfInspectionsAreNotThoseOfPeople(t *testing.T) {
	t.Parallel()
	project, _ := flown(t, "", "F1,2026-05-04,SD-132,T-020,1,B,3,0.9,photos/20B.jpg")
	out := filepath.Join(t.TempDir(), "out")
	audited := func(day string) string {
		var told, errs bytes.Buffer
		require.Equal(t, exitDone, run(context.Background(), []string{"audit", project, "--out", out, "--as-of", day, "--quiet"}, &told, &errs), errs.String())
		return errs.String()
	}
	audited("2026-11-24")
	workbook := filepath.Join(out, "exceptions.xlsx")
	book, err := excelize.OpenFile(workbook)
	require.NoError(t, err)
	photos, err := book.SearchSheet("Exceptions", "photos/20B.jpg")
	require.NoError(t, err)
	require.NotEmpty(t, photos)
	require.NoError(t, book.SetCellValue("Work", "BA1", "Photo"))
	require.NoError(t, book.SetCellValue("Work", "BA2", "by KL"))
	require.NoError(t, book.Save())
	require.NoError(t, book.Close())

	text, err := os.ReadFile(project)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(project, regexp.MustCompile(`(?m)^inspections:\n(  .*\n)+`).ReplaceAll(text, nil), 0o600))
	said := audited("2026-11-25")
	require.Contains(t, said, `column "Photo" of sheet Work (1 cell filled in) is not taken over`)
	require.NotContains(t, said, "of sheet Exceptions")

	book, err = excelize.OpenFile(workbook)
	require.NoError(t, err)
	require.Negative(t, slices.Index(book.GetSheetList(), "Inspections"))
	for i, text := range []string{"Inspection", "seen by KL"} {
		require.NoError(t, book.SetCellValue("Exceptions", fmt.Sprint("BA", i+1), text))
	}
	require.NoError(t, book.Save())
	require.NoError(t, book.Close())
	require.Contains(t, audited("2026-11-26"), `column "Inspection" of sheet Exceptions`, "no run wrote it into this workbook")
}
