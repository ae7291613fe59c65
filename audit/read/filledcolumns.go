package read

import (
	"context"
	"slices"
	"strings"

	"dryarc/audit/read/xlsx"
)

// FilledColumn is a column of a sheet of a workbook that the program wrote in which anything stands.
type FilledColumn struct {
	Sheet, Heading string // the heading as it stands; empty for none
	Column         int    // from 1
	Rows           int    // in which anything stands
}

// FilledColumns lists the columns of some sheets of a workbook that the program wrote, whoever added them, in which anything stands. The headings are
// those of the first row that has one of Line; a sheet that has none, or that is not there, has no columns. all are the sheets that the workbook has.
func FilledColumns(ctx context.Context, path string, sheets ...string) (list []FilledColumn, all []string, err error) {
	book, err := openTyped(path)
	if err != nil {
		return nil, nil, err
	}
	defer book.close()
	all = book.Sheets()
	there := slices.DeleteFunc(slices.Clone(all), func(name string) bool { return !slices.Contains(sheets, name) })
	var read []*filledSheet
	err = book.sheets(ctx, there, "columns that people added", func(sheet string) typedSheet {
		read = append(read, &filledSheet{sheet: sheet})
		return read[len(read)-1]
	})
	for _, s := range read {
		for i, rows := range s.rows {
			if rows == 0 {
				continue
			}
			column := FilledColumn{Sheet: s.sheet, Column: i + 1, Rows: rows}
			if i < len(s.headings) {
				column.Heading = s.headings[i]
			}
			list = append(list, column)
		}
	}
	return list, all, err
}

// filledSheet counts the cells of each column below the headings in which anything stands.
type filledSheet struct {
	sheet    string
	headings []string // nil before they are found
	rows     []int
}

func (f *filledSheet) found() bool { return f.headings != nil }

func (f *filledSheet) heading(cells []string) error {
	if slices.ContainsFunc(cells, func(cell string) bool { return strings.EqualFold(strings.TrimSpace(cell), lineHeading) }) {
		for _, cell := range cells {
			f.headings = append(f.headings, strings.TrimSpace(cell))
		}
	}
	return nil
}

func (f *filledSheet) row(row *xlsx.Row) {
	for i, cell := range row.Cells {
		if strings.TrimSpace(cell) == "" {
			continue
		}
		f.rows = append(f.rows, make([]int, max(i+1-len(f.rows), 0))...)
		f.rows[i]++
	}
}
