package read

import (
	"context"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// readChanged reads the base project after a change in the XML of a part of its register.
func readChanged(t *testing.T, part, old, new string) (*audit.Project, error) {
	t.Helper()
	path := newBase().write(t)
	rewrite(t, filepath.Join(filepath.Dir(path), "register.xlsx"), part, func(xml string) string {
		require.Contains(t, xml, old)
		return strings.Replace(xml, old, new, 1)
	})
	return Project(context.Background(), path)
}

const firstSheet = "xl/worksheets/sheet1.xml"

func TestLibraryReadsOn(t *testing.T) {
	want := newBase().mustRead(t)
	for name, change := range map[string][2]string{
		"from the start":        {`encoding="UTF-8"`, `encoding="us-ascii"`},
		"from the first row":    {`r="A1"`, `r="$A$1"`},
		"from the second row":   {`r="A2"`, `r="$A$2"`},
		"from the third row":    {`r="D3"`, `r="$D$3"`},
		"an element of its own": {`<c r="A3"`, `<other/><c r="A3"`},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := readChanged(t, firstSheet, change[0], change[1])
			require.NoError(t, err)
			require.Empty(t, faultsOf(got))
			require.Equal(t, fmt.Sprint(maps.Collect(want.Assemblies.All())), fmt.Sprint(maps.Collect(got.Assemblies.All())))
			require.Equal(t, want.RowsRead, got.RowsRead)
		})
	}
}

func TestSheetProblems(t *testing.T) {
	for name, c := range map[string]struct{ part, old, new, message string }{
		"damaged in its last row": {firstSheet, `r="D3"`, `r=D3`, "register.xlsx!Assemblies: is damaged: nothing can be read beyond row 2 of 3"},
		"damaged after its rows":  {firstSheet, "</sheetData>", "\x0b</sheetData>", "register.xlsx!Assemblies: is damaged: nothing can be read beyond row 3"},
		"damaged before its rows": {firstSheet, "<sheetData>", "\x0b<sheetData>", "register.xlsx!Assemblies: cannot be read: xl/worksheets/sheet1.xml: is no well-formed XML"},
		"damaged texts":           {"xl/sharedStrings.xml", "</si>", "</x>", "register.xlsx!Units: cannot be read: xl/sharedStrings.xml: is no well-formed XML"},
		"cells out of order":      {firstSheet, `r="B3"`, `r="A3"`, "register.xlsx!Assemblies: is damaged: cell A3 stands after cell A3"},
		"rows out of order":       {firstSheet, `<row r="3"`, `<row r="2"`, "register.xlsx!Assemblies: is damaged: row 2 stands after row 2"},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := readChanged(t, c.part, c.old, c.new)
			requireInputError(t, err, c.message, saveHint)
		})
	}
}

// TestRowsToCome estimates the rows of a sheet from the first of them.
func TestRowsToCome(t *testing.T) {
	const rows, read = 6000, 1000
	table := grid{{"Line", "Structure", "Duty", "Unit", "Units per string"}}
	var text strings.Builder
	for i := range rows {
		table = append(table, []any{"L1", i, "tension", "U120B", 10})
		fmt.Fprintf(&text, "L1,%d,tension,U120B,10\n", i)
	}
	b := newBase()
	b.assemblies = table
	folder := filepath.Dir(b.write(t))
	workbook, err := openSpreadsheet("register.xlsx", heldAt(t, filepath.Join(folder, "register.xlsx")))
	require.NoError(t, err)
	defer workbook.close()
	path := filepath.Join(folder, "assemblies.csv")
	require.NoError(t, os.WriteFile(path, []byte(text.String()), 0o600))
	for name, content := range map[string]book{"workbook": workbook, "text": &textFile{projectFile: newProjectFile(), content: heldAt(t, path)}} {
		sheet, err := openSheet(context.Background(), content, assembliesSheet)
		require.NoError(t, err)
		require.Zero(t, sheet.rowsToCome(0), name)
		for range read {
			require.True(t, sheet.next())
		}
		require.InEpsilon(t, rows-read, sheet.rowsToCome(read), 0.3, name)
		for sheet.next() {
		}
		require.NoError(t, sheet.err)
		require.Less(t, sheet.rowsToCome(rows), rows/50, name)
		sheet.close()
	}
}
