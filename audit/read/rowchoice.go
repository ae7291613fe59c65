package read

import (
	"fmt"

	"dryarc/audit"
)

// Which rows of a sheet the project file reads, and what it carries through of them.

// chosen tells whether a row is one of those that the project file reads. It is doubtful where that cannot be told; then
// what it names is kept, and nothing else is.
func (s *sheetReader[R]) chosen(at audit.Source) (chosen, doubtful bool) {
	chosen = true
	for i, place := range s.shape.only {
		if place < 0 {
			continue
		}
		text := s.other(place)
		if _, empty := s.grid.formulas[place]; empty || isErrorValue(text) || (nothingIn(text) == saysUnknown || isDitto(text)) && !s.told.only[i].holds(text) {
			s.register.fault(at, audit.UnknownWord, s.told.only[i].name, text, "is no value, so that it cannot be told whether the row is to be read; it is not assessed")
			doubtful = true
			continue
		}
		chosen = chosen && s.told.only[i].holds(text)
	}
	return chosen, chosen && doubtful
}

// other is the text of a cell that belongs to no column, with those of merged cells.
func (s *sheetReader[R]) other(place int) string {
	text := (&placed[R]{index: place}).text(s.grid.cells)
	if text == "" && s.merged != nil {
		text = s.merged.text(s.grid.number, place)
	}
	return text
}

// carry keeps what the project file carries through of a row.
func (s *sheetReader[R]) carry(at audit.Source) {
	if len(s.told.carry) == 0 {
		return
	}
	for i, place := range s.shape.carried {
		if place < 0 {
			continue
		}
		if text := s.other(place); text != "" {
			symbol, err := s.register.longTexts.carriedSymbol(s.register.project, text)
			if err != nil {
				s.register.failed = err
				return
			}
			s.register.project.Carried.Add(at, s.told.carry[i], symbol)
			if saysNoChoice(text) {
				s.register.project.Carried.SaysNothing(symbol)
			}
		}
	}
}

// passOver counts a row that the project file does not choose.
func (r *register) passOver(at audit.Source, kind string) {
	r.project.Tables[at.Table].PassedOver++
	if kind == assembliesSheet {
		r.project.RowsRead++
		r.project.RowsPassedOver++
	}
}

// choiceNotes tells what the project file says of the rows, and what came of it.
func (s *sheetReader[R]) choiceNotes() (notes []string) {
	for _, p := range s.shape.columns {
		if p.fixed != "" {
			notes = append(notes, fmt.Sprintf("%s is %q in every row, as the project file says", p.column.heading, p.fixed))
		}
	}
	if s.unitRow > 0 {
		notes = append(notes, fmt.Sprintf("row %d holds the units of the headings", s.unitRow))
	}
	if n := len(s.shape.phases); n > 0 {
		notes = append(notes, fmt.Sprintf("each row gives %d assemblies, one for each phase, and counts as one row", n))
		if s.bare > 0 {
			notes = append(notes, fmt.Sprintf("phases whose own cells are all blank, so that nothing of theirs hangs there: %d", s.bare))
		}
	}
	if n := s.register.project.Tables[s.found.table].PassedOver; n > 0 {
		notes = append(notes, fmt.Sprintf("rows passed over, as the project file says under only: %d", n))
	}
	return notes
}
