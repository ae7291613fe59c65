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
	is, problem := s.shape.readUnits(s.grid.cells)
	switch {
	case is && s.grid.isData():
		return &InputError{File: file, Message: fmt.Sprintf("row %d holds units and nothing else, expected data in each row", s.grid.number),
			Hint: `leave it out, and have the units in the names of the columns, as in "Creepage (in)"`}
	case problem != "":
		return &InputError{File: file, Message: fmt.Sprintf("row %d %s", s.grid.number, problem), Hint: "give the unit once, in the heading or below it"}
	case is:
		s.unitRow, s.ahead = s.grid.number, false
	}
	return nil
}

// readUnits reads a row right under the headings that holds their units; is tells whether it does. problem says which of
// them contradicts its heading, or is not known.
func (l *layout[R]) readUnits(cells []string) (is bool, problem string) {
	known := 0
	for i := range l.columns {
		p := &l.columns[i]
		cell := strings.Trim(p.text(cells), "()[] ")
		switch m := p.column.measure; {
		case strings.Trim(cell, "-–—") == "":
		case m == nil:
			if !isCountingWord(cell) || !p.column.isNumber() {
				return false, ""
			}
		default:
			if _, is := m.find(cell); is {
				known++
			} else if _, number := parseNumber(cell); number || strings.ContainsAny(cell, "0123456789") && !strings.ContainsAny(cell, "/^") {
				return false, ""
			}
		}
	}
	if known == 0 {
		return false, ""
	}
	for i := range l.columns {
		p := &l.columns[i]
		cell := strings.Trim(p.text(cells), "()[] ")
		if p.column.measure == nil || strings.Trim(cell, "-–—") == "" {
			continue
		}
		in, known := p.column.measure.find(cell)
		switch {
		case !known:
			return true, fmt.Sprintf("has under the heading %q the unit %q, expected one of %s", p.heading, cell, strings.Join(p.column.measure.list(), ", "))
		case p.stated && (in.factor != p.in.factor || in.offset != p.in.offset):
			return true, fmt.Sprintf("has under the heading %q, which is in %s, the unit %q, expected the same", p.heading, p.in.names[0], cell)
		}
		p.in, p.stated = in, true
	}
	return true, ""
}

// isCountingWord tells whether a cell of a row of units says that its column counts (common practice).
func isCountingWord(cell string) bool {
	switch wordKey(cell) {
	case "nr", "number", "count", "qty", "units":
		return true
	}
	return isCounting(cell, nil)
}
