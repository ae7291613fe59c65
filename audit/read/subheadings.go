package read

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit/read/xlsx"
)

// A heading may stand over several columns that only a second row tells apart: what is required and what is installed, the phases. Which
// of them the heading means is then not known, and the first is not taken for it: the sheet is refused until the project file says.

// wideHeading is a heading that is used, with the columns without a heading of their own behind it.
type wideHeading struct {
	index, last int // from 0, both included
	heading     string
	column      string // that it stands for; empty where it chooses rows
	number      bool
	today       bool // says what hangs there
}

// checkSubheadings refuses a sheet with a used heading that stands over several columns, or over one that says that it is of another time.
func (s *sheetReader[R]) checkSubheadings(file string) error {
	wide := s.wideHeadings()
	if !s.ahead { // below a row of units
		s.ahead = s.grid.next()
	}
	if !s.ahead {
		return nil
	}
	var trouble problems
	subheadings := s.isSubheadings(wide)
	for _, w := range wide {
		below := s.textsBelow(w)
		switch {
		case len(below) > 1 && (subheadings || w.number && s.noneIsNumber(w)):
			trouble.add(s.refuseWide(file, w, fmt.Sprintf("has the heading %q in row %d over columns that row %d tells apart as %s; which of them is meant is not known",
				w.heading, s.headings, s.grid.number, quotedList(below))))
		case subheadings && w.today && len(below) == 1 && OfAnotherTime(below[0]):
			trouble.add(s.refuseWide(file, w, fmt.Sprintf("has under the heading %q in row %d the heading %q, so that it may say what does not hang there today",
				w.heading, s.headings, below[0])))
		}
	}
	if trouble.err() == nil {
		trouble.add(s.checkMergedHeadings(file, wide))
	}
	return trouble.err()
}

func (s *sheetReader[R]) refuseWide(file string, w wideHeading, message string) error {
	below := s.textsBelow(w)
	today := slices.IndexFunc(below, func(text string) bool { return !OfAnotherTime(text) })
	name := joinHeading(w.heading, below[max(0, today)])
	hint := fmt.Sprintf("say under register in the project file that the headings stand in two rows: headings: [%d, %d]", s.firstHeadings(), s.grid.number)
	switch pairs := eachPhase(w.heading, below); {
	case w.column == "":
	case len(s.columnsBelow(w.heading, below)) > 0:
		hint += fmt.Sprintf(", and which columns these are: columns: {%s}", strings.Join(s.columnsBelow(w.heading, below), ", "))
	case pairs != "":
		hint += fmt.Sprintf(", and that it has one for each phase: columns: {%s: {%s}}", w.column, pairs)
	default:
		hint += fmt.Sprintf(", and which is read, such as columns: {%s: %q}, or a heading for each phase: columns: {%s: {A: %q, …}}", w.column, name, w.column, name)
	}
	return &InputError{File: file, Message: message, Hint: hint}
}

// columnsBelow are the columns of the sheet that a heading names together with one below it, such as Clamp rating of Rating over Clamp, as a project
// file maps them to both.
func (s *sheetReader[R]) columnsBelow(heading string, below []string) (pairs []string) {
	outside, _ := inBrackets(heading)
	for _, text := range below {
		for i := range s.columns {
			if key := headingKey(s.columns[i].heading); key == headingKey(text+outside) || key == headingKey(outside+text) {
				pairs = append(pairs, fmt.Sprintf("%s: %q", s.columns[i].heading, joinHeading(heading, text)))
			}
		}
	}
	return pairs
}

// firstHeadings is the first row of the headings.
func (s *sheetReader[R]) firstHeadings() uint32 {
	if s.told.headings.given() {
		return s.told.headings.first
	}
	return s.headings
}

// wideHeadings are the headings on which something rests, each with the columns behind it up to the next.
func (s *sheetReader[R]) wideHeadings() (wide []wideHeading) {
	last := func(index int) int {
		if i := slices.Index(s.shape.places, index); i+1 < len(s.shape.places) {
			return s.shape.places[i+1] - 1
		}
		return math.MaxInt
	}
	for i := range s.shape.columns {
		if p := &s.shape.columns[i]; p.index >= 0 && !p.column.long {
			wide = append(wide, wideHeading{p.index, last(p.index), p.heading, p.column.heading, p.column.isNumber(), p.column.today})
		}
	}
	for i, place := range s.shape.only {
		if place >= 0 {
			wide = append(wide, wideHeading{index: place, last: last(place), heading: s.told.only[i].name})
		}
	}
	slices.SortStableFunc(wide, func(a, b wideHeading) int { return a.index - b.index })
	return wide
}

// textsBelow is what the row under the headings holds below one of them.
func (s *sheetReader[R]) textsBelow(w wideHeading) (texts []string) {
	for i := w.index; i <= w.last && i < len(s.grid.cells); i++ {
		if text := excerptOf(strings.TrimSpace(s.grid.cells[i])); text != "" {
			texts = append(texts, strings.Clone(text))
		}
	}
	return texts
}

// isSubheadings tells whether the row under the headings has headings too: it holds anything and no text where each row of data must,
// under the headings of one column alone. Where there are none of those it holds no number.
func (s *sheetReader[R]) isSubheadings(wide []wideHeading) bool {
	must, holds, numbers := false, false, false
	for _, w := range wide {
		below := s.textsBelow(w)
		holds = holds || len(below) > 0
		for _, text := range below {
			_, isNumber := parseNumber(text)
			numbers = numbers || isNumber
		}
		if len(below) > 1 || !s.requiresText(w.column) {
			continue
		}
		must = true
		if len(below) == 1 && below[0] != w.heading {
			return false
		}
	}
	return holds && (must || !numbers)
}

// requiresText tells whether each row of data holds a text in a column.
func (s *sheetReader[R]) requiresText(heading string) bool {
	return slices.ContainsFunc(s.columns, func(c column[R]) bool { return c.heading == heading && c.required && !c.isNumber() })
}

// noneIsNumber tells whether a column of numbers has a word right under its heading, and words behind.
func (s *sheetReader[R]) noneIsNumber(w wideHeading) bool {
	if strings.TrimSpace(s.own(w.index)) == "" {
		return false
	}
	for _, text := range s.textsBelow(w) {
		if nothingIn(text) != saysSomething || isDitto(text) || isErrorValue(text) || strings.IndexAny(text, "0123456789") == 0 {
			return false
		}
	}
	return true
}

// checkMergedHeadings refuses a sheet with a used heading that is merged over columns of which any but the first holds data.
func (s *sheetReader[R]) checkMergedHeadings(file string, wide []wideHeading) error {
	wide = slices.DeleteFunc(wide, func(w wideHeading) bool { return w.last == w.index })
	if s.book.isText || len(wide) == 0 {
		return nil
	}
	areas := s.book.content.mergedAcross(s.grid.ctx, s.found.actual, s.headings)
	wide = slices.DeleteFunc(wide, func(w wideHeading) bool {
		return !slices.ContainsFunc(areas, func(a xlsx.Across) bool { return a.Column == w.index && a.First <= s.headings && s.headings <= a.Last })
	})
	if len(wide) == 0 {
		return nil
	}
	again, err := openSheet(s.grid.ctx, s.book.content, s.found.actual)
	if err != nil {
		return err
	}
	defer again.close()
	for again.next() {
		if again.number <= s.headings || again.number == s.unitRow {
			continue
		}
		for _, w := range wide {
			for _, a := range areas {
				if a.Column != w.index || a.First > s.headings || a.Last < s.headings {
					continue
				}
				if at := s.dataBehind(again.cells, a); at >= 0 {
					return &InputError{File: file, Message: fmt.Sprintf("has the heading %q in row %d merged over the columns %s to %s, and row %d holds %q in %s; which of them is meant is not known",
						w.heading, s.headings, xlsx.ColumnName(a.Column), xlsx.ColumnName(a.LastColumn), again.number, excerpt(strings.TrimSpace(again.cells[at])), xlsx.ColumnName(at)),
						Hint: "give each of these columns a heading of its own in the file"}
				}
			}
		}
	}
	return nil
}

// dataBehind is the column behind the first of a merged heading in which a row holds anything, −1 for none. A row that holds nothing in
// another column that is used is a note.
func (s *sheetReader[R]) dataBehind(cells []string, heading xlsx.Across) int {
	holds := func(i int) bool { return i >= 0 && i < len(cells) && strings.TrimSpace(cells[i]) != "" }
	if !slices.ContainsFunc(s.shape.columns, func(p placed[R]) bool { return p.index != heading.Column && holds(p.index) }) {
		return -1
	}
	for i := heading.Column + 1; i <= heading.LastColumn; i++ {
		if holds(i) {
			return i
		}
	}
	return -1
}

// checkGroupsAbove refuses a sheet that has right above a heading one that says that it and those beside it are of another time. What stands
// above line and structure too is a title.
func (s *sheetReader[R]) checkGroupsAbove(file string) error {
	if s.name != assembliesSheet || len(s.shape.above) == 0 {
		return nil
	}
	above := s.shape.above[len(s.shape.above)-1]
	if above.number+1 != s.firstHeadings() {
		return nil
	}
	groups := spread(above.cells, above.number, s.shape.cells, s.book.content.mergedAcross(s.grid.ctx, s.found.actual, above.number), func(int) bool { return true })
	var titles []int
	for i := range s.shape.columns {
		if p := &s.shape.columns[i]; p.index >= 0 && (p.column.heading == lineList || p.column.heading == structureList) {
			titles = append(titles, groups[p.index].from)
		}
	}
	var trouble problems
	for i := range s.shape.columns {
		p := &s.shape.columns[i]
		if p.index < 0 || !p.column.today || !OfAnotherTime(groups[p.index].text) || slices.Contains(titles, groups[p.index].from) {
			continue
		}
		if _, mapped := s.told.mapped[p.column.heading]; mapped {
			continue
		}
		trouble.add(&InputError{File: file, Message: fmt.Sprintf("has %q in row %d above the heading %q, so that it may say what does not hang there today", groups[p.index].text, above.number, p.heading),
			Hint: fmt.Sprintf("say which is read, under register in the project file: headings: [%d, %d], columns: {%s: …}; or that it is this: columns: {%s: %q}",
				above.number, s.headings, p.column.heading, p.column.heading, p.heading)})
	}
	return trouble.err()
}
