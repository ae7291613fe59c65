package read

import (
	"fmt"
	"strings"
)

// asideRows are the rows of a sheet among the data that are none, by what they are. They are left out of it, counted apart and
// named in how the sheet was understood.
type asideRows struct{ totals, headings, units, notes []uint32 }

func (a *asideRows) count() int { return len(a.totals) + len(a.headings) + len(a.units) + len(a.notes) }

// told tells which rows they are, the first of them by number.
func (a *asideRows) told() (notes []string) {
	for _, kind := range [...]struct {
		rows []uint32
		what string
	}{
		{a.totals, "rows of totals"}, {a.headings, "rows that repeat the headings"}, {a.units, "rows of units of measure"},
		{a.notes, "rows that hold nothing in a column that is used"},
	} {
		if len(kind.rows) == 0 {
			continue
		}
		const most = 10
		numbers := make([]string, 0, most)
		for _, row := range kind.rows[:min(len(kind.rows), most)] {
			numbers = append(numbers, fmt.Sprint(row))
		}
		note := fmt.Sprintf("%s, which are left out: %s", kind.what, strings.Join(numbers, ", "))
		if more := len(kind.rows) - most; more > 0 {
			note += fmt.Sprintf(" and %d more", more)
		}
		notes = append(notes, note)
	}
	return notes
}

// isAside tells whether the row at hand is no data and takes note of it. Rows of data mostly differ from all of these in the cell
// of their first column.
func (s *sheetReader[R]) isAside() bool {
	if len(s.shape.columns) == 0 {
		return false
	}
	first := &s.shape.columns[0]
	cell := s.own(first.index)
	switch {
	case cell == "" || s.grid.number == s.headings+1:
	case len(cell) == len(first.heading) && cell == first.heading:
	case mayBeTotal(cell):
	default:
		return false
	}
	switch {
	case s.repeatsHeadings():
		s.aside.headings = append(s.aside.headings, s.grid.number)
	case s.isTotal():
		s.aside.totals = append(s.aside.totals, s.grid.number)
	case s.grid.number == s.headings+1 && s.isUnits():
		s.aside.units = append(s.aside.units, s.grid.number)
	case s.holdsNothing():
		s.aside.notes = append(s.aside.notes, s.grid.number)
	default:
		return false
	}
	return true
}

// own is the cell of the row at hand in a column: its value, else its formula.
func (s *sheetReader[R]) own(index int) string {
	if formula, is := s.grid.formulas[index]; is {
		return formula
	}
	if index >= len(s.grid.cells) {
		return ""
	}
	return strings.TrimSpace(s.grid.cells[index])
}

// repeatsHeadings tells whether each column that is used holds its heading again, two at least.
func (s *sheetReader[R]) repeatsHeadings() bool {
	for i := range s.shape.columns {
		if p := &s.shape.columns[i]; s.own(p.index) != p.heading {
			return false
		}
	}
	return len(s.shape.columns) > 1
}

// holdsNothing tells whether no column that is used holds anything: a note, a signature. Cells below a merged one hold what
// that holds.
func (s *sheetReader[R]) holdsNothing() bool {
	for i := range s.shape.columns {
		p := &s.shape.columns[i]
		if s.own(p.index) != "" || s.merged == nil || s.merged.text(s.grid.number, p.index) != "" {
			return false
		}
	}
	return true
}

// mayBeTotal tells by its start whether a cell may be the word for a total.
func mayBeTotal(cell string) bool {
	const longest = len("grand total : ")
	if len(cell) < 3 || len(cell) > longest {
		return strings.HasPrefix(cell, "Σ")
	}
	for _, start := range [...]string{"tot", "sum", "sub", "gra"} {
		if strings.EqualFold(cell[:3], start) {
			return isTotalWord(cell)
		}
	}
	return strings.HasPrefix(cell, "Σ")
}

// isTotalWord tells whether a text is a word for a total, and nothing else (common practice).
func isTotalWord(text string) bool {
	switch wordKey(strings.TrimRight(text, " :=")) {
	case "total", "totals", "grandtotal", "subtotal", "subtotals", "sum", "Σ", "σ":
		return true
	}
	return false
}

// isTotal tells whether a row is one of totals: its first text is a word for it, and beside it no column that must hold a text
// holds one. So a row of a line called Total is data, unless nothing else names what hangs where.
func (s *sheetReader[R]) isTotal() bool {
	label := -1
	for i := range s.grid.cells {
		if cell := strings.TrimSpace(s.grid.cells[i]); cell != "" {
			if !isTotalWord(cell) {
				return false
			}
			label = i
			break
		}
	}
	if label < 0 {
		return false
	}
	texts, must := 0, 0
	for i := range s.shape.columns {
		p := &s.shape.columns[i]
		if !p.column.required || p.column.isNumber() || p.index == label {
			continue
		}
		must++
		if cell := s.own(p.index); cell != "" {
			if _, isNumber := parseNumber(cell); !isNumber {
				texts++
			}
		}
	}
	return must > 0 && texts == 0
}

// isUnits tells whether the row under the headings holds nothing but units of measure, those in which the columns are read. Other
// units are for the heading to say: taking them from here, or passing over them, might misread a whole column.
func (s *sheetReader[R]) isUnits() bool {
	units := 0
	for i := range s.shape.columns {
		p := &s.shape.columns[i]
		cell := strings.Trim(s.own(p.index), "()[] ")
		if cell == "" {
			continue
		}
		if p.column.measure == nil {
			if key := wordKey(cell); key == "" || p.column.counts(cell) {
				continue
			}
			return false
		}
		in, known := p.column.measure.find(cell)
		if !known {
			return false
		}
		if in.factor != p.in.factor || in.offset != p.in.offset {
			s.otherUnit(p, cell)
		}
		units++
	}
	return units > 0
}

// otherUnit refuses a sheet whose row of units says otherwise than its headings.
func (s *sheetReader[R]) otherUnit(p *placed[R], unit string) {
	in := p.column.measure.units[0].names[0]
	if len(p.in.names) > 0 {
		in = p.in.names[0]
	}
	file := s.book.name
	if !s.book.isText {
		file += "!" + s.found.actual
	}
	s.err = &InputError{File: file, Message: fmt.Sprintf("has the unit %q under the heading %q in row %d, which is read in %s", unit, p.heading, s.grid.number, in),
		Hint: fmt.Sprintf("say which holds under register in the project file: columns: {%s: {%s: {from: %q, unit: %s}}}", s.name, p.column.heading, p.heading, unit)}
}
