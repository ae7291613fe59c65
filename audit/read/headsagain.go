package read

import (
	"fmt"
	"strings"
)

// A table that was printed page by page has its headings again and again, and their units. What stands below headings that are not the first
// ones is read by these, so that others are refused.

// headsAgain tells whether the row at hand is no data but repeats the headings or their units, and takes note of it. One that says otherwise than
// they do is an error.
func (s *sheetReader[R]) headsAgain() bool {
	if len(s.shape.heads) > 0 && s.isHeadOfSeveral() {
		return true
	}
	return s.mayHead() && (s.repeatsUnits() || s.namesHeadings())
}

// mayHead tells rows apart from those of data, nearly all of which have a figure where the first of their numbers stands.
func (s *sheetReader[R]) mayHead() bool {
	words := false
	for _, index := range s.figures {
		if index >= len(s.grid.cells) || s.grid.cells[index] == "" {
			continue
		}
		if isOfFigures(s.grid.cells[index]) {
			return false
		}
		words = true
	}
	return words
}

// isOfFigures tells whether a cell holds nothing but figures and what stands between and before them.
func isOfFigures(cell string) bool {
	for i := range len(cell) {
		switch c := cell[i]; {
		case c >= '0' && c <= '9', c == ' ', c == '-', c == '+', c == '.', c == ',':
		default:
			return false
		}
	}
	return true
}

// refuseHeadsAgain refuses a table of points of which a row holds units, or headings that are not those above it.
func (t *pointTable) refuseHeadsAgain(r *row, l *layer) error {
	if t.hasFigure(r.cells, t.x) || t.hasFigure(r.cells, t.y) { // as nearly all rows
		return nil
	}
	if at, is := t.unitsIn(r.cells, l); is {
		return t.refuseUnits(r.number, r.cells[at], at)
	}
	if !t.namesCoordinate(r.cells, t.x) || !t.namesCoordinate(r.cells, t.y) {
		return nil
	}
	for i, heading := range t.headings {
		cell := ""
		if i < len(r.cells) {
			cell = strings.TrimSpace(r.cells[i])
		}
		if t.wanted[i] && cell != heading {
			return &InputError{File: t.in.name, Message: fmt.Sprintf("row %d holds headings that are not those of row %d, with %q in place of %q", r.number, t.row, excerpt(cell), heading), Hint: headsHint}
		}
	}
	return nil
}

// hasFigure tells whether a cell has any.
func (t *pointTable) hasFigure(cells []string, at int) bool {
	return at < len(cells) && strings.ContainsAny(cells[at], "0123456789")
}

// namesCoordinate tells whether a cell is a name of the coordinate above it.
func (t *pointTable) namesCoordinate(cells []string, at int) bool {
	if at >= len(cells) {
		return false
	}
	cell, heading := coordinateHeadingOf(cells[at]), coordinateHeadingOf(t.headings[at])
	return cell.plain == heading.plain && cell.plain != "" || cell.bare == heading.bare && cell.bare != ""
}

// isHeadOfSeveral tells whether the row at hand is one of several rows of headings once more. Behind the first of them come the others.
func (s *sheetReader[R]) isHeadOfSeveral() bool {
	if s.headsSeen > 0 {
		if expected := &s.shape.heads[s.headsSeen]; !expected.holds(s.grid.cells) {
			s.err = &InputError{File: s.file, Message: fmt.Sprintf("row %d is not row %d again, though the one above it is that of the headings", s.grid.number, expected.number), Hint: headsHint}
			return true
		}
	} else if !s.shape.heads[0].holds(s.grid.cells) {
		return false
	}
	s.headsSeen = (s.headsSeen + 1) % len(s.shape.heads)
	s.aside.headings = append(s.aside.headings, s.grid.number)
	return true
}

// holds tells whether the row holds some cells, and no others.
func (r *rowAbove) holds(cells []string) bool {
	at := func(cells []string, column int) string {
		if column >= len(cells) {
			return ""
		}
		return strings.TrimSpace(cells[column])
	}
	for column := range max(len(cells), len(r.cells)) {
		if at(cells, column) != at(r.cells, column) {
			return false
		}
	}
	return true
}

const headsHint = "repeat the headings as they are, or leave them out; what has other columns or other units goes into a table of its own"

// namesHeadings tells whether the row at hand holds headings: two at least, one of a number or two where each row of data has a text, and there
// nothing else. Those that name the same columns in the same units are passed over.
func (s *sheetReader[R]) namesHeadings() bool {
	if s.lookup == nil {
		s.lookup = newHeadingLookup(s.columns)
	}
	named, numbers, must, problem := 0, 0, 0, ""
	for i := range s.shape.columns {
		p := &s.shape.columns[i]
		if p.index < 0 {
			continue
		}
		cell := excerptOf(s.own(p.index))
		c, column, unknown := recognise(cell, s.columns, s.lookup, s.told.mapped)
		is := column >= 0 || cell == p.heading
		switch {
		case is:
			named++
			if p.column.isNumber() {
				numbers++
			}
			if p.column.required {
				must++
			}
		case p.column.isNumber() && isFigure(cell), p.column.required && cell != "":
			return false
		}
		switch {
		case problem != "" || cell == p.heading:
		case unknown != "":
			problem = "repeats the headings, but " + unknown
		case is && (column < 0 || c.column.heading != p.column.heading || c.phase != p.phase || p.column.measure != nil && !c.in.equals(p.in)), !is && p.column.isNumber():
			problem = fmt.Sprintf("holds headings that are not those of row %d, with %q in place of %q", s.headings, cell, p.heading)
		}
	}
	switch {
	case named < 2 || must == 0 && len(s.must) > 0 || numbers == 0 && must < 2:
		return false
	case problem != "":
		s.err = &InputError{File: s.file, Message: fmt.Sprintf("row %d %s", s.grid.number, problem), Hint: headsHint}
	case s.grid.isData():
		return false
	default:
		s.aside.headings = append(s.aside.headings, s.grid.number)
	}
	return true
}
