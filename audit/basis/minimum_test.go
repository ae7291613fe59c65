package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// California General Order 64, rule 64 (b), table 6, each printed row: nominal voltage, dry and wet minimum in kV (published).
func TestFlashoverMinimaAsPrinted(t *testing.T) {
	for _, row := range [][3]float64{
		{0.75, 5, 3.5}, {2.3, 11, 8}, {4, 17, 13}, {6.6, 27, 17}, {7.5, 30, 18}, {11, 40, 20}, {15, 55, 25}, {22, 75, 40}, {33, 105, 65}, {44, 125, 85},
		{55, 150, 100}, {66, 170, 115}, {88, 225, 165}, {110, 275, 200}, {150, 350, 250}, {200, 450, 300},
	} {
		least, ok := GO64Table6.Least(row[0])
		require.True(t, ok, row)
		require.Equal(t, row[1:], []float64{least.DryKV, least.WetKV}, row)
	}
}

// California General Order 64-A, rule 55.3, table 9 (published), and NESC table 273-1 (value from memory, H): dry alone.
func TestDryFlashoverMinimaAsPrinted(t *testing.T) {
	for table, rows := range map[FlashoverTable][][2]float64{
		GO64ATable9: {{0.75, 5}, {2.3, 20}, {4, 30}, {6.6, 40}, {11, 50}, {22, 75}, {33, 100}, {44, 125}, {55, 150}, {66, 175}, {88, 220}, {110, 315}, {132, 390},
			{150, 420}, {200, 560}},
		NESCTable2731: {{34.5, 100}, {46, 125}, {69, 175}, {115, 315}, {138, 390}, {161, 445}, {230, 640}},
	} {
		for _, row := range rows {
			least, ok := table.Least(row[0])
			require.True(t, ok, row)
			require.Equal(t, row[1], least.DryKV, "%s at %g kV", table, row[0])
			require.True(t, math.IsNaN(least.WetKV))
		}
	}
}

// Both General Orders prescribe interpolation (published): 120 kV → 349.1 and 99 kV → 267.5 by table 9, 115 kV → 284.375 dry and 206.25 wet by table 6
// (computed). Nothing is known outside a table, nor between the rows of NESC table 273-1.
func TestFlashoverMinimaBetweenRows(t *testing.T) {
	for kV, want := range map[float64]float64{120: 349.1, 99: 267.5} {
		least, ok := GO64ATable9.Least(kV)
		require.True(t, ok)
		require.InDelta(t, want, least.DryKV, 0.05, "%g kV", kV)
	}
	least, ok := GO64Table6.Least(115)
	require.True(t, ok)
	require.InDelta(t, 284.375, least.DryKV, 1e-9)
	require.InDelta(t, 206.25, least.WetKV, 1e-9)
	low, high, ok := GO64Table6.Around(115)
	require.True(t, ok)
	require.Equal(t, []float64{110, 150}, []float64{low.NominalKV, high.NominalKV})
	for table, outside := range map[FlashoverTable][]float64{
		GO64Table6: {0.7, 200.1, 0, -11, math.NaN(), math.Inf(1)}, GO64ATable9: {0.5, 220, math.NaN()}, NESCTable2731: {34, 100, 132, 231, math.NaN()},
		NoFlashoverTable: {11, 132, math.NaN()},
	} {
		for _, kV := range outside {
			least, ok := table.Least(kV)
			require.False(t, ok, "%s at %g kV", table, kV)
			require.True(t, math.IsNaN(least.DryKV) && math.IsNaN(least.WetKV))
		}
	}
}

// No table asks for less at a higher voltage, nor for more wet than dry.
func TestFlashoverMinimaRise(t *testing.T) {
	for _, table := range FlashoverTables() {
		rows := flashoverTables[table].rows
		require.NotEmpty(t, rows)
		for i, row := range rows {
			require.False(t, row.WetKV > row.DryKV, row)
			require.False(t, i > 0 && (row.NominalKV <= rows[i-1].NominalKV || row.DryKV <= rows[i-1].DryKV || row.WetKV <= rows[i-1].WetKV), row)
		}
	}
}

func TestNamesOfFlashoverTables(t *testing.T) {
	for _, table := range FlashoverTables() {
		found, ok := ParseFlashoverTable("  " + table.String())
		require.True(t, ok)
		require.Equal(t, table, found)
		require.False(t, table.Source().IsZero())
	}
	for text, want := range map[string]FlashoverTable{"go 64  TABLE 6": GO64Table6, "": NoFlashoverTable, "GO 64": NoFlashoverTable, "GO 64 table 9": NoFlashoverTable} {
		found, ok := ParseFlashoverTable(text)
		require.Equal(t, want, found, text)
		require.Equal(t, want != NoFlashoverTable, ok, text)
	}
	require.Equal(t, "GO 64 table 6, GO 64-A table 9 or NESC table 273-1", FlashoverTablesInWords())
}
