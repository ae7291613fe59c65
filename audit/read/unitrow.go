package read

import (
	"fmt"
	"strings"
)

// A row right under the headings that holds their units.

// takeUnits looks at the row under the headings, which may hold their units.
func (s *sheetReader[R]) takeUnits(file string) error {
	if s.ahead = s.grid.next(); !s.ahead {
		return nil
	}
	is, problem, hint := s.shape.readUnits(s.grid.cells)
	switch {
	case is && s.grid.isData():
		return &InputError{File: file, Message: fmt.Sprintf("row %d holds units and nothing else, expected data in each row", s.grid.number),
			Hint: `leave it out, and have the units in the names of the columns, as in "Creepage (in)"`}
	case problem != "":
		return &InputError{File: file, Message: fmt.Sprintf("row %d %s", s.grid.number, problem), Hint: hint}
	case is:
		s.unitRow, s.ahead = s.grid.number, false
	}
	return nil
}

// readUnits reads a row right under the headings that holds their units; is tells whether it does. problem says which of
// them contradicts its heading, is not known, or stands under a heading that has no unit.
func (l *layout[R]) readUnits(cells []string) (is bool, problem, hint string) {
	known, wants := 0, 1
	for i := range l.columns {
		p := &l.columns[i]
		switch cell := unitCell(p.text(cells)); {
		case cell == "":
		case p.column.measure != nil:
			if _, is := p.column.measure.find(cell); is {
				known++
			} else if isFigure(cell) {
				return false, "", ""
			}
		case p.column.isNumber():
			if isFigure(cell) {
				return false, "", ""
			}
			if !isCountingWord(cell) && problem == "" {
				problem = fmt.Sprintf("has under the heading %q the unit %q, expected none", p.heading, cell)
			}
		case p.column.required:
			if strings.ContainsAny(cell, "0123456789") {
				return false, "", ""
			}
			wants = max(wants, unitsBeside(cell))
		}
	}
	if known < wants {
		return false, "", ""
	}
	if problem != "" {
		return true, problem, "leave it out, and have pure numbers in the column, such as 0.02 for 2 %"
	}
	const once = "give the unit once, in the heading or below it"
	for i := range l.columns {
		p := &l.columns[i]
		cell := unitCell(p.text(cells))
		if p.column.measure == nil || cell == "" {
			continue
		}
		in, known := p.column.measure.find(cell)
		switch {
		case !known:
			return true, fmt.Sprintf("has under the heading %q the unit %q, expected one of %s", p.heading, cell, strings.Join(p.column.measure.list(), ", ")), once
		case p.stated && (in.factor != p.in.factor || in.offset != p.in.offset):
			return true, fmt.Sprintf("has under the heading %q, which is in %s, the unit %q, expected the same", p.heading, p.in.names[0], cell), once
		}
		p.in, p.stated = in, true
	}
	return true, "", ""
}

// refuseUnits refuses a table of points whose first row holds the units of its headings: it is no structure, and figures in
// other units than the program's would be taken for what they are not.
func (t *pointTable) refuseUnits(r *row, l *layer) error {
	at, known, wants := -1, 0, 1
	for i, cell := range r.cells[:min(len(r.cells), len(t.headings))] {
		switch cell := unitCell(cell); {
		case cell == "" || !t.wanted[i]:
		case t.numbers[i] && isFigure(cell):
			return nil
		case l.properties.isRequired(t.headings[i]):
			if strings.ContainsAny(cell, "0123456789") {
				return nil
			}
			wants = max(wants, unitsBeside(cell))
		case t.measures[i] != nil:
			if _, is := t.measures[i].find(cell); is {
				known++
				if at < 0 {
					at = i
				}
			}
		}
	}
	if known < wants {
		return nil
	}
	unit := unitCell(r.cells[at])
	return &InputError{File: t.in.name, Message: fmt.Sprintf("row %d holds units and no structure, such as %q under the heading %q, expected data in each row of a table of points", r.number, unit, t.headings[at]),
		Hint: fmt.Sprintf(`leave it out, and have the units in the headings, as in "%s (%s)", or in the project file, as in properties: {…: {from: %q, unit: %s}}`, t.headings[at], unit, t.headings[at], unit)}
}

// unitCell is what a cell of a row of units says; empty where it says nothing.
func unitCell(cell string) string {
	cell = strings.Trim(cell, "()[] ")
	if strings.Trim(cell, "-–—") == "" {
		return ""
	}
	return cell
}

// unitsBeside is how many units stand in a row of units beside a word without digits where each row of data has a text: one where it says itself
// that it is such a row, in some language.
func unitsBeside(word string) int {
	switch strings.TrimRight(headingKey(word), "s") {
	case "unit", "unite", "einheit", "einheiten", "unidad", "unidade", "unita", "eenheid", "eenheden", "enhet", "enhed", "jednotka", "jednostka", "birim":
		return 1
	}
	return 2
}

// isFigure tells whether a cell holds a number, with something behind it or without, and is no unit such as 10^-6/K.
func isFigure(cell string) bool {
	_, number := parseNumber(cell)
	return number || strings.ContainsAny(cell, "0123456789") && !strings.ContainsAny(cell, "/^")
}

// isCountingWord tells whether a cell of a row of units says that its column counts (common practice).
func isCountingWord(cell string) bool {
	switch wordKey(cell) {
	case "nr", "number", "count", "qty", "units":
		return true
	}
	return isCounting(cell, nil)
}
