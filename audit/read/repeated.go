package read

// Registers repeat the same few words and figures from row to row. What a cell means is told by its text alone nearly everywhere, so
// that where it holds what was read last in its column, plainly and without a fault, nothing is asked again but its value.

// repeated is the text that was read last in a column.
type repeated struct {
	may  bool // the text of a cell tells all that is to be known of it
	text []byte
}

// findRepeated finds the columns whose cells are told by their texts. A structure number and a date of a workbook go by the format of the
// cell too, and where the project file fixes or fills down anything, each row by its own and those above.
func (s *sheetReader[R]) findRepeated() {
	s.repeated = make([]repeated, len(s.shape.columns))
	for i := range s.shape.columns {
		p := &s.shape.columns[i]
		s.repeated[i].may = p.index >= 0 && p.fixed == "" && s.fills == nil && !p.column.numbers && (p.column.shape != dateShape || s.book.isText)
	}
}

// isRepeated tells whether a cell holds what was read last in its column.
func (s *sheetReader[R]) isRepeated(i int) bool {
	text, index := s.repeated[i].text, s.shape.columns[i].index
	return len(text) > 0 && index < len(s.grid.cells) && string(text) == s.grid.cells[index] && s.grid.formulas == nil
}

// noteRead takes note of a cell that was read plainly and without a fault. A point that may part thousands is none in a cell that
// stands as a number.
func (s *sheetReader[R]) noteRead(i int, cell string) {
	if last := &s.repeated[i]; last.may && !isLoosePoint(cell) {
		last.text = append(last.text[:0], cell...)
	}
}
