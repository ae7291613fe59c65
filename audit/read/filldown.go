package read

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
)

// Of a group of rows many exports state the line or the structure in the first alone, or write a mark for "as above" below it. What stands
// above is taken for such a cell only where the project file says so of its column, by fill_down; elsewhere a blank stays a blank, and a mark
// is a fault. Nothing is filled across what may end a group: a row without anything, a total, headings again, a row that the project file
// does not choose, another line, another value of a column that the list names before.

// filling is a column that is filled down, with what stands above the row at hand.
type filling struct {
	asked   bool
	rank    int    // in the list of the project file
	holds   bool   // a row above states it
	why     string // nothing can be filled, while it does not hold
	written string // in the cell of the row that states it
	text    string // the same as it is read
	numeric bool   // that stands as a number in its cell
	rows    []uint32
	count   int
}

// The reasons why nothing can be filled down, as the end of a sentence.
const (
	nothingAbove  = "no row above states it"
	groupLeftOut  = "a row that is left out stands between"
	groupApart    = "a row without anything stands between"
	otherLine     = "the line is another than above"
	unreadAbove   = "what stands above cannot be read"
	numbersAlone  = "a row that says no more than numbers or remarks may be a total"
	mostFilledRow = 5 // rows that are told of a column (a choice of this program)
)

// fillDownOf are the columns that are filled down on a sheet: its own where it has any stated, even none, else those of the entry.
func fillDownOf(e *registerEntry, use *sheetUse) []string {
	if use.fillDown != nil {
		return use.fillDown
	}
	return e.fillDown
}

// startFilling prepares the columns that the project file has filled down.
func (s *sheetReader[R]) startFilling(file string) error {
	s.stated = make([]bool, len(s.shape.columns))
	if s.name != assembliesSheet || len(s.told.fillDown) == 0 {
		return nil
	}
	var trouble problems
	s.fills = make([]filling, len(s.shape.columns))
	for rank, name := range s.told.fillDown {
		i := slices.IndexFunc(s.shape.columns, func(p placed[R]) bool { return p.column.heading == name })
		refuse := func(message string) {
			trouble.add(&InputError{File: file, Message: message, Hint: fillDownHint})
		}
		switch {
		case i < 0:
			refuse(fmt.Sprintf("has no column %q, which the project file names under fill_down; the headings there are %s", name, quotedList(s.shape.headings)))
		case s.shape.columns[i].fixed != "":
			refuse(fmt.Sprintf("has the column %q under fill_down and under fixed in the project file, expected one of the two", name))
		case s.shape.columns[i].phase != "":
			refuse(fmt.Sprintf("has a column %q for each phase, in which a blank says that nothing hangs there; it is not filled down", name))
		default:
			s.fills[i] = filling{asked: true, rank: rank, why: nothingAbove}
		}
	}
	return trouble.err()
}

// endFilling ends the groups at hand.
func (s *sheetReader[R]) endFilling(why string) {
	for i := range s.fills {
		s.fills[i].holds, s.fills[i].why = false, why
	}
	clear(s.stated)
}

// beginRow ends the groups that do not go on in the row at hand.
func (s *sheetReader[R]) beginRow() {
	if s.grid.apart {
		s.endFilling(groupApart)
	}
	switch {
	case s.fills == nil:
		return
	case !s.saysAnything():
		s.endFilling(numbersAlone)
		return
	}
	for i := range s.shape.columns {
		p := &s.shape.columns[i]
		if p.index < 0 || p.column.heading != lineList && !s.fills[i].holds {
			continue
		}
		cell := s.other(p.index)
		_, formula := s.grid.formulas[p.index]
		switch {
		case formula && p.column.heading == lineList: // without a value: it may be another line
			s.endFilling(unreadAbove)
		case formula:
			s.endBehind(i)
		case cell == "" || isDitto(cell):
		case p.column.heading == lineList:
			if s.lineAbove != "" && valueKey(cell) != valueKey(s.lineAbove) {
				s.endFilling(otherLine)
			}
			s.lineAbove = strings.Clone(cell)
		case valueKey(cell) != valueKey(s.fills[i].written):
			s.endBehind(i)
		}
	}
}

// endBehind ends what the list of the project file names behind a column, which has another value than above.
func (s *sheetReader[R]) endBehind(i int) {
	why := fmt.Sprintf("the %s is another than above", strings.ToLower(s.shape.columns[i].column.heading))
	for k := range s.fills {
		if f := &s.fills[k]; f.asked && f.rank > s.fills[i].rank && s.shape.columns[k].column.heading != lineList {
			f.holds, f.why = false, why
		}
	}
}

// isFromAbove tells whether a cell is to hold what stands above it, or says so.
func (s *sheetReader[R]) isFromAbove(i int, cell string) bool {
	asked := s.fills != nil && s.fills[i].asked
	if cell == "" {
		p := &s.shape.columns[i] // a text holds for all rows that its cell is merged over, whoever asks
		return asked && (s.merged == nil || p.column.shape != textShape || s.merged.text(s.grid.number, p.index) == "")
	}
	return isDitto(cell) && (asked || !s.shape.columns[i].column.long)
}

// mergedTrouble is the trouble with a cell that is merged with one above it which holds no text.
func (s *sheetReader[R]) mergedTrouble(p *placed[R], above string) *trouble {
	expected := fmt.Sprintf("is merged with the %q above; give each row its own value", excerpt(above))
	if s.name == assembliesSheet && p.phase == "" {
		columns := append(slices.Clone(s.told.fillDown), p.column.heading)
		expected += fmt.Sprintf(", or where each of them has that one say so under register: fill_down: [%s]", strings.Join(columns, ", "))
	}
	return &trouble{kind: audit.MissingValue, expected: expected}
}

// fill reads what stands above a cell in its place.
func (s *sheetReader[R]) fill(i int, row *R, at audit.Source, cell string) {
	p := &s.shape.columns[i]
	text, t := s.fromAbove(i, row, cell)
	if t == nil {
		cell = text
		var read bool
		if t, read = p.nothing(row, cell); !read {
			t = p.read(row, cell)
		}
		if t != nil {
			t = s.retry(i, row, cell, t)
		}
	} else if !p.column.verbatim {
		p.column.read(row, cell, p.in) // the figure stays unknown
	}
	if t != nil {
		s.faultIn(i, row, at, cell, t)
	}
}

// fromAbove is what stands above a cell; trouble says why nothing can be taken from there.
func (s *sheetReader[R]) fromAbove(i int, row *R, cell string) (string, *trouble) {
	p := &s.shape.columns[i]
	says := "is blank, and"
	if cell != "" {
		says = "says the same as above, and"
	}
	if s.fills == nil || !s.fills[i].asked {
		return "", &trouble{kind: audit.MissingValue, gathered: "ditto",
			expected: fmt.Sprintf("says the same as above, which is taken only where the project file says so, under register: fill_down: [%s]", p.column.heading)}
	}
	f := &s.fills[i]
	if !f.holds {
		return "", &trouble{kind: audit.MissingValue, gathered: "fill " + f.why, expected: says + " is not filled down: " + f.why}
	}
	if p.column.numeric != nil {
		p.column.numeric(row, f.numeric)
	}
	if len(f.rows) == 0 || f.rows[len(f.rows)-1] != s.grid.number {
		f.note(s.grid.number)
	}
	return f.text, nil
}

// note counts a row that is filled. The last of those kept is the last that was filled.
func (f *filling) note(row uint32) {
	f.count++
	if len(f.rows) > mostFilledRow {
		f.rows[mostFilledRow] = row
		return
	}
	f.rows = append(f.rows, row)
}

// saysAnything tells whether the row says more than numbers: a total has no more.
func (s *sheetReader[R]) saysAnything() bool {
	for i := range s.shape.columns {
		if p := &s.shape.columns[i]; p.column.shape == textShape && !p.column.long && s.own(p.index) != "" {
			return true
		}
	}
	return false
}

// keepForBelow keeps what a cell holds for the rows below it.
func (s *sheetReader[R]) keepForBelow(i int, written, text string, readable bool) {
	f := &s.fills[i]
	if !f.asked {
		return
	}
	f.holds, f.why = readable, unreadAbove
	if readable {
		f.written, f.text, f.numeric = strings.Clone(written), strings.Clone(text), s.last.numeric
	}
}

// doubtFilling ends what is filled down of columns that are not read in a row.
func (s *sheetReader[R]) doubtFilling(i int) {
	if s.fills != nil {
		s.fills[i].holds, s.fills[i].why = false, unreadAbove
	}
}

// findNaming finds the first column that stands in the sheet, where the required ones stand, and which name the line and the structure of
// an assembly.
func (s *sheetReader[R]) findNaming() {
	s.first = slices.IndexFunc(s.shape.columns, func(p placed[R]) bool { return p.index >= 0 })
	for i := range s.shape.columns {
		p := &s.shape.columns[i]
		if p.column.required && p.index >= 0 {
			s.must = append(s.must, p.index)
		}
		if p.column.isNumber() && p.index >= 0 {
			s.figures = append(s.figures, p.index)
		}
		if s.name == assembliesSheet && (p.column.heading == lineList || p.column.heading == structureList) && p.index >= 0 && p.fixed == "" {
			s.naming = append(s.naming, i)
		}
	}
}

// findBlanksBelow notes which of line and structure are blank in the row and stated in a row above of which nothing parts it: that is how a
// group of rows looks whose first alone states them.
func (s *sheetReader[R]) findBlanksBelow() {
	s.register.blankBelow = s.register.blankBelow[:0]
	for _, i := range s.naming {
		p := &s.shape.columns[i]
		switch {
		case s.other(p.index) != "":
			s.stated[i] = true
		case s.stated[i] && (s.fills == nil || !s.fills[i].asked) && s.saysAnything():
			s.register.blankBelow = append(s.register.blankBelow, p.column.heading)
		}
	}
}

// filled tells what was filled down.
func (s *sheetReader[R]) filled() (notes []string) {
	for i := range s.fills {
		f := &s.fills[i]
		if !f.asked {
			continue
		}
		note := fmt.Sprintf("cells of %q that take what stands above them, as the project file says under fill_down: %d", s.shape.columns[i].heading, f.count)
		if f.count > 0 {
			var rows []string
			for _, row := range f.rows[:min(len(f.rows), mostFilledRow)] {
				rows = append(rows, fmt.Sprint(row))
			}
			note += ", in rows " + strings.Join(rows, ", ")
			if more := f.count - len(rows); more > 0 {
				note += fmt.Sprintf(" and %d more", more)
			}
			s.register.project.FilledDown = append(s.register.project.FilledDown, fmt.Sprintf("Of the column %q in %s %s what stands above, as the project file says.",
				s.shape.columns[i].column.heading, s.register.project.Tables[s.found.table], cellsTake(f.count)))
		}
		notes = append(notes, note)
	}
	return notes
}

func cellsTake(count int) string {
	if count == 1 {
		return "1 cell takes"
	}
	return fmt.Sprintf("%d cells take", count)
}

// isDitto tells whether a cell says no more than that it holds the same as the one above (common practice). DO in capitals may be a name.
func isDitto(cell string) bool {
	const longest = len("- ditto -")
	if cell == "" || len(cell) > longest {
		return false
	}
	switch cell[0] {
	case '"', '\'', '-', 'd', 'D', 'i', 'I', 0xc3, 0xe2, 0xe3:
	default: // as nearly all cells
		return false
	}
	switch cell {
	case `"`, "''", "″", "〃", "“", "”", "„", "do", "Do", `""`, `-"-`, `- " -`, "—〃—":
		return true
	}
	switch strings.ToLower(strings.Trim(cell, "-–— .")) {
	case "ditto", "dto", "idem", "ídem":
		return true
	case "do":
		return len(cell) > len("do")
	}
	return false
}
