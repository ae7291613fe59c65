package report

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

func TestStockIsTakenOver(t *testing.T) {
	row := func(item, name, line, typed string, at int) StockRow {
		return StockRow{fmt.Sprintf("Material row %d", at), item, name, line, typed}
	}
	for name, c := range map[string]struct {
		rows, later []StockRow
		of          map[string]any // by unit
		told        []string
	}{
		"figures":     {rows: []StockRow{row("unit", "U70BL", "all lines", "40", 2), row(" Unit ", "U120B ", "", "1.2E3", 3), row("unit", "U160BL", "all lines", "", 4)}, of: map[string]any{"U70BL": 40.0, "U120B": 1200.0, "U160BL": nil}},
		"twice alike": {rows: []StockRow{row("unit", "U70BL", "all lines", "40", 2), row("unit", "U70BL", "all lines", "40.0", 9)}, of: map[string]any{"U70BL": 40.0}},
		"of another thing": {rows: []StockRow{row("set", "U70BL", "all lines", "40", 2), row("unit", "U70BL", "SD-132", "3", 2)}, of: map[string]any{"U70BL": nil},
			told: []string{"In stock of U70BL on line SD-132 (3) orders nothing, since it stands in the row of one line; fill in the row of all lines"}},
		"a contradiction": {rows: []StockRow{row("unit", "U70BL", "all lines", "40", 2), row("unit", "U70BL", "all lines", "50", 9), row("unit", "U70BL", "all lines", "40", 10)}, of: map[string]any{"U70BL": nil},
			told: []string{"In stock of U70BL is 40 in Material row 2 and 50 in Material row 9; it is left blank"}},
		"no number": {rows: []StockRow{row("unit", "U70BL", "all lines", "40 or so", 2), row("unit", "A", "", "-3", 3), row("unit", "B", "", "0x10", 3), row("unit", "C", "", "inf", 3)}, of: map[string]any{"U70BL": "40 or so", "A": -3.0, "B": "0x10", "C": "inf"},
			told: []string{"In stock of A (-3) is no whole number of 0 or more; it stays as it is", "In stock of B (0x10) is no whole number of 0 or more; it stays as it is", "In stock of C (inf) is no whole number of 0 or more; it stays as it is",
				"In stock of U70BL (40 or so) is no whole number of 0 or more; it stays as it is"}},
		"no type": {rows: []StockRow{row("unit", "", "all lines", "40", 7)}, told: []string{"Material row 7: 40 under In stock stands beside no type, and is not taken over"}},
		"before an interrupted run was put back": {rows: []StockRow{row("unit", "A", "", "1", 2), row("unit", "B", "", "2", 3), row("unit", "C", "", "3", 4)}, later: []StockRow{row("unit", "A", "", "7", 2), row("unit", "B", "", "", 3)},
			of: map[string]any{"A": 7.0, "B": nil, "C": 3.0}},
	} {
		t.Run(name, func(t *testing.T) {
			s := TakeStock(c.rows, c.later)
			require.Equal(t, c.told, s.Told())
			for unit, want := range c.of {
				require.Equal(t, want, s.of(unitItem, unit, ""), unit)
			}
		})
	}
	var none *Stock
	require.Nil(t, none.of(unitItem, "U70BL", ""))
	require.Empty(t, none.Told())
}

// What was typed stands in the row of its item, what is to be ordered follows, and what no work takes any more keeps a row.
func TestStockOnMaterial(t *testing.T) {
	r, jobs := demoJobs(t)
	plain := materialRows(r, workRows(r, jobs, nil))
	fit := 0
	for _, m := range plain {
		if m.name == "U160BL" && m.at < 0 {
			fit = m.fit
		}
	}
	require.Greater(t, fit, 5)
	s := TakeStock([]StockRow{{"", unitItem, "U160BL", allLines, "5"}, {"", unitItem, "CLR-145", allLines, "many"}, {"", unitItem, "OLD", allLines, "40"}, {"", setItem, "tension, 1 × U70BL", allLines, "2"}, {"", unitItem, "U160BL", "DF-220", "3"}}, nil)
	s.place(plain, false)
	require.Equal(t, []string{"In stock of CLR-145 (many) is no whole number of 0 or more; it stays as it is",
		"In stock of U160BL on line DF-220 (3) orders nothing, since it stands in the row of one line; fill in the row of all lines",
		"In stock of OLD (40) has no row of work any more; it stands at the end of Material until its cell is emptied",
		"In stock of set tension, 1 × U70BL (2) has no row of work any more; it stands at the end of Material until its cell is emptied"}, s.Told())
	var b bytes.Buffer
	require.NoError(t, writeBook(context.Background(), &b, r, &account{jobs: jobs, stock: func() (*Stock, error) { return s, nil }}, generous))
	book, err := excelize.OpenReader(&b)
	require.NoError(t, err)
	rows := cells(t, book, materialSheet)
	require.Equal(t, "In stock", rows[0][11])
	found := map[string][]string{}
	for i, row := range rows[1:] {
		if len(row) < 3 {
			continue
		}
		found[row[1]+"|"+row[2]] = append(row, make([]string, 13)...)[:13]
		if row[1] == "U160BL" && row[2] == allLines {
			order, err := book.CalcCellValue(materialSheet, fmt.Sprintf("M%d", i+2))
			require.NoError(t, err)
			require.Equal(t, fmt.Sprint(fit-5), order)
		}
		if row[1] == "CLR-145" && row[2] == allLines {
			order, err := book.CalcCellValue(materialSheet, fmt.Sprintf("M%d", i+2))
			require.NoError(t, err)
			require.Empty(t, order, "a text is no count")
		}
	}
	require.Equal(t, []string{"5", fmt.Sprint(fit - 5)}, found["U160BL|all lines"][11:])
	require.Equal(t, []string{"3", ""}, found["U160BL|DF-220"][11:])
	require.Equal(t, []string{"many", ""}, found["CLR-145|all lines"][11:])
	require.Equal(t, []string{"unit", "OLD", "all lines", "", "", "", "no work takes it now", "", "", "", "", "40", ""}, found["OLD|all lines"])
	require.Equal(t, "2", found["tension, 1 × U70BL|all lines"][11])
	told := ""
	for _, row := range rows {
		told += row[0] + "\n"
	}
	for _, text := range s.Told() {
		require.Contains(t, told, text)
	}
	require.Contains(t, told, "What stands under In stock the next run takes over")
}

// What is refused orders nothing, neither as written nor as a spreadsheet reckons.
func TestRefusedStockOrdersNothing(t *testing.T) {
	r, jobs := demoJobs(t)
	for typed, isOrdered := range map[string]bool{"-3": false, "2.5": false, "40 or so": false, "0": true, "3": true} {
		s := TakeStock([]StockRow{{"", unitItem, "U160BL", allLines, typed}}, nil)
		var b bytes.Buffer
		require.NoError(t, writeBook(context.Background(), &b, r, &account{jobs: jobs, stock: func() (*Stock, error) { return s, nil }}, generous))
		book, err := excelize.OpenReader(&b)
		require.NoError(t, err)
		seen := false
		for i, row := range cells(t, book, materialSheet) {
			if len(row) < 12 || row[1] != "U160BL" || row[2] != allLines {
				continue
			}
			seen = true
			require.Equal(t, isOrdered, len(row) > 12 && row[12] != "", typed)
			order, err := book.CalcCellValue(materialSheet, fmt.Sprintf("M%d", i+1))
			require.NoError(t, err)
			require.Equal(t, isOrdered, order != "", typed)
		}
		require.True(t, seen)
	}
}

// A figure that somebody saves while the run is at work is not lost: the workbook stays.
func TestStockSavedMeanwhile(t *testing.T) {
	dir := t.TempDir()
	r := fixtureResult(t)
	written(t, dir, r)
	workbook := filepath.Join(dir, WorkbookFile)
	stock := func(context.Context) (*Stock, error) {
		seen, err := See(workbook)
		s := TakeStock(nil, nil)
		s.Workbook = seen
		return s, err
	}
	_, err := Write(context.Background(), dir, r, nil, How{Stock: stock})
	require.NoError(t, err)
	_, err = Write(context.Background(), dir, r, nil, How{Stock: stock, Replacing: func() error { return os.WriteFile(workbook, []byte("typed"), 0o666) }})
	require.ErrorContains(t, err, "somebody saved it while this run was at work")
	text, err := os.ReadFile(workbook)
	require.NoError(t, err)
	require.Equal(t, "typed", string(text))
}
