package read

import (
	"fmt"

	"dryarc/audit"
)

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
			s.register.project.Carried.Add(at, s.told.carry[i], s.register.project.Symbols.Number(excerptOf(text)))
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

// begin starts a row of a sheet, which makes so many rows of the audit.
func (r *register) begin(passes int) {
	r.passes, r.pass = passes, 0
	r.said = r.said[:0]
}

// saidBefore tells whether the same has been said of the row for another phase.
func (r *register) saidBefore(f audit.Fault) bool {
	if r.passes < 2 {
		return false
	}
	for _, said := range r.said {
		if said.At == f.At && said.Kind == f.Kind && said.Column == f.Column && said.Value == f.Value && said.Expected == f.Expected {
			return true
		}
	}
	r.said = append(r.said, f)
	return false
}

// phasesMade tells for which phases a row makes an assembly, as places in the passes: not for one whose own cells are all blank where
// they say what hangs there, unless those of every phase are.
func (s *sheetReader[R]) phasesMade(passes [][]int, doubtful bool) (made []int) {
	if s.every == nil {
		for i := range passes {
			s.every = append(s.every, i)
		}
	}
	if len(s.shape.phases) == 0 || doubtful {
		return s.every
	}
	for i, phase := range s.shape.phases {
		hangs, blank := false, true
		for k := range s.shape.columns {
			p := &s.shape.columns[k]
			if p.phase != phase {
				continue
			}
			switch p.column.field {
			case audit.CellUnit, audit.CellUnitsPerString, audit.CellCreepage:
				hangs = true
			}
			blank = blank && s.isBlank(p)
		}
		if !hangs || !blank {
			made = append(made, i)
		}
	}
	if len(made) == 0 {
		return s.every
	}
	s.bare += len(passes) - len(made)
	return made
}

// isBlank tells whether a cell of the row says nothing, by itself or in a word.
func (s *sheetReader[R]) isBlank(p *placed[R]) bool {
	if _, formula := s.grid.formulas[p.index]; formula || p.fixed != "" {
		return false
	}
	cell := p.text(s.grid.cells)
	if cell == "" && s.merged != nil {
		cell = s.merged.text(s.grid.number, p.index)
	}
	return cell == "" || nothingIn(cell) == saysBlank
}

// phase writes the phase of a row that is made for it.
func (s *sheetReader[R]) phase(row *R, phase string) {
	for i := range s.columns {
		if c := &s.columns[i]; c.heading == "Phase" {
			c.read(row, phase, unitOfMeasure{factor: 1})
		}
	}
}

// agrees tells whether a cell says the same as the project file of its column.
func (s *sheetReader[R]) agrees(p *placed[R], cell string) bool {
	house := s.register.house()
	if valueKey(house.text(p.column.heading, cell)) == valueKey(house.text(p.column.heading, p.fixed)) {
		return true
	}
	key := p.column.heading + "\x00" + cell
	if agrees, known := s.agreed[key]; known {
		return agrees
	}
	agrees := false
	if x, ok := parseNumber(cell); ok {
		y, also := parseNumber(p.fixed)
		in := p.ofFixed()
		agrees = also && x*p.in.factor+p.in.offset == y*in.factor+in.offset
	} else if p.column.choices != nil {
		one, other := s.blank(), s.blank()
		agrees = p.read(&one, cell) == nil && p.column.read(&other, p.fixed, p.ofFixed()) == nil && fmt.Sprintf("%v", one) == fmt.Sprintf("%v", other)
	}
	if s.agreed == nil {
		s.agreed = map[string]bool{}
	}
	if len(s.agreed) < mostSpellings {
		s.agreed[key] = agrees
	}
	return agrees
}

// ofFixed is the unit of a fixed value, that in which the audit keeps the column, whatever the heading says.
func (p *placed[R]) ofFixed() unitOfMeasure {
	if p.column.measure == nil {
		return unitOfMeasure{factor: 1}
	}
	return p.column.measure.units[0]
}

// checkFixed refuses what the project file says of every row where it cannot be read.
func (s *sheetReader[R]) checkFixed(file string) error {
	for i := range s.shape.columns {
		p := &s.shape.columns[i]
		if p.fixed == "" {
			continue
		}
		row := s.blank()
		if t := p.column.read(&row, p.fixed, p.ofFixed()); t != nil {
			return &InputError{File: file, Message: fmt.Sprintf("the project file fixes %s as %q, which %s", p.column.heading, p.fixed, t.expected),
				Hint: "fixed values are read as cells of the column are; dryarc read --columns tells what it may hold"}
		}
	}
	return nil
}

// takeUnits looks at the row under the headings, which may hold their units.
func (s *sheetReader[R]) takeUnits(file string) error {
	if s.ahead = s.grid.next(); !s.ahead {
		return nil
	}
	is, problem := s.shape.readUnits(s.grid.cells)
	switch {
	case problem != "":
		return &InputError{File: file, Message: fmt.Sprintf("row %d %s", s.grid.number, problem), Hint: "give the unit once, in the heading or below it"}
	case is:
		s.unitRow, s.ahead = s.grid.number, false
	}
	return nil
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

// weight is how much a faulty cell of the column matters: no verdict rests on dates and remarks.
func (c *column[R]) weight() audit.Weight {
	if c.field == audit.CellRemarks {
		return audit.ByTheWay
	}
	return audit.Matters
}
