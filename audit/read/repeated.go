package read

// Registers repeat the same few words and figures from row to row. What a cell means is told by its text alone nearly everywhere, so
// that where it holds what was read lately in its column, plainly and without a fault, nothing is asked again but its value.

// repeated are the texts that were read lately in a column.
type repeated struct {
	may    bool // the text of a cell tells all that is to be known of it
	last   []byte
	before [2][]byte // other texts: phases mostly come by threes
}

// findRepeated finds the columns whose cells are told by their texts. A structure number and a date of a workbook go by the format of the
// cell too, and where the project file fixes or fills down anything, each row by its own and those above.
func (s *sheetReader[R]) findRepeated() {
	s.repeated = make([]repeated, len(s.shape.columns))
	for i := range s.shape.columns {
		p := &s.shape.columns[i]
		s.repeated[i].may = p.index >= 0 && p.fixed == "" && s.fills == nil && (!p.column.numbers && p.column.shape != dateShape || s.book.isText)
	}
}

// isRepeated tells whether a cell holds what was read last in its column.
func (s *sheetReader[R]) isRepeated(i int) bool {
	text, index := s.repeated[i].last, s.shape.columns[i].index
	return len(text) > 0 && index < len(s.grid.cells) && string(text) == s.grid.cells[index] && s.grid.formulas == nil
}

// readAgain reads a cell that holds what was read lately in its column into a row, or nothing that anything above stands for, and tells whether
// it does.
func (s *sheetReader[R]) readAgain(i int, row *R) bool {
	p, r := &s.shape.columns[i], &s.repeated[i]
	if !r.may || p.index >= len(s.grid.cells) || s.grid.formulas != nil {
		return false
	}
	cell := s.grid.cells[p.index]
	switch {
	case cell == "":
		return p.alone == "" && (s.merged == nil || len(s.merged.byColumn) == 0)
	case string(r.last) == cell:
	case string(r.before[0]) == cell:
		r.last, r.before[0] = r.before[0], r.last
	case string(r.before[1]) == cell:
		r.last, r.before[0], r.before[1] = r.before[1], r.last, r.before[0]
	default:
		return false
	}
	return p.column.read(row, cell, p.in) == nil
}

// noteRead takes note of a cell that was read plainly and without a fault. A point that may part thousands is none in a cell that
// stands as a number.
func (s *sheetReader[R]) noteRead(i int, cell string) {
	if r := &s.repeated[i]; r.may && !isLoosePoint(cell) {
		room := r.before[1]
		r.before[1], r.before[0] = r.before[0], r.last
		r.last = append(room[:0], cell...)
	}
}
