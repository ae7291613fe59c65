package read

import (
	"fmt"
	"strings"
)

// Rows that hold the units of the headings. Right under the headings one is read as theirs; wherever else one stands, figures below it may be in other
// units than those in which they would be read, and the table is refused unless it says the same.

// takeUnits looks at the row under the headings, which may hold their units.
func (s *sheetReader[R]) takeUnits(file string) error {
	if s.ahead = s.grid.next(); !s.ahead {
		return nil
	}
	row := s.shape.unitsIn(s.grid.cells)
	switch {
	case !row.is || row.isNamed:
	case s.grid.isData():
		return &InputError{File: file, Message: fmt.Sprintf("row %d holds units and nothing else, expected data in each row", s.grid.number),
			Hint: `leave it out, and have the units in the names of the columns, as in "Creepage (in)"`}
	case row.problem != "":
		return &InputError{File: file, Message: fmt.Sprintf("row %d %s", s.grid.number, row.problem), Hint: pureNumberHint}
	default:
		if problem := s.shape.readUnits(s.grid.cells); problem != "" {
			return &InputError{File: file, Message: fmt.Sprintf("row %d %s", s.grid.number, problem), Hint: "give the unit once, in the heading or below it"}
		}
		s.unitRow, s.ahead = s.grid.number, false
	}
	return nil
}

const pureNumberHint = "leave it out, and have pure numbers in the column, such as 0.02 for 2 %"

// rowOfUnits is what a row says of units.
type rowOfUnits struct {
	is      bool   // it holds units, and no figure
	isNamed bool   // what names its data holds digits, so that it may be data of which the figures are missing
	problem string // of a unit under a heading that has none
}

// unitsIn tells whether a row holds units under its headings.
func (l *layout[R]) unitsIn(cells []string) (row rowOfUnits) {
	known, wants := 0, 1
	for i := range l.columns {
		p := &l.columns[i]
		switch cell := unitCell(p.text(cells)); {
		case cell == "":
		case p.column.measure != nil:
			if _, is := p.column.measure.find(cell); is {
				known++
			} else if isFigure(cell) {
				return rowOfUnits{}
			}
		case p.column.isNumber():
			if isFigure(cell) {
				return rowOfUnits{}
			}
			if isCountingWord(cell) {
				known++
			} else if row.problem == "" {
				row.problem = fmt.Sprintf("has under the heading %q the unit %q, expected none", p.heading, cell)
			}
		case p.column.required:
			row.isNamed = row.isNamed || strings.ContainsAny(cell, "0123456789")
			wants = max(wants, unitsBeside(cell))
		}
	}
	row.is = known >= wants
	return row
}

// readUnits takes the units of a row that holds them. problem says which of them contradicts its heading or is not known.
func (l *layout[R]) readUnits(cells []string) (problem string) {
	for i := range l.columns {
		p := &l.columns[i]
		cell := unitCell(p.text(cells))
		if p.column.measure == nil || cell == "" {
			continue
		}
		in, known := p.column.measure.find(cell)
		switch {
		case !known:
			return fmt.Sprintf("has under the heading %q the unit %q, expected one of %s", p.heading, cell, strings.Join(p.column.measure.list(), ", "))
		case p.stated && !in.equals(p.in):
			return fmt.Sprintf("has under the heading %q, which is in %s, the unit %q, expected the same", p.heading, p.in.names[0], cell)
		}
		p.in, p.stated = in, true
	}
	return ""
}

// otherUnits says which unit of a row that holds units is not that in which its column is read, or is not known; empty where none is.
func (l *layout[R]) otherUnits(cells []string, row rowOfUnits) (problem string) {
	for i := range l.columns {
		p := &l.columns[i]
		cell := unitCell(p.text(cells))
		if p.column.measure == nil || cell == "" {
			continue
		}
		if in, known := p.column.measure.find(cell); known && !in.equals(p.in) || !known && !row.isNamed {
			return fmt.Sprintf("holds units and no data, with %q under the heading %q, whose figures are read in %s", cell, p.heading, p.in.names[0])
		}
	}
	if row.isNamed {
		return ""
	}
	return row.problem
}

const oneRowOfUnits = "let one row of units stand right under the headings, or have them in the headings; what is in other units goes into a table of its own"

// repeatsUnits tells whether a row that is not right under the headings repeats the units in which the columns are read, and takes note of it. One
// that holds others is an error.
func (s *sheetReader[R]) repeatsUnits() bool {
	row := s.shape.unitsIn(s.grid.cells)
	if !row.is {
		return false
	}
	if problem := s.shape.otherUnits(s.grid.cells, row); problem != "" {
		s.err = &InputError{File: s.file, Message: fmt.Sprintf("row %d %s", s.grid.number, problem), Hint: oneRowOfUnits}
		return true
	}
	if row.isNamed || s.grid.isData() {
		return false
	}
	s.aside.units = append(s.aside.units, s.grid.number)
	return true
}

// checkUnitsAbove refuses a sheet that has units above its headings which are not those in which the columns are read.
func (s *sheetReader[R]) checkUnitsAbove() error {
	for _, above := range s.shape.above {
		row := s.shape.unitsIn(above.cells)
		if problem := s.shape.otherUnits(above.cells, row); row.is && problem != "" {
			return &InputError{File: s.file, Message: fmt.Sprintf("row %d, above the headings, %s", above.number, problem), Hint: oneRowOfUnits}
		}
	}
	return nil
}

// refuseUnits refuses a table of points of which a row holds units of its headings, the first at a place: it is no structure, and figures in other
// units than the program's would be taken for what they are not.
func (t *pointTable) refuseUnits(row uint32, cell string, at int) error {
	unit := unitCell(cell)
	return &InputError{File: t.in.name, Message: fmt.Sprintf("row %d holds units and no structure, such as %q under the heading %q, expected data in each row of a table of points", row, unit, t.headings[at]),
		Hint: fmt.Sprintf(`leave it out, and have the units in the headings, as in "%s (%s)", or in the project file, as in properties: {…: {from: %q, unit: %s}}`, t.headings[at], unit, t.headings[at], unit)}
}

// unitsIn tells whether a row of a table of points holds units and no figure, and where the first of them stands that is not that of its column, or
// the first of all.
func (t *pointTable) unitsIn(cells []string, l *layer) (at int, is bool) {
	known, wants, other := 0, 1, false
	for i, cell := range cells[:min(len(cells), len(t.headings))] {
		switch cell := unitCell(cell); {
		case cell == "" || !t.wanted[i]:
		case t.numbers[i] && isFigure(cell):
			return 0, false
		case i == t.x || i == t.y:
		case l.properties.isRequired(t.headings[i]):
			wants = max(wants, unitsBeside(cell))
		case t.measures[i] != nil:
			in, is := t.measures[i].find(cell)
			if !is {
				continue
			}
			if known++; known == 1 || !other && !in.equals(t.units[i]) {
				at, other = i, !in.equals(t.units[i])
			}
		}
	}
	return at, known >= wants
}

// unitCell is what a cell of a row of units says; empty where it says nothing.
func unitCell(cell string) string {
	cell = strings.Trim(cell, "()[] ")
	if strings.Trim(cell, "-–—") == "" {
		return ""
	}
	return cell
}

// unitsBeside is how many units stand in a row of units beside a text where each row of data has one: one where it says itself
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
