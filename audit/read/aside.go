package read

import (
	"fmt"
	"slices"
	"strings"
)

// asideRows are the rows of a sheet among the data that are none, by what they are. They are left out of it, counted apart and
// named in how the sheet was understood.
type asideRows struct{ totals, headings, units, notes []uint32 }

func (a *asideRows) count() int {
	return len(a.totals) + len(a.headings) + len(a.units) + len(a.notes)
}

// told tells which rows they are, the first of them by number.
func (a *asideRows) told() (notes []string) {
	for _, kind := range [...]struct {
		rows []uint32
		what string
	}{
		{a.totals, "rows of totals"}, {a.headings, "rows that repeat the headings"},
		{a.units, "rows that hold the units in which the columns are read"},
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
	if s.first < 0 || s.grid.isData() {
		return false
	}
	first := &s.shape.columns[s.first]
	cell := s.own(first.index)
	switch {
	case cell == "":
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
	case s.holdsNothing():
		s.aside.notes = append(s.aside.notes, s.grid.number)
	default:
		return false
	}
	return true
}

// own is the cell of the row at hand in a column: its value, else its formula; empty of a column that the project file alone states.
func (s *sheetReader[R]) own(index int) string {
	if index < 0 {
		return ""
	}
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
	equal := 0
	for i := range s.shape.columns {
		p := &s.shape.columns[i]
		switch {
		case p.index < 0:
			continue
		case s.own(p.index) != p.heading:
			return false
		}
		equal++
	}
	return equal > 1
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
	if len(cell) < 3 || len(cell) > longestTotal || strings.IndexByte("tsgrucyTSGRUCY", cell[0]) < 0 { // as of most lines
		return strings.HasPrefix(cell, "Σ")
	}
	for _, start := range [...]string{"tot", "sum", "sub", "gra", "gen", "ges", "som", "top", "raz", "uku", "cel", "yht"} {
		if strings.EqualFold(cell[:3], start) {
			return isTotalWord(cell) || startsWithTotal(cell)
		}
	}
	return strings.HasPrefix(cell, "Σ")
}

// longestTotal is how many bytes a text may have that names a total (a choice of this program).
const longestTotal = 60

// isTotalWord tells whether a text is a word for a total, and nothing else (common practice).
func isTotalWord(text string) bool {
	if len(text) > longestTotal {
		return false
	}
	switch wordKey(withoutAccents(strings.TrimRight(text, " :="))) {
	case "total", "totals", "grandtotal", "subtotal", "subtotals", "sum", "Σ", "σ",
		"totale", "totali", "totales", "totaal", "totaux", "totalt", "suma", "summe", "summa", "somme", "soma", "somma", "gesamt", "gesamtsumme", "toplam", "geneltoplam", "aratoplam",
		"razem", "ogolem", "lacznie", "ukupno", "celkem", "celkom", "osszesen", "yhteensa":
		return true
	}
	return false
}

// startsWithTotal tells whether a text begins with a word for a total and says of what: Total discs, Sub-total U70BL.
func startsWithTotal(text string) bool {
	words := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" :=-–—\u00a0", r) })
	return len(text) <= longestTotal && len(words) > 1 && (isTotalWord(words[0]) || isTotalWord(words[0]+words[1]))
}

// numbersBehind tells whether the row holds numbers alone behind a cell, one at least.
func (s *sheetReader[R]) numbersBehind(place int) bool {
	numbers := len(s.grid.formulas)
	for _, cell := range s.grid.cells[place+1:] {
		if cell = strings.TrimSpace(cell); cell == "" {
			continue
		}
		if _, isNumber := parseNumber(cell); !isNumber {
			return false
		}
		numbers++
	}
	return numbers > 0
}

// isTotal tells whether a row is one of totals: its first text is a word for it, or begins with one where all else are numbers, and
// beside it no column that must hold a text holds one. So a row of a line called Total is data, unless nothing else names what hangs where; numbers name it where all that must
// be there is, or a structure and a unit.
func (s *sheetReader[R]) isTotal() bool {
	label := -1
	for i := range s.grid.cells {
		if cell := strings.TrimSpace(s.grid.cells[i]); cell != "" {
			if !isTotalWord(cell) && !(startsWithTotal(cell) && s.numbersBehind(i)) {
				return false
			}
			label = i
			break
		}
	}
	if label < 0 {
		return false
	}
	if s.name == inspectionsSheet {
		return s.holdsCountsAlone(label)
	}
	texts, must, stated, names := 0, 0, 0, 0
	for i := range s.shape.columns {
		p := &s.shape.columns[i]
		if (p.column.heading == structureList || p.column.heading == unitList) && p.index != label && s.own(p.index) != "" {
			names++
		}
		if !p.column.required || p.column.isNumber() || p.index == label || p.index < 0 {
			continue
		}
		must++
		if cell := s.own(p.index); cell != "" {
			stated++
			if _, isNumber := parseNumber(cell); !isNumber {
				texts++
			}
		}
	}
	return must > 0 && texts == 0 && names < 2 && (must == 1 || stated < must)
}

// holdsCountsAlone tells whether the row at hand of a table of inspections, of which no column must hold a text, has counts of units beside a
// cell, and nothing that tells of one observation where or when it was made.
func (s *sheetReader[R]) holdsCountsAlone(label int) bool {
	counts := 0
	for i := range s.shape.columns {
		p := &s.shape.columns[i]
		switch cell := s.own(p.index); {
		case cell == "" || p.index == label:
			continue
		case !slices.Contains([]string{seenHeading, brokenHeading, flashedHeading}, p.column.heading):
			return false
		default:
			counts++
		}
	}
	return counts > 0 && s.numbersBehind(label)
}
