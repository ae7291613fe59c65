package report

import (
	"context"
	"fmt"
	"slices"

	"github.com/xuri/excelize/v2"
)

// writeMaterial writes the sheet of what the work takes, for the store: each item in all, and then by line. What the store typed under In stock
// stands there again.
func (b *book) writeMaterial(ctx context.Context) error {
	columns, stockAt := b.materialColumns()
	t := b.newTable(ctx, materialSheet, 2, columns)
	letter, err := excelize.ColumnNumberToName(stockAt + 1)
	t.keep(err)
	t.counted = letter
	rows := materialRows(b.result, b.work)
	cut := 0
	for i := range rows {
		m := &rows[i]
		line, l := m.line, look{}
		stock, order := b.stock.of(m.item, m.name, m.line), any(nil)
		if i >= b.limits.rows && line != "" && stock == nil {
			cut++
			continue
		}
		if line == "" {
			line, l = allLines, look{bold: true}
			if m.fit > 0 {
				order = toOrder(letter, t.rows.row+1, m.fit, stock)
			}
		} else { // a single line takes from the stock of all
			order = styled{"", look{}}
			if stock == nil {
				stock = styled{"", look{}}
			}
		}
		values := []any{m.item, m.name, styled{line, l}, countOrNothing(m.fit), countOrNothing(m.remove), m.structures, m.notKnown(), m.each, m.price(), countOrNothing(m.afterLook), m.priceAfterLook()}
		if b.decided != nil {
			values = append(values, countOrNothing(m.accepted.fit), countOrNothing(m.accepted.remove), countOrNothing(m.accepted.afterLook))
		}
		t.add(append(values, stock, order)...)
	}
	kept := b.stock.withoutWork()
	for _, k := range kept {
		values := make([]any, len(columns))
		values[0], values[1], values[2], values[6], values[stockAt] = k.item, k.name, k.line, b.stock.noWork(), b.stock.of(k.item, k.name, k.line)
		t.add(values...)
	}
	all := len(rows) + len(kept)
	t.remarkCut(all-cut, all, "items, of all lines each and by line the first; the output material.csv, on request, has all")
	if len(rows) > 0 {
		b.remarkMaterial(t)
	}
	t.remark(b.stock.Told()...)
	return t.finish()
}

// materialColumns are the columns of the sheet, and which of them, from 0, is for the stock.
func (b *book) materialColumns() (columns []column, stockAt int) {
	columns = []column{
		{"Item", 8, look{}},
		{"Type", 34, look{bold: true, wrap: true}},
		{"Line", 16, look{}},
		{"To fit", 9, look{format: asCount}},
		{"To remove", 10, look{format: asCount}},
		{"Structures", 10, look{format: asCount}},
		{"Not known", 24, look{wrap: true, indent: 1}},
		{"Price each", 10, look{format: asHundred}},
		{"Price", 12, look{format: asHundred}},
		{"Only if a look asks for it", 12, look{format: asCount}},
		{"Price of that", 12, look{format: asHundred}},
	}
	if b.decided != nil {
		grey := look{format: asCount, color: greyText}
		columns = append(columns, column{"Accepted, to fit", 11, grey}, column{"Accepted, to remove", 12, grey}, column{"Accepted, only if a look asks", 15, grey})
	}
	return append(columns, column{"In stock", 12, look{fill: sand, format: asCount}}, column{"To order", 12, look{format: asCount, fill: sand}}), len(columns)
}

// toOrder is what is to be ordered of a row, as a formula of its stock and with what that gives; blank while the stock is no whole number of 0 or more.
func toOrder(letter string, row, fit int, stock any) any {
	c := computed{fmt.Sprintf(`IF(ISNUMBER(%[1]s%[2]d),IF(AND(%[1]s%[2]d>=0,INT(%[1]s%[2]d)=%[1]s%[2]d),MAX(0,D%[2]d-%[1]s%[2]d),""),"")`, letter, row), ""}
	if n, is := stock.(float64); is && isStock(n) {
		c.value = max(0, float64(fit)-n)
	}
	return styled{c, look{format: asCount, fill: sand}}
}

// remarkMaterial says what is counted.
func (b *book) remarkMaterial(t *table) {
	t.remark("In stock is for the store to fill in the rows of all lines; what is to be ordered follows. Prices are in the currency of the sheet Units.",
		"What stands under In stock the next run takes over, by item and type, wherever its row and its column stand. Where no work takes a type any more it keeps a row at the end, until its cell is emptied.",
		"Of a type that is both to be fitted and to be removed, all that is fitted is taken as new. The units of a set are in the rows of units already.",
		"A set is an assembly whose fittings are not there yet: a new one, one of another duty, one with more strings.",
		"Only if a look asks for it: where the register has no row, or rows contradict each other, the work is first to look what hangs;",
		"what is to be fitted there then is in none of the other columns, nor in what is to be ordered.")
	if len(b.result.Run.Lines) > 0 && !slices.Contains(b.stock.Told(), ofSomeLines) {
		t.remark(ofSomeLines)
	}
	if b.decided != nil {
		t.remark("Accepted: what the jobs would take that are accepted whole, the grey ones of Work. It is in no other column, nor in what is to be ordered;",
			"so To fit with Accepted, to fit is the sum of the units to fit on Work, as is what is to be removed. Jobs that are planned, or accepted in part, are counted whole with the rest.")
	}
}
