package read

import (
	"context"
	"fmt"
	"maps"
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
