package read

import (
	"context"
	"fmt"
	"strings"

	"dryarc/audit/read/xlsx"
)

// StockRow is a row of the sheet Material of a workbook of the program, on which people say what they have in stock.
type StockRow struct {
	Where, Item, Type, Line string
	Typed                   string // under In stock; empty for nothing
}

// The columns that such a row is known by, and the sheet that has them unless somebody renamed it.
const (
	materialName   = "Material"
	itemHeading    = "Item"
	typeHeading    = "Type"
	inStockHeading = "In stock"
)

// Stock goes through the rows of a workbook that the program wrote in which people say what they have in stock, whatever they did to rows and
// columns: columns are found by their headings, on the sheet Material or, where none has that name, on whatever sheets have them. Where one of the
// headings by which a row is known stands twice, or some are there and others not, so that what stood below them is not found, or the file is no
// workbook, that is an *InputError.
func Stock(ctx context.Context, path string, each func(StockRow)) error {
	book, err := openTyped(path)
	if err != nil {
		return err
	}
	defer book.close()
	sheets := book.Sheets()
	for _, sheet := range sheets {
		if strings.EqualFold(strings.TrimSpace(sheet), materialName) {
			sheets = []string{sheet}
			break
		}
	}
	var read []*stockSheet
	err = book.sheets(ctx, sheets, "what is in stock", func(sheet string) typedSheet {
		read = append(read, &stockSheet{path: path, sheet: sheet, each: each})
		return read[len(read)-1]
	})
	if err != nil {
		return err
	}
	for _, s := range read {
		if s.stock == nil && s.near != nil {
			return &InputError{File: path + "!" + s.sheet, Message: fmt.Sprintf("has no headings %q and %q beside each other, but %s, so that it cannot be told what is in stock", typeHeading, inStockHeading, strings.Join(s.near, ", ")),
				Hint: "give the columns their headings back"}
		}
	}
	return nil
}

// stockSheet is a sheet on which people may have said what they have in stock.
type stockSheet struct {
	path, sheet      string
	each             func(StockRow)
	item, name, line int      // columns from 0, -1 for none
	stock            []int    // columns; nil before the headings are found
	near             []string // the cells of a row that has some of the headings
}

func (s *stockSheet) found() bool { return s.stock != nil }

// heading takes a row for the headings where it has those of the type and of the stock.
func (s *stockSheet) heading(cells []string) error {
	places := map[string][]int{}
	for i, cell := range cells {
		name := strings.ToLower(strings.TrimSpace(cell))
		places[name] = append(places[name], i)
	}
	at := func(heading string) []int { return places[strings.ToLower(heading)] }
	if len(at(typeHeading)) == 0 || len(at(inStockHeading)) == 0 {
		if s.near == nil && (len(at(itemHeading)) > 0 || len(at(typeHeading)) > 0) && len(at(lineHeading)) > 0 || len(at(inStockHeading)) > 0 {
			s.near = quoted(cells)
		}
		return nil
	}
	for _, known := range [...]struct {
		heading string
		to      *int
	}{{itemHeading, &s.item}, {typeHeading, &s.name}, {lineHeading, &s.line}} {
		found := at(known.heading)
		if len(found) > 1 {
			return &InputError{File: s.path + "!" + s.sheet, Message: fmt.Sprintf("has %d columns %q, so that it cannot be told of what there is a stock", len(found), known.heading), Hint: "leave that heading above one column only"}
		}
		if *known.to = -1; len(found) > 0 {
			*known.to = found[0]
		}
	}
	s.stock = at(inStockHeading)
	return nil
}

// quoted are the cells that are not blank.
func quoted(cells []string) (list []string) {
	for _, cell := range cells {
		if cell = strings.TrimSpace(cell); cell != "" {
			list = append(list, fmt.Sprintf("%q", cell))
		}
	}
	return list
}

// row tells what a row says, for each column of the stock.
func (s *stockSheet) row(row *xlsx.Row) {
	text := func(i int) string {
		if i >= 0 && i < len(row.Cells) && row.Cells[i] != "" {
			return strings.TrimSpace(row.Cells[i])
		}
		return row.Formulas[i]
	}
	for _, i := range s.stock {
		r := StockRow{Where: fmt.Sprintf("%s row %d", s.sheet, row.Number), Item: text(s.item), Type: text(s.name), Line: text(s.line), Typed: text(i)}
		if r.Type != "" || r.Typed != "" {
			s.each(r)
		}
	}
}
