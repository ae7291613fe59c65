package report

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// StockRow is a row of the sheet Material with what people typed under In stock, which may be nothing.
type StockRow struct{ Where, Item, Type, Line, Typed string }

// Stock is what people typed under In stock in the workbook that a run replaces, and what is to be told of it.
type Stock struct {
	Workbook *Seen // from which it was taken; nil where that was not looked at
	typed    map[stockKey]string
	gone     []stockKey // typed, and no work takes it
	told     []string
	lost     []string // what is told first: what people typed and is not taken over
	some     bool     // the run is of some lines only
	columns  []FilledColumn
	dropped  []string // columns that people added

	hadInspections bool // a sheet of them is in the workbook that is replaced
}

// stockKey is what a row of Material is of.
type stockKey struct{ item, name, line string }

// allLines stands on Material in the place of the line of a row that is of all.
const allLines = "all lines"

func stockKeyOf(item, name, line string) stockKey {
	plain := func(text string) string { return strings.Join(strings.Fields(cellText(text)), " ") }
	return stockKey{strings.ToLower(plain(item)), plain(name), cmp.Or(plain(line), allLines)}
}

func (k stockKey) String() string {
	text := k.name
	if k.item != unitItem && k.item != "" {
		text = k.item + " " + text
	}
	if k.line != allLines {
		text += " on line " + k.line
	}
	return text
}

// TakeStock takes what rows say. Those that stood there before an interrupted run was put back, if any, are later than the others and
// win. Two figures of one thing that differ leave it blank.
func TakeStock(rows, later []StockRow) *Stock {
	s := &Stock{typed: map[stockKey]string{}}
	s.take(rows)
	now := Stock{typed: map[stockKey]string{}}
	now.take(later)
	for i := range later { // one that was emptied too
		delete(s.typed, stockKeyOf(later[i].Item, later[i].Type, later[i].Line))
	}
	for k, typed := range now.typed {
		s.typed[k] = typed
	}
	s.told, s.lost = append(s.told, now.told...), append(s.lost, now.lost...)
	for _, k := range s.keys() {
		if n, is := figureTyped(s.typed[k]); !is || !isStock(n) {
			s.told = append(s.told, fmt.Sprintf("In stock of %s (%s) is no whole number of 0 or more; it stays as it is", k, s.typed[k]))
		}
		if k.line != allLines {
			s.told = append(s.told, fmt.Sprintf("In stock of %s (%s) orders nothing, since it stands in the row of one line; fill in the row of %s", k, s.typed[k], allLines))
		}
	}
	return s
}

func (s *Stock) take(rows []StockRow) {
	first := map[stockKey]*StockRow{}
	for i := range rows {
		row := &rows[i]
		k := stockKeyOf(row.Item, row.Type, row.Line)
		if row.Typed == "" {
			continue
		}
		if k.name == "" {
			s.Lose(fmt.Sprintf("%s: %s under In stock stands beside no type, and is not taken over", row.Where, row.Typed))
			continue
		}
		was := first[k]
		if was == nil {
			first[k], s.typed[k] = row, row.Typed
			continue
		}
		if sameTyped(was.Typed, row.Typed) {
			continue
		}
		s.Lose(fmt.Sprintf("In stock of %s is %s in %s and %s in %s; it is left blank", k, was.Typed, was.Where, row.Typed, row.Where))
		delete(s.typed, k)
	}
}

// Lose says what that people typed is not taken over.
func (s *Stock) Lose(text string) { s.lost = append(s.lost, text) }

// isStock tells whether a figure can be what is in stock.
func isStock(n float64) bool { return n >= 0 && n == math.Trunc(n) }

func sameTyped(a, b string) bool {
	x, isX := figureTyped(a)
	y, isY := figureTyped(b)
	return a == b || isX && isY && x == y
}

// plainNumber is a number as a spreadsheet keeps it.
var plainNumber = regexp.MustCompile(`^[+-]?\d+(\.\d+)?([eE][+-]?\d{1,2})?$`)

func figureTyped(text string) (float64, bool) {
	if !plainNumber.MatchString(text) {
		return math.NaN(), false
	}
	n, err := strconv.ParseFloat(text, 64)
	return n, err == nil
}

func (s *Stock) keys() []stockKey {
	keys := make([]stockKey, 0, len(s.typed))
	for k := range s.typed {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b stockKey) int {
		return cmp.Or(-cmp.Compare(a.item, b.item), cmp.Compare(a.name, b.name), cmp.Compare(a.line, b.line))
	})
	return keys
}

// place finds what of the stock no row of Material is of; some tells that the rows are of some lines only.
func (s *Stock) place(rows []materialRow, some bool) {
	if s == nil {
		return
	}
	takes, until := "has no row of work any more", "its cell is emptied"
	if s.some = some; some {
		takes, until = "has no row of work of the lines of this run", "a run of all lines gives it one, or "+until
		if len(s.typed) > 0 {
			s.told = append(s.told, ofSomeLines)
		}
	}
	there := make(map[stockKey]bool, len(rows))
	for i := range rows {
		there[stockKeyOf(rows[i].item, rows[i].name, rows[i].line)] = true
	}
	for _, k := range s.keys() {
		if !there[k] {
			s.gone = append(s.gone, k)
			s.told = append(s.told, fmt.Sprintf("In stock of %s (%s) %s; it stands at the end of %s until %s", k, s.typed[k], takes, materialSheet, until))
		}
	}
}

// unchanged fails where somebody has saved the workbook since the stock was taken from it.
func (s *Stock) unchanged() error {
	if s == nil {
		return nil
	}
	if err := s.Workbook.unchanged(); err != nil {
		return &WriteError{WorkbookFile, err}
	}
	return nil
}

// of is what was typed of an item: a number, a text, or nothing.
func (s *Stock) of(item, name, line string) any {
	if s == nil {
		return nil
	}
	typed, is := s.typed[stockKeyOf(item, name, line)]
	if !is {
		return nil
	}
	if n, is := figureTyped(typed); is {
		return n
	}
	return typed
}

// ofSomeLines is told of the stock where a run left lines out.
const ofSomeLines = "This run left lines out: To fit and To order are of the others alone, and what the work of those left out takes of the same stock is not counted"

// noWork stands beside what no work takes.
func (s *Stock) noWork() string {
	if s.some {
		return "no work of the lines of this run takes it"
	}
	return "no work takes it now"
}

// withoutWork is what was typed of what no work takes any more.
func (s *Stock) withoutWork() []stockKey {
	if s == nil {
		return nil
	}
	return s.gone
}

// Told is what is to be told of the stock, once it is written; first of all Lost.
func (s *Stock) Told() []string {
	if s == nil {
		return nil
	}
	return append(slices.Clone(s.lost), s.told...)
}

// Lost are those of Told which say that something that people typed is not there any more.
func (s *Stock) Lost() []string {
	if s == nil {
		return nil
	}
	return s.lost
}
