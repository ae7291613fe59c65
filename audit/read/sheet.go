package read

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
	"dryarc/audit/read/xlsx"
)

// sheet says how the rows of a sheet become values of type R.
type sheet[R any] struct {
	name    string
	columns []column[R]
	blank   func() R               // a row in which nothing is stated
	faulty  func(*R) *audit.Cells  // where a row keeps its faulty fields
	keep    func(*R, audit.Source) // takes a row that holds anything; R is used again for the next
	// note is told of each faulty cell; may be nil.
	note func(at audit.Source, heading string)
	// alike is how rows are kept that are as one before; nil where each is read by itself.
	alike *alike[R]
}

// headingRows is how many rows that hold anything are searched for the headings: titles may stand above them (a choice of this program).
const headingRows = 20

// A register has no more assemblies than a machine of 24 GB can hold, and of lines, units and conductors no more than one
// sheet.
const (
	mostAssemblies = 64 << 20
	mostOthers     = xlsx.MostRows
)

// sheetReader reads the rows of one sheet.
type sheetReader[R any] struct {
	sheet[R]
	register *register
	book     *workbook
	found    foundSheet
	told     stated
	shape    layout[R]
	grid     *gridReader
	file     string // with the sheet, for errors
	headings uint32 // the row they stand in

	first    int   // of the columns that stand in the sheet
	naming   []int // the columns that name line and structure of an assembly
	figures  []int // where the columns of numbers stand
	lookup   headingLookup
	must     []int        // where the required columns stand
	repeated []repeated   // by column
	model    *modelRow[R] // nil where each row is read by itself

	ahead   bool   // the grid is at a row that is still to be read
	unitRow uint32 // below the headings, with their units; 0 for none
	// headsSeen is how many of several rows of headings stand again right above the row at hand, as long as not all do.
	headsSeen int
	agreed    map[string]bool
	widths    widths // of the rows; nothing while they are not known

	merged *mergedCells  // nil while they are not known
	late   uint32        // the row from which on they are, 0 for the first
	signs  []numberSigns // of the numbers of the columns; nil while they are not known
	dates  []dateForm    // how the columns write dates; nil while that is not known
	taken  []string      // how dates were read that could be read otherwise
	aside  asideRows
	shown  int // structure numbers that are read as their cells show them
	zeros  int // those of them that are shown with zeros behind
	last   shownNumber
	status []unreadStatus
	fills  []filling // by column; nil where nothing is filled down
	stated []bool    // by column: a row above states it of which nothing parts the row at hand
	// lineAbove is what the last row that states a line has there.
	lineAbove string
	every     []int // all passes
	beside    *besideCircuits
	bare      int // phases of rows that make no assembly, since all cells of their own are blank
	err       error
}

// readSheets reads the sheets of one kind that a workbook has, in its order.
func readSheets[R any](ctx context.Context, r *register, w *workbook, s sheet[R]) error {
	for i, found := range w.sheets[s.name] {
		if err := readSheet(ctx, r, w, s, found, i > 0 || s.name != assembliesSheet); err != nil {
			return err
		}
	}
	return nil
}

// readSheet reads one sheet of a workbook.
func readSheet[R any](ctx context.Context, r *register, w *workbook, s sheet[R], found foundSheet, mayBeBlank bool) error {
	file := w.name
	if !w.isText {
		file += "!" + found.actual
	}
	grid, err := openSheet(ctx, w.content, found.actual)
	if err != nil {
		return sheetProblem(ctx, file, err)
	}
	defer grid.close()
	told := w.entry.stated(s.name, found)
	var shape layout[R]
	if told.headings.given() {
		shape, err = statedHeadings(grid, w.content, found.actual, s, told, file)
	} else {
		shape, err = findHeadings(grid, s, told, file)
	}
	blank := grid.err == nil && shape.columns == nil && shape.missing == nil
	switch {
	case blank && mayBeBlank:
		return nil
	case err != nil:
		return err
	}
	if rows, is := grid.from.(refuser); is {
		read := slices.Concat(shape.only, shape.carried)
		for i := range shape.columns {
			read = append(read, shape.columns[i].index)
		}
		for _, index := range read {
			if err := rows.refuse(index); err != nil {
				return err
			}
		}
	}
	letters := shape.letters()
	_, phase := letters["Phase"]
	phase = phase || len(shape.phases) > 0 || told.fixedOf("Phase") != ""
	r.project.Tables[found.table].WithoutPhase = s.name == assembliesSheet && !phase
	if !w.isText {
		r.project.Tables[found.table].Columns = letters
	}
	reader := sheetReader[R]{sheet: s, register: r, book: w, found: found, told: told, shape: shape, grid: grid, file: file, headings: grid.number}
	r.project.Tables[found.table].Above = len(shape.above) + shape.upper
	if err := reader.checkAbove(file); err != nil {
		return err
	}
	if err := reader.checkUnitsAbove(); err != nil {
		return err
	}
	if err := reader.checkFixed(file); err != nil {
		return err
	}
	if err := reader.startFilling(file); err != nil {
		return err
	}
	if err := reader.takeUnits(file); err != nil {
		return err
	}
	if err := reader.checkSubheadings(file); err != nil {
		return err
	}
	if err := reader.checkGroupsAbove(file); err != nil {
		return err
	}
	reader.assumeCounts()
	shape = reader.shape
	understood := w.account(r.project.Tables[found.table])
	understood.Number = found.table
	understood.Columns, understood.Ignored = shape.account()
	defer func() { r.understood = append(r.understood, understood) }()
	if w.entry.sql != "" {
		r.project.Faults.KeepKeys(reader.keyAt)
		defer r.project.Faults.KeepKeys(nil)
	}
	rows, hidden := reader.rows()
	w.noteLastRow(r.project, grid.lastRow())
	understood.Rows, r.project.Tables[found.table].Read = rows, rows
	r.project.Tables[found.table].Aside = reader.aside.count()
	if reader.unitRow > 0 {
		r.project.Tables[found.table].Aside++
	}
	understood.Notes = slices.Concat(understood.Notes, reader.titles(), reader.choiceNotes(), reader.filled(), reader.notes(hidden), grid.encodingNotes(r.project, w.name), w.otherSheets(r))
	switch {
	case reader.err != nil:
		return sheetProblem(ctx, file, reader.err)
	case r.failed != nil:
		return &InputError{File: file, Message: r.failed.Error(), Err: r.failed, Hint: fullHint}
	}
	return grid.problem(file)
}

// rows reads every row and counts them, and those that are hidden.
func (s *sheetReader[R]) rows() (rows, hidden int) {
	passes := s.shape.passes()
	s.findNaming()
	s.findRepeated()
	if s.register.mergedFirst || !s.book.isLarge(s.found.actual) {
		s.merged = newMergedCells(s.book.content.merged(s.grid.ctx, s.found.actual))
		s.merged.pass(s.headings, nil)
	}
	s.register.ofPhases = s.shape.columnsByPhase()
	s.beside = s.findBeside()
	s.register.beside = s.beside
	s.findModel(len(passes))
	s.findStatus()
	defer s.sayStatus()
	if text, is := s.grid.from.(*textRows); is {
		defer text.readAhead()()
	}
	var row R
	before, most := s.register.rowsRead[s.name], s.register.mostRows[s.name]
	defer func() { s.register.rowsRead[s.name] = before + rows }()
	defer s.checkMerged()
	for s.err == nil && s.register.failed == nil && s.next() {
		if s.isAside() || s.headsAgain() {
			s.endFilling(groupLeftOut)
			continue
		}
		if s.err = s.grid.cut(s.book.name, s.shape.width); s.err != nil {
			return rows, hidden
		}
		if rows++; before+rows > most {
			s.register.failed = fmt.Errorf("has more than %d rows, with those of the same kind read before; that is the most that can be held", most)
			return rows, hidden
		}
		if s.grid.hidden {
			hidden++
		}
		if s.merged == nil && s.lacksText() {
			s.findMerged()
		}
		if s.merged != nil {
			s.merged.pass(s.grid.number, s.grid.cells)
		}
		at := audit.Source{Table: s.found.table, Row: s.grid.number}
		chosen, doubtful := s.chosen(at)
		if !chosen {
			s.register.passOver(at, s.name)
			s.endFilling(groupLeftOut)
			continue
		}
		s.beginRow()
		s.findBlanksBelow()
		doubtful = s.book.isText && s.isTooLong(at) || doubtful
		s.carry(at)
		s.noteStatus(at)
		made := s.phasesMade(passes, doubtful)
		s.register.begin(len(made))
		if s.beside != nil {
			s.register.unlikeCircuits = s.unlikeBeside()
		}
		if s.model != nil && !doubtful {
			if s.keepLike(&row, at) {
				continue
			}
			s.learn()
		}
		for k, pass := range made {
			columns := passes[pass]
			row = s.blank()
			s.register.pass = k
			for _, i := range columns {
				if !doubtful {
					if !s.readAgain(i, &row) {
						s.cell(i, &row, at)
					}
					continue
				}
				if field := s.shape.columns[i].column.field; field != audit.CellCircuits {
					faulty := s.faulty(&row)
					*faulty = faulty.With(field)
					s.noteFaulty(at, s.shape.columns[i].column.heading)
					s.doubtFilling(i)
					continue
				}
				s.cell(i, &row, at)
			}
			if len(s.shape.phases) > 0 {
				s.phase(&row, s.shape.phases[pass])
			}
			s.keep(&row, at)
		}
	}
	return rows, hidden
}

// next goes to the next row, which may be the one that stands under the headings.
func (s *sheetReader[R]) next() bool {
	if s.ahead {
		s.ahead = false
		return true
	}
	return s.grid.next()
}

// isTooLong finds a row of a file of text with more cells than headings: a comma within a cell has parted it, and what
// stands under which heading cannot be told, even where the last cells are blank. Line and structure, which mostly stand first, are
// read all the same.
func (s *sheetReader[R]) isTooLong(at audit.Source) bool {
	last := len(s.grid.cells)
	for last > s.shape.width && strings.TrimSpace(s.grid.cells[last-1]) == "" {
		last--
	}
	expected := s.shape.width
	if last <= s.shape.width {
		if len(s.grid.cells) <= s.shape.cells || s.pads() {
			return false
		}
		last, expected = len(s.grid.cells), s.shape.cells
	}
	s.register.fault(at, audit.OutOfRange, "", strconv.Itoa(last),
		fmt.Sprintf("is out of range as a number of cells, expected the %d of the headings; a cell that holds what stands between cells needs quotes", expected))
	return true
}

// pads tells whether all rows of a file of text end in as many blank cells beyond the headings. It reads the file once more.
func (s *sheetReader[R]) pads() bool {
	if s.widths.first == 0 && s.err == nil {
		again, err := openSheet(s.grid.ctx, s.book.content, s.found.actual)
		if err != nil {
			s.err = err
			return false
		}
		defer again.close()
		for again.next() {
			if again.number > s.headings && again.number != s.unitRow {
				s.widths.note(len(again.cells))
			}
		}
	}
	return s.widths.pads(len(s.grid.cells))
}

// lacksText tells whether a required cell of the row is blank, which may be because it is merged with the one above.
func (s *sheetReader[R]) lacksText() bool {
	for _, index := range s.must {
		if index >= len(s.grid.cells) || s.grid.cells[index] == "" {
			return true
		}
	}
	return false
}

// findMerged finds the merged areas in the middle of the rows of a large sheet.
func (s *sheetReader[R]) findMerged() {
	s.late = s.grid.number
	s.merged = newMergedCells(s.book.content.merged(s.grid.ctx, s.found.actual))
	if len(s.merged.byColumn) == 0 {
		return
	}
	again, err := openSheet(s.grid.ctx, s.book.content, s.found.actual)
	if err != nil {
		s.err = err
		return
	}
	defer again.close()
	for again.next() && again.number < s.grid.number {
		s.merged.pass(again.number, again.cells)
	}
}

// cell reads the cell of one column, which is not what stood there last, into a row; a blank one leaves it as it is.
func (s *sheetReader[R]) cell(i int, row *R, at audit.Source) {
	p := &s.shape.columns[i]
	if p.alone != "" {
		s.ofOnePhase(i, row, at)
		return
	}
	cell := p.text(s.grid.cells)
	formula, empty := "", false
	if s.grid.formulas != nil {
		formula, empty = s.grid.formulas[p.index]
	}
	var t *trouble
	written, readable, contradicts := cell, true, false
	if cell == "" && !empty && p.fixed != "" && s.merged != nil { // one that is merged with another value says so in every row
		if above := s.merged.text(s.grid.number, p.index); above != "" && !s.agrees(p, above) {
			cell = above
		}
	}
	switch above := ""; {
	case p.column.verbatim && isErrorValue(cell):
		readable = false
		t = &trouble{kind: audit.UnknownWord, expected: "is an error value of a spreadsheet, expected a text"}
	case empty:
		if cell = formula; !p.column.verbatim {
			p.column.read(row, cell, p.in) // the figure stays unknown
		}
		readable = false
		t = &trouble{kind: audit.NoCachedValue, expected: "is a formula without a stored value; open the workbook in a spreadsheet program and save it"}
	case cell == "" && p.fixed != "":
		p.readFixed(row)
		return
	case p.fixed != "" && !s.agrees(p, cell):
		t, contradicts = &trouble{kind: audit.Implausible, expected: fmt.Sprintf("contradicts the project file, which says %q of every row", p.fixed)}, true
	case s.isFromAbove(i, cell):
		s.fill(i, row, at, cell)
		return
	case cell == "" && s.merged != nil:
		if above = s.merged.text(s.grid.number, p.index); above == "" {
			return
		}
		if p.column.shape != textShape {
			t = s.mergedTrouble(p, above)
			readable = false
			break
		}
		written, cell = above, s.numberAgain(p, row, above)
		t = p.read(row, cell)
	case cell == "":
		return
	default:
		if p.column.numbers {
			if cell, t = s.structureNumber(p, row, cell); t != nil {
				readable = false
				break
			}
		}
		if p.column.shape == dateShape {
			if cell, t = s.asPreciseAsShown(p.index, cell); t != nil {
				readable = false
				break
			}
		}
		if cell, t = s.pointOfThousands(i, row, cell); t != nil {
			break
		}
		var read bool
		if t, read = p.nothing(row, cell); !read {
			if t = p.read(row, cell); t == nil {
				s.noteRead(i, cell)
			}
		}
	}
	if s.fills != nil {
		s.keepForBelow(i, written, cell, readable)
	}
	if t != nil && !empty && !contradicts {
		t = s.retry(i, row, cell, t)
	}
	if t != nil {
		s.faultIn(i, row, at, cell, t)
	}
}

// faultIn records what is wrong with a cell, which makes its field of the row unknown.
func (s *sheetReader[R]) faultIn(i int, row *R, at audit.Source, cell string, t *trouble) {
	p := &s.shape.columns[i]
	s.register.trouble(audit.Fault{At: at, Column: p.name(), Value: cell, Weight: p.column.weight()}, t)
	faulty := s.faulty(row)
	*faulty = faulty.With(p.column.field)
	s.noteFaulty(at, p.column.heading)
}

func (s *sheetReader[R]) noteFaulty(at audit.Source, heading string) {
	if s.note != nil {
		s.note(at, heading)
	}
}

// notes tells what is worth knowing of the rows.
func (s *sheetReader[R]) notes(hidden int) (notes []string) {
	if hidden > 0 {
		notes = append(notes, fmt.Sprintf("hidden rows, which are read too: %d", hidden))
	}
	for i, p := range s.shape.columns {
		if s.signs != nil {
			notes = append(notes, s.signs[i].notes(p.heading)...)
		}
	}
	if s.signs != nil {
		notes = append(notes, s.book.entry.decimal.notes()...)
	}
	notes = append(notes, s.taken...)
	notes = append(notes, s.aside.told()...)
	if s.shown > 0 {
		notes = append(notes, fmt.Sprintf("structure numbers that a spreadsheet has made dates of, read as they are displayed: %d", s.shown))
	}
	if s.zeros > 0 {
		notes = append(notes, fmt.Sprintf("structure numbers that end with zeros, read as they are displayed: %d", s.zeros))
	}
	for _, p := range s.shape.columns {
		if s.merged != nil && s.merged.byColumn[p.index] != nil && p.column.shape == textShape {
			notes = append(notes, fmt.Sprintf("the texts of merged cells of %q hold for all their rows", p.heading))
		}
	}
	return notes
}
