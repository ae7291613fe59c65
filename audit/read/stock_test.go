package read

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

func TestStockIsFoundByItsHeading(t *testing.T) {
	type sheet struct {
		name string
		rows [][]any
	}
	head := []any{"Item", "Type", "Line", "To fit", "In stock"}
	for name, c := range map[string]struct {
		sheets []sheet
		want   []StockRow
		err    string
	}{
		"as written": {sheets: []sheet{{"Material", [][]any{head, {"unit", "U70BL", "all lines", 12, 40}, {"unit", "U70BL", "SD-132", 12, nil}, {"In stock is for the store to fill."}}}},
			want: []StockRow{{"Material row 2", "unit", "U70BL", "all lines", "40"}, {"Material row 3", "unit", "U70BL", "SD-132", ""}}},
		"moved, below a title": {sheets: []sheet{{"Material", [][]any{{"For the store"}, {}, {"in stock ", "LINE", "Type", "Item"}, {"about 40", "all lines", "U70BL", "unit"}, {7, nil, nil, nil}}}},
			want: []StockRow{{"Material row 4", "unit", "U70BL", "all lines", "about 40"}, {"Material row 5", "", "", "", "7"}}},
		"of two columns both": {sheets: []sheet{{"Material", [][]any{{"Item", "Type", "In stock", "In stock"}, {"unit", "U70BL", 40, 50}}}},
			want: []StockRow{{"Material row 2", "unit", "U70BL", "", "40"}, {"Material row 2", "unit", "U70BL", "", "50"}}},
		"a copy beside it":        {sheets: []sheet{{"Last year", [][]any{head, {"unit", "U70BL", "all lines", 12, 1}}}, {"Material", [][]any{head, {"unit", "U70BL", "all lines", 12, 40}}}}, want: []StockRow{{"Material row 2", "unit", "U70BL", "all lines", "40"}}},
		"under another name":      {sheets: []sheet{{"Stores", [][]any{head, {"unit", "U70BL", "all lines", 12, 40}}}}, want: []StockRow{{"Stores row 2", "unit", "U70BL", "all lines", "40"}}},
		"no such column":          {sheets: []sheet{{"Material", [][]any{{"Item", "Type", "Line"}, {"unit", "U70BL", "all lines"}}}}, err: `has no headings "Type" and "In stock" beside each other, but "Item", "Type", "Line", so that`},
		"stock renamed":           {sheets: []sheet{{"Material", [][]any{{"Item", "Type", "Line", "Stock 2026"}, {"unit", "U70BL", "all lines", 4}}}}, err: `but "Item", "Type", "Line", "Stock 2026", so that`},
		"type renamed":            {sheets: []sheet{{"Material", [][]any{{"Item", "Kind", "Line", "In stock"}, {"unit", "U70BL", "all lines", 4}}}}, err: `but "Item", "Kind", "Line", "In stock", so that`},
		"stock and sheet renamed": {sheets: []sheet{{"Stores", [][]any{{"Item", "Type", "Line", "Stock"}, {"unit", "U70BL", "all lines", 4}}}}, err: `!Stores: has no headings`},
		"sheet emptied":           {sheets: []sheet{{"Material", nil}}},
		"two types":               {sheets: []sheet{{"Material", [][]any{{"Type", "Type", "In stock"}, {"U70BL", "U120B", 4}}}}, err: `has 2 columns "Type", so that it cannot be told of what there is a stock`},
	} {
		t.Run(name, func(t *testing.T) {
			book := excelize.NewFile()
			for i, s := range c.sheets {
				if i == 0 {
					require.NoError(t, book.SetSheetName("Sheet1", s.name))
				} else {
					_, err := book.NewSheet(s.name)
					require.NoError(t, err)
				}
				for k, row := range s.rows {
					cell, err := excelize.CoordinatesToCellName(1, k+1)
					require.NoError(t, err)
					require.NoError(t, book.SetSheetRow(s.name, cell, &row))
				}
			}
			path := filepath.Join(t.TempDir(), "exceptions.xlsx")
			require.NoError(t, book.SaveAs(path))
			var got []StockRow
			err := Stock(context.Background(), path, func(row StockRow) { got = append(got, row) })
			if c.err != "" {
				require.ErrorContains(t, err, c.err)
				return
			}
			require.NoError(t, err)
			require.Equal(t, c.want, got)
		})
	}
	path := filepath.Join(t.TempDir(), "exceptions.xlsx")
	require.Error(t, Stock(context.Background(), path, func(StockRow) {}))
	require.NoError(t, os.WriteFile(path, []byte("no workbook"), 0o666))
	require.Error(t, Stock(context.Background(), path, func(StockRow) {}))
}
