package read

import (
	"slices"

	"dryarc/audit"
)

// The rows of a register are mostly as those above them but for a few cells. What the cells say that stay the same is kept as a row from
// which those like it begin, so that only their other cells are read.

// alike says how rows of a sheet are kept that are as one before them. Each column of such a sheet has fields of the row of its own, and what
// a row is completed by goes by nothing else than the row; of columns that only name it, which namesOnly tells, it goes by whether they are
// blank or faulty.
type alike[R any] struct {
	names    func(to, from *R)                       // copies what the columns say that only name a row, and which fields are faulty
	complete func(row *R) bool                       // tells of a row that was kept whether nothing was wrong with it
	again    func(row *R, at audit.Source) (ok bool) // keeps a row that is complete but for its names, unless one of them is blank or faulty
}

// namesOnly tells whether a column only says where an assembly hangs, or what no verdict rests on.
func (c *column[R]) namesOnly() bool {
	return c.numbers || c.field == audit.CellPhase || c.field == audit.CellRemarks
}

// modelRow is what the cells say that rows have in common.
type modelRow[R any] struct {
	row    R
	steady []steadyCell
	others []int // the columns that are read of each row
	named  bool  // these are such that only name a row
	kept   *R    // the row as it is complete, but for its names; nil while none is

	rows   int      // that have been read
	lapses int      // rows since the last that was like the model
	before [][]byte // cells of the first of these, by column
	breaks []int    // by column: rows that it alone told from the model, as far as it was looked at
}

// steadyCell is a cell that rows have in common.
type steadyCell struct {
	index, column int
	text          string
}

const (
	// mostLapses is how many rows in succession may be unlike a model before it is made anew.
	mostLapses = 4
	// leastSteady is how many rows a column that breaks a model must leave alone for each that it breaks.
	leastSteady = 16
)

// findModel prepares for rows that are alike. Where rows make several, or are filled from elsewhere, each is read by itself.
func (s *sheetReader[R]) findModel(passes int) {
	if s.alike != nil && passes == 1 && len(s.shape.phases) == 0 && s.fills == nil && s.beside == nil {
		s.model = &modelRow[R]{before: make([][]byte, len(s.shape.columns)), breaks: make([]int, len(s.shape.columns))}
	}
}

// keepLike reads and keeps a row that is like the model, if it is. Row is room for it.
func (s *sheetReader[R]) keepLike(row *R, at audit.Source) bool {
	m := s.model
	if m.rows++; s.grid.formulas != nil || s.merged != nil && len(s.merged.byColumn) > 0 || len(m.steady) == 0 {
		return false
	}
	cells := s.grid.cells
	for k := range m.steady {
		if c := &m.steady[k]; c.index >= len(cells) && c.text != "" || c.index < len(cells) && cells[c.index] != c.text {
			m.breaks[c.column]++
			return false
		}
	}
	m.lapses = 0
	*row = m.row
	if m.kept != nil {
		*row = *m.kept
	}
	for _, i := range m.others {
		if !s.readAgain(i, row) {
			s.cell(i, row, at)
		}
	}
	switch {
	case m.kept == nil:
		s.keep(row, at)
		if m.named && s.alike.complete(row) {
			kept := *row
			s.alike.names(&kept, &m.row)
			m.kept = &kept
		}
	case !s.alike.again(row, at):
		incomplete := m.row
		s.alike.names(&incomplete, row)
		s.keep(&incomplete, at)
	}
	return true
}

// learn takes note of a row that is unlike the model, and makes another one of what it has in common with one before it.
func (s *sheetReader[R]) learn() {
	m := s.model
	if m.lapses++; m.lapses == 1 {
		for i := range m.before {
			m.before[i] = append(m.before[i][:0], s.raw(i)...)
		}
	}
	if m.lapses < mostLapses {
		return
	}
	m.lapses, m.steady, m.others, m.named, m.kept, m.row = 0, m.steady[:0], m.others[:0], true, nil, s.blank()
	for i := range s.shape.columns {
		p := &s.shape.columns[i]
		text := string(m.before[i])
		switch {
		case !s.staysAlike(i, text):
			m.others, m.named = append(m.others, i), m.named && p.column.namesOnly()
			continue
		case text != "" && p.column.read(&m.row, text, p.in) != nil: // a model is made of what has been read without a fault
			m.steady = m.steady[:0]
			return
		}
		m.steady = append(m.steady, steadyCell{p.index, i, text})
	}
	slices.SortFunc(m.steady, func(a, b steadyCell) int { return m.breaks[b.column] - m.breaks[a.column] })
}

// staysAlike tells whether a column holds what it did in a row above, has not broken models time and again, and is told by its text alone.
func (s *sheetReader[R]) staysAlike(i int, text string) bool {
	p := &s.shape.columns[i]
	return s.raw(i) == text && s.model.breaks[i]*leastSteady <= s.model.rows && p.alone == "" && p.fixed == "" &&
		(text == "" || !p.column.long && !p.column.numbers && s.isRepeated(i))
}

// raw is a cell of the row at hand as it stands there.
func (s *sheetReader[R]) raw(i int) string {
	if index := s.shape.columns[i].index; index >= 0 && index < len(s.grid.cells) {
		return s.grid.cells[index]
	}
	return ""
}
