package read

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Every column of every sheet says of any cell whether it is read, without a register around it.
func TestCellsOfEveryColumnAreTried(t *testing.T) {
	for _, sheet := range Sheets() {
		for _, column := range sheet.Columns {
			for _, cell := range []string{"x", "1", "A", "Double Tension", "2 x 23", "12.03.2024", "yes", "tension", "#N/A"} {
				require.NotPanics(t, func() { CellReads(sheet.Name, column.Name)(cell) }, "%s %s %q", sheet.Name, column.Name, cell)
			}
			if column.Number {
				require.False(t, CellReads(sheet.Name, column.Name)("x"), column.Name)
			}
			for _, word := range column.Words {
				require.True(t, CellReads(sheet.Name, column.Name)(word), "%s %q", column.Name, word)
			}
		}
	}
}

// An archive with several shapefiles is looked at one by one, and one without a system can be looked at all the same.
func TestLookAtAnArchive(t *testing.T) {
	path := filepath.Join(t.TempDir(), "l.zip")
	require.NoError(t, os.WriteFile(path, zipped(t, `[a/towers.shp]
type 1
field line C 8
field structure C 8
10 50 | L1 | 1
10.003 50 | L1 | 2
[b/poles.shp]
type 1
field line C 8
field pole C 8
455000 5412000 | L2 | 1
`), 0o600))
	look, err := LookAt(context.Background(), path)
	require.NoError(t, err)
	require.Empty(t, look.Sheets)
	require.Len(t, look.Layers, 2)
	first, second := look.Layers[0], look.Layers[1]
	require.Equal(t, []any{"a/towers.shp", 2, true}, []any{first.Name, first.Points, first.InDegrees})
	require.Equal(t, []LookedValue{{"L1", 2}}, first.Property("line").Values)
	require.Equal(t, []any{"b/poles.shp", 1, false}, []any{second.Name, second.Points, second.InDegrees})
	require.Equal(t, []string{"pole"}, second.Meant("structures", "structure"))
}

// Texts too long to be held whole are one value where what is held of them is.
func TestLongTextsAreCounted(t *testing.T) {
	counted := newTally("Remarks")
	for range 3 {
		counted.note(strings.Repeat("long ", longestName))
	}
	require.Equal(t, 3, counted.Rows)
	require.Equal(t, []LookedValue{{excerpt(strings.Repeat("long ", longestName)), 3}}, counted.Values)
}

// TestLookAtPointsInAWorkbook holds that a sheet of points is looked at as a layer too, and a register of the same format is not.
func TestLookAtPointsInAWorkbook(t *testing.T) {
	file := filepath.Join(t.TempDir(), "towers.xlsx")
	writeDescribed(t, file, "[Towers]\nLine | Tower No. | Lon | Lat\nHO-66 | 1 | 10 | 50\nHO-66 | 2 | 10.003 | 50\n")
	look, err := LookAt(context.Background(), file)
	require.NoError(t, err)
	require.Len(t, look.Sheets, 1)
	require.Len(t, look.Layers, 1)
	require.Equal(t, 2, look.Layers[0].Points)
	require.Equal(t, []string{"Tower No."}, look.Layers[0].Meant("structures", "structure"))

	writeDescribed(t, file, "[Assemblies]\nLine | Tower No. | Duty\nHO-66 | 1 | tension\n")
	look, err = LookAt(context.Background(), file)
	require.NoError(t, err)
	require.Empty(t, look.Layers)
}
