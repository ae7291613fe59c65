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
		y, in, also := p.fixedNumber()
		agrees = also && x*p.in.factor+p.in.offset == y*in.factor+in.offset
	} else if p.column.choices != nil {
		one, other := s.blank(), s.blank()
		agrees = p.read(&one, cell) == nil && p.readFixed(&other) == nil && fmt.Sprintf("%v", one) == fmt.Sprintf("%v", other)
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

// fixedNumber is a fixed value that is a number, with or without its unit, and that unit.
func (p *placed[R]) fixedNumber() (value float64, in unitOfMeasure, ok bool) {
	in = p.ofFixed()
	if value, ok = parseNumber(p.fixed); ok || p.column.measure == nil {
		return value, in, ok
	}
	if number, behind := numeral(p.fixed); behind != "" {
		if its, known := p.column.measure.find(behind); known {
			value, ok = parseNumber(number)
			in = its
		}
	}
	return value, in, ok
}

// readFixed reads the fixed value into a row, as a cell of the column.
func (p *placed[R]) readFixed(row *R) *trouble {
	as := *p
	as.in = p.ofFixed()
	t := as.column.read(row, p.fixed, as.in)
	if t == nil {
		return nil
	}
	return as.otherwise(row, p.fixed, t)
}

// checkFixed refuses what the project file says of every row where it cannot be read.
func (s *sheetReader[R]) checkFixed(file string) error {
	for i := range s.shape.columns {
		p := &s.shape.columns[i]
		if p.fixed == "" {
			continue
		}
		row := s.blank()
		if t := p.readFixed(&row); t != nil {
			return &InputError{File: file, Message: fmt.Sprintf("the project file fixes %s as %q, which %s", p.column.heading, p.fixed, t.expected),
				Hint: "fixed values are read as cells of the column are; dryarc read --columns tells what it may hold"}
		}
	}
	return nil
}
