package read

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// TestBalance holds that every row of every sheet, and every feature of every layer, is used or left out.
func TestBalance(t *testing.T) {
	b := newBase()
	b.structures = `{"type":"Feature","properties":{"line":"L","structure":"1"},"geometry":{"type":"Point","coordinates":[10,50]}}
{"type":"Feature","properties":{"line":"L","structure":"2"},"geometry":{"type":"Point","coordinates":[10.003,50]}}
{"type":"Feature","properties":{"line":"","structure":"9"},"geometry":{"type":"Point","coordinates":[10,50]}}
`
	path := b.write(t)
	writeWorkbook(t, filepath.Join(filepath.Dir(path), "register.xlsx"), sheets{
		{"Assemblies", [][]any{{"as of today"}, {}, {"Line", "Structure", "Duty", "Unit", "Units per string", "Phase", "Side"},
			{"L", "1", "tension", "U120B", 10, "A", "ahead"}, {"L", "1", "tension", "U120B", 10, "A", "ahead"}, {"L", "77", "tension", "U120B", 10}, {"", "1", "tension", "U120B", 10}, {"L", "", "pin"}}},
		{"Lines", [][]any{{"Line", "Nominal voltage (kV)"}, {"L", 110}, {"L", 220}, {"M", 110}, {"", 110}}},
		{"Units", [][]any{{"the units of the north"}, {"Unit", "Rating (kN)"}, {"X1", 70}, {"X1", 80}, {"", 90}, {"U70BL", 70}}},
		{"Conductors", [][]any{{"Conductor", "Mass (kg/m)"}, {"X", 1}, {"", 2}}},
	})
	p, understood, err := Understood(context.Background(), path)
	require.NoError(t, err)
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	got := map[string]audit.Balance{}
	for _, u := range understood {
		got[u.Table.String()] = n.Balances()[u.Number]
		require.Equal(t, u.Rows, n.Balances()[u.Number].Read)
	}
	require.Equal(t, map[string]audit.Balance{
		"structures.geojson":       {Read: 3, Used: 2, LeftOut: 1},
		"zones.geojson":            {Read: 1, Used: 1},
		"register.xlsx!Assemblies": {Read: 5, Used: 1, LeftOut: 4, Above: 1},
		"register.xlsx!Lines":      {Read: 4, Used: 1, LeftOut: 3},
		"register.xlsx!Units":      {Read: 4, Used: 2, LeftOut: 2, Above: 1},
		"register.xlsx!Conductors": {Read: 2, Used: 1, LeftOut: 1},
	}, got)
	require.Equal(t, []int{5, 1, 4}, []int{p.RowsRead, n.RowsPlaced, n.RowsLeftOut})
	require.Equal(t, 1, n.Lines[0].RowsPlaced, "a row that repeats another is none")
}

// TestRowsAboveAreFaults holds that each row that is lost above the headings is told, though the sheet is refused.
func TestRowsAboveAreFaults(t *testing.T) {
	path := newBase().write(t)
	require.NoError(t, os.Remove(filepath.Join(filepath.Dir(path), "register.xlsx")))
	writeWorkbook(t, filepath.Join(filepath.Dir(path), "register.xlsx"), sheets{
		{"Assemblies", [][]any{{"K", "1", "tension", "U120B", 10}, {"register"}, {"L", "2", "pin", "P1"}, {"Line", "Structure", "Duty", "Unit", "Units per string"}, {"L", "1", "tension", "U120B", 10}}},
	})
	p, _, err := Understood(context.Background(), path)
	require.ErrorContains(t, err, "has 2 rows of data above its headings")
	require.Equal(t, []string{
		`implausible register.xlsx!Assemblies!A1: line "K" stands above the headings, which are in row 4, in a row that holds data; it is not read`,
		`implausible register.xlsx!Assemblies!A3: line "L" stands above the headings, which are in row 4, in a row that holds data; it is not read`,
	}, faultsOf(p))
}
