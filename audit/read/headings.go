package read

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"dryarc/audit"
	"dryarc/audit/read/xlsx"
)

// placed is a column at its place in a sheet.
type placed[R any] struct {
	column  *column[R]
	index   int    // from 0
	heading string // as written
	in      unitOfMeasure
	stated  bool   // the heading or the project file states the unit
	phase   string // of which alone the column is; empty for every phase
	fixed   string // what the project file says of every row; empty where it says nothing
	alone   string // what is wrong where it is the column of one phase and those of the others are not used; empty elsewhere
}

// nowhere is the place of a column that does not stand in the sheet, whose value the project file fixes.
const nowhere = -1

// name is the heading of the column, with the phase of which alone it is.
func (p *placed[R]) name() string {
	if p.phase == "" {
		return p.column.heading
	}
	return p.column.heading + " of phase " + p.phase
}

// text is what a row holds in the column.
func (p *placed[R]) text(cells []string) string {
	if p.index < 0 || p.index >= len(cells) {
		return ""
	}
	return strings.TrimSpace(cells[p.index])
}

// otherHeading is a heading that stands for no column.
type otherHeading struct {
	index   int
	heading string
	why     string // empty where nothing is known about it
}

// longestName is how many bytes a heading, a name, a number or a word may have; only remarks and what is carried may be longer (a choice of this
// program).
const longestName = 1000

// read reads a cell of the column into a row.
func (p *placed[R]) read(row *R, cell string) *trouble {
	if len(cell) > longestName && !p.column.long {
		return &trouble{kind: audit.OutOfRange, expected: fmt.Sprintf("is out of range, expected no more than %d characters", longestName)}
	}
	return p.column.read(row, cell, p.in)
}

// layout is a heading row as it was understood.
type layout[R any] struct {
	declared []column[R]
	columns  []placed[R]    // in the order they are declared
	others   []otherHeading // in the order they stand
	headings []string       // all, as written
	places   []int          // where they stand
	phases   []string       // that have columns of their own
	only     []int          // where the headings stand by which rows are chosen
	carried  []int          // where those stand that are carried through
	width    int            // of the heading row in cells, up to the last heading
	cells    int            // of the heading row, with the blank ones behind it
	missing  []string       // required headings that are not there
	problems []string       // what cannot be understood
	hints    []string       // about the problems, one each
	above    []rowAbove     // what stands above the headings
	upper    int            // rows of headings above the last of them
	heads    []rowAbove     // the rows of the headings where there are several
}

// rowAbove is a row above the headings that holds anything.
type rowAbove struct {
	number uint32
	cells  []string
}

// letters gives the spreadsheet's letter of each column by its heading.
func (l *layout[R]) letters() map[string]string {
	letters := map[string]string{}
	for _, p := range l.columns {
		if p.index >= 0 {
			letters[p.name()] = xlsx.ColumnName(p.index)
		}
	}
	return letters
}

// findHeadings goes to the first row that has every required heading, but for those whose values the project file fixes.
func findHeadings[R any](grid *gridReader, s sheet[R], told stated, file string) (layout[R], error) {
	columns := s.columns
	lookup := newHeadingLookup(columns)
	var best layout[R]
	var above []rowAbove
	at := 0 // where the best is among the rows
	for range headingRows {
		if !grid.next() {
			break
		}
		shape := understand(grid.cells, columns, lookup, told)
		shape.above = above
		if len(shape.missing) == 0 && slices.ContainsFunc(shape.columns, func(p placed[R]) bool { return p.index >= 0 }) {
			shape.findOthers(told)
			return shape, shape.trouble(file, s.name)
		}
		if best.missing == nil || len(shape.columns) > len(best.columns) {
			best, at = shape, len(above)
		}
		above = append(above, rowAbove{grid.number, slices.Clone(grid.cells)})
		if grid.isData() {
			break
		}
	}
	if grid.err != nil {
		return best, grid.problem(file)
	}
	var trouble problems
	missing := missingHeadings(best, file, s.name)
	if best.missing != nil {
		if first := inTwoRows(above, at, best.missing, columns, lookup, told); first > 0 {
			missing.Message += fmt.Sprintf("; row %d and row %d under it may both hold headings", first, first+1)
			missing.Hint = fmt.Sprintf("say under register in the project file that the headings stand in two rows, which are read as one: headings: [%d, %d]", first, first+1)
		}
	}
	if trouble.add(missing); best.missing != nil {
		best.findOthers(told)
		trouble.add(best.trouble(file, s.name))
	}
	return best, trouble.err()
}

// refuse notes what cannot be understood, and what helps against it.
func (l *layout[R]) refuse(message, hint string) {
	l.problems, l.hints = append(l.problems, message), append(l.hints, hint)
}

// trouble returns what cannot be understood of a sheet, each on its own.
func (l *layout[R]) trouble(file, sheet string) error {
	var trouble problems
	for i, message := range l.problems {
		trouble.add(&InputError{File: file, Message: message, Hint: strings.ReplaceAll(l.hints[i], sheetMark, sheet)})
	}
	return trouble.err()
}

// sheetMark stands for the name of the sheet in hints.
const sheetMark = "…"

// ofOtherDays says why a column of the assemblies is not read under a name that it has.
const ofOtherDays = "it says that this is not what hangs there today"

const headingHint = "README.md lists the columns of each sheet and their units; dryarc new writes an example"

func missingHeadings[R any](shape layout[R], file, sheet string) *InputError {
	if shape.missing == nil {
		return &InputError{File: file, Message: "is empty, expected headings in its first row", Hint: headingHint}
	}
	err := &InputError{File: file,
		Message: fmt.Sprintf("has no column %s; the headings there are %s", quotedList(shape.missing), quotedList(shape.headings)),
		Hint:    fmt.Sprintf("headings that differ are mapped under register in the project file: columns: {%s: {%s: …}}", sheet, shape.missing[0])}
	for _, missing := range shape.missing {
		close := near(missing, otherTexts(shape.others))
		if i := slices.IndexFunc(shape.others, func(o otherHeading) bool { return shape.upper > 0 && strings.HasSuffix(o.heading, " "+missing) }); i >= 0 {
			close = shape.others[i].heading
		}
		if close != "" {
			err.Hint = fmt.Sprintf("rename the heading %q to %q, or map it under register in the project file: columns: {%s: {%s: %q}}",
				close, missing, sheet, missing, close)
			break
		}
	}
	return err
}

func otherTexts(others []otherHeading) []string {
	texts := make([]string, len(others))
	for i, o := range others {
		texts[i] = o.heading
	}
	return texts
}

// headingLookup finds a column by the letters and digits of its heading, alone or followed by those of a unit.
type headingLookup map[string]lookedUp

type lookedUp struct {
	column int
	unit   string
	own    bool // the heading itself, not another name for it
}

func newHeadingLookup[R any](columns []column[R]) headingLookup {
	lookup := headingLookup{}
	add := func(name, unit string, column int, own bool) {
		if _, taken := lookup[headingKey(name+unit)]; !taken {
			lookup[headingKey(name+unit)] = lookedUp{column, unit, own}
		}
	}
	for _, withUnits := range [...]bool{false, true} {
		for i, c := range columns {
			for k, name := range append([]string{c.heading}, c.synonyms...) {
				if !withUnits {
					add(name, "", i, k == 0)
					continue
				}
				for _, unit := range c.measure.names() {
					add(name, unit, i, k == 0)
				}
			}
		}
	}
	return lookup
}

// headingKey is a heading by its letters and digits alone, whatever their accents.
func headingKey(heading string) string {
	heading = numberWords.Replace(heading)
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, withoutAccents(heading))
}

// numberWords are the signs for "number".
var numberWords = strings.NewReplacer("N°", "No", "n°", "no", "Nº", "No", "nº", "no", "№", "No")

// wideBrackets are those of keyboards for Chinese and Japanese.
var wideBrackets = strings.NewReplacer("（", "(", "）", ")", "［", "[", "］", "]")

// inBrackets takes a heading apart into what stands outside and inside its first brackets.
func inBrackets(heading string) (outside, inside string) {
	heading = wideBrackets.Replace(heading)
	open := strings.IndexAny(heading, "([")
	if open < 0 {
		return heading, ""
	}
	length := strings.IndexAny(heading[open:], ")]")
	if length < 0 {
		return heading[:open], strings.TrimSpace(heading[open+1:])
	}
	return heading[:open] + heading[open+length+1:], strings.TrimSpace(heading[open+1 : open+length])
}

// understand matches a row of headings with the columns.
func understand[R any](cells []string, columns []column[R], lookup headingLookup, told stated) layout[R] {
	shape := layout[R]{declared: columns, cells: len(cells)}
	found := make([][]candidate[R], len(columns))
	var unread []int // columns with a heading of which the unit is not known
	for index, cell := range cells {
		heading := excerptOf(strings.TrimSpace(cell))
		if heading == "" {
			continue
		}
		shape.headings, shape.width = append(shape.headings, heading), index+1
		shape.places = append(shape.places, index)
		c, i, problem := recognise(heading, columns, lookup, told.mapped)
		switch {
		case problem != "":
			shape.refuse(problem, unitHint(fmt.Sprintf("under register in the project file: columns: {%s: {%s: {from: %q, unit: U}}}", sheetMark, columns[i].heading, heading)))
			unread = append(unread, i)
		case i < 0:
			other := otherHeading{index: index, heading: heading}
			if _, inside := inBrackets(heading); OfAnotherTime(inside) {
				other.why = ofOtherDays
			}
			shape.others = append(shape.others, other)
		default:
			c.index, c.heading = index, heading
			found[i] = append(found[i], c)
		}
	}
	for i := range columns {
		if slices.Contains(unread, i) {
			continue
		}
		p, isMapped := told.mapped[columns[i].heading]
		switch fixed := told.fixedOf(columns[i].heading); {
		case len(p.phases) > 0:
			shape.chooseByPhase(&columns[i], p.phases, found, found[i])
		case fixed != "" && len(found[i]) == 0:
			c := placed[R]{column: &columns[i], index: nowhere, in: unitOfMeasure{factor: 1}, fixed: fixed}
			if m := columns[i].measure; m != nil {
				c.in = m.units[0]
			}
			shape.columns = append(shape.columns, c)
		default:
			shape.choose(&columns[i], found[i], fixed)
		}
		if isMapped && len(p.phases) == 0 && !slices.ContainsFunc(found[i], func(c candidate[R]) bool { return c.strength == mappedName }) {
			shape.notThere(p.name, columns[i].heading, found)
		}
	}
	shape.checkPhases()
	shape.findAlone(told)
	slices.SortStableFunc(shape.others, func(a, b otherHeading) int { return a.index - b.index })
	return shape
}

// candidate is a heading that may stand for a column.
type candidate[R any] struct {
	placed[R]
	strength strength
}

// strength is how surely a heading stands for a column; the surer wins.
type strength uint8

const (
	otherName strength = iota
	ownName
	mappedName
)

// unitIn takes a heading apart into what stands outside its first brackets and its unit: what stands inside, or the mark that it ends with.
func unitIn(heading string) (outside, unit string) {
	outside, unit = inBrackets(heading)
	if unit != "" {
		return outside, unit
	}
	if len(heading) > 1 && heading[0] != '"' {
		for _, mark := range [...]string{`"`, "″", "'", "′", "%", "‰", "°"} { // units that have no letter
			if before, is := strings.CutSuffix(heading, mark); is {
				outside, unit = strings.TrimSuffix(strings.TrimSpace(before), " in"), mark
			}
		}
	}
	if before, word, is := strings.Cut(heading, " in "); is && isUnitWord(word) {
		return before, word
	}
	return outside, unit
}

// isUnitWord tells whether a word is a unit of length, force or voltage, or of a slope, by more than a letter that may say something else: strings in V.
func isUnitWord(word string) bool {
	return (len(word) > 1 || word == "m" || word == "%") && slices.ContainsFunc([]*measure{millimetres, metres, kilonewtons, kilometres, kilovolts, slopes}, func(m *measure) bool {
		_, is := m.find(word)
		return is
	})
}

// recognise finds the column that a heading may stand for, −1 for none.
func recognise[R any](heading string, columns []column[R], lookup headingLookup, mapped map[string]mappedColumn) (c candidate[R], i int, problem string) {
	outside, unit := unitIn(heading)
	for i := range columns {
		of, isMapped := mapped[columns[i].heading]
		p, phase, is := of.named(heading, outside)
		if !isMapped || !is {
			continue
		}
		c.column, c.strength, c.phase = &columns[i], mappedName, phase
		if c.stated = len(p.in.names) > 0 || unit != ""; len(p.in.names) > 0 {
			c.in = p.in
			return c, i, ""
		}
		c.in, problem = unitOf(heading, columns[i].measure, unit)
		return c, i, problem
	}
	entry, known := lookup[headingKey(outside)]
	if !known { // a name that only its unit tells from others
		entry, known = lookup[headingKey(heading)]
	}
	if !known {
		return c, -1, ""
	}
	c.column = &columns[entry.column]
	if c.column.today && OfAnotherTime(unit) {
		return candidate[R]{}, -1, ""
	}
	if entry.own {
		c.strength = ownName
	}
	if unit == "" {
		unit = entry.unit
	}
	c.stated = unit != ""
	c.in, problem = unitOf(heading, c.column.measure, unit)
	return c, entry.column, problem
}

// unitOf finds the unit that a heading names; the measure's own where it names none.
func unitOf(heading string, m *measure, unit string) (unitOfMeasure, string) {
	switch {
	case m == nil:
		return unitOfMeasure{factor: 1}, ""
	case unit == "":
		return m.units[0], ""
	}
	in, known := m.find(unit)
	if !known { // which stands behind other words, or in other brackets
		in, known = m.behind(heading)
	}
	if !known {
		return in, fmt.Sprintf("heading %q has the unit %q, expected one of %s", heading, unit, strings.Join(m.list(), ", "))
	}
	return in, ""
}

// choose takes the heading that the project file maps to a column, else the only one that may stand for it. Two are a problem, also
// where one is the column's own name: the other may say something else. That only wins where no verdict rests on the column.
func (l *layout[R]) choose(c *column[R], found []candidate[R], fixed string) {
	if len(found) == 0 {
		if c.required {
			l.missing = append(l.missing, c.heading)
		}
		return
	}
	best := slices.MaxFunc(found, func(a, b candidate[R]) int { return int(a.strength) - int(b.strength) })
	for _, other := range found {
		switch {
		case other.index == best.index:
			best.fixed = fixed
			l.columns = append(l.columns, best.placed)
		case other.strength < best.strength && (best.strength == mappedName || c.idle):
			l.others = append(l.others, otherHeading{other.index, other.heading, fmt.Sprintf("%q stands for %s", best.heading, c.heading)})
		default:
			meant := other.heading
			if other.strength < best.strength {
				meant = best.heading
			}
			hint := fmt.Sprintf("say which under register in the project file: columns: {%s: {%s: %q}}", sheetMark, c.heading, meant)
			if headingKey(best.heading) == headingKey(other.heading) {
				hint = fmt.Sprintf("write one of the two headings %q otherwise in the file, of a query by as; equal ones cannot be told apart", other.heading)
			}
			l.refuse(fmt.Sprintf("headings %q and %q both stand for the column %q, expected one", best.heading, other.heading, c.heading), hint)
		}
	}
}
