package read

import (
	"fmt"
)

// What the project file says of every row of a sheet, beside what its cells say.

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
