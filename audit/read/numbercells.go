package read

import (
	"strings"

	"dryarc/audit"
)

// retry reads a cell that is written otherwise than plainly: a number with a decimal comma or with marks between its thousands as its column
// has them, with the minus sign of typesetting or with its unit, a word with others.
func (s *sheetReader[R]) retry(i int, row *R, cell string, t *trouble) *trouble {
	p := &s.shape.columns[i]
	if t == dateUnclear {
		return s.retryDate(i, row, cell)
	}
	if t != notANumber {
		return p.otherwise(row, cell, t)
	}
	cell = strings.Replace(cell, "\u2212", "-", 1)
	number, behind := figure(cell)
	n, ok := writtenAs(number)
	_, plain := parseNumber(number)
	if ok && (!plain || isLoosePoint(number)) && p.column.isNumber() {
		number = s.signsOf(i).read(n)
		if number == "" && n.loose == '.' {
			p.column.read(row, "?", p.in) // the figure stays unknown
			return s.mayBeEither(i, n)
		}
		if number != "" {
			cell = strings.TrimSpace(number + " " + behind)
		}
	}
	if t = p.column.read(row, cell, p.in); t == notANumber {
		t = p.otherwise(row, cell, t)
	}
	if t != nil && t.kind == audit.NotANumber && n.loose != 0 && behind == "" {
		return s.mayBeEither(i, n)
	}
	return t
}

// mayBeEither is the trouble with a number that can be read in two ways.
func (s *sheetReader[R]) mayBeEither(i int, n writtenNumber) *trouble {
	return &trouble{kind: audit.NotANumber, expected: s.signsOf(i).untold(n, s.book.entry.key())}
}

// signsOf tells what signs the numbers of a column have. It reads the sheet once more.
func (s *sheetReader[R]) signsOf(i int) numberSigns {
	if s.signs == nil && s.err == nil {
		s.signs, s.err = signsOf(s.grid.ctx, s.book.content, s.found.actual, s.shape.columns, s.headings, s.book.entry.decimal)
		for k, signs := range s.signs {
			if taken := signs.commasTaken(s.shape.columns[k].heading, s.register.project.Tables[s.found.table]); taken != "" {
				s.register.project.SignsTaken = append(s.register.project.SignsTaken, taken)
			}
		}
	}
	if s.err != nil {
		return numberSigns{}
	}
	return s.signs[i]
}

// pointOfThousands reads a number whose point may part thousands as its column has it. Those that stand in their cells as numbers are
// what they are.
func (s *sheetReader[R]) pointOfThousands(i int, row *R, cell string) (string, *trouble) {
	p := &s.shape.columns[i]
	if !p.column.isNumber() || !isLoosePoint(cell) || s.grid.from.isNumber(p.index) {
		return cell, nil
	}
	n, _ := writtenAs(cell)
	if plain := s.signsOf(i).read(n); plain != "" {
		return plain, nil
	}
	p.column.read(row, "?", p.in) // the figure stays unknown
	return cell, s.mayBeEither(i, n)
}
