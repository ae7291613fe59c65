package read

import (
	"fmt"
	"strings"

	"dryarc/audit"
)

// retryDate reads a date that could be read in several ways, as the other dates of its column can be read, and lists that.
func (s *sheetReader[R]) retryDate(i int, row *R, cell string) *trouble {
	if s.dates == nil && s.err == nil {
		s.dates, s.err = dateForms(s.grid.ctx, s.book.content, s.found.actual, s.shape.columns, s.headings)
	}
	if s.err != nil {
		return dateUnclear
	}
	p, form := &s.shape.columns[i], &s.dates[i]
	taken, t := p.column.readDate(row, cell, form)
	if t != nil {
		return t
	}
	switch {
	case taken.dots:
		s.assumeDates(p, fmt.Sprintf("with dots such as %s are read day first (common practice)", cell), &form.dotsTold)
	case taken.column:
		d, _ := takeDateApart(cell)
		if d.kinds == "mn" {
			s.assumeDates(p, fmt.Sprintf("such as %s are read as month and year, as others of the column are", cell), &form.monthsTold)
			break
		}
		order := form.of(d.sign).single()
		s.assumeDates(p, fmt.Sprintf("such as %s are read %s, since others of the column, such as %s, can only be read so", cell, order, form.tells[order>>1]), form.toldOf(d.sign))
	}
	return nil
}

// assumeDates lists how dates of a column are read, once each.
func (s *sheetReader[R]) assumeDates(p *placed[R], how string, told *bool) {
	if *told {
		return
	}
	*told = true
	table := s.register.project.Tables[s.found.table]
	s.register.project.DatesTaken = append(s.register.project.DatesTaken, fmt.Sprintf("Dates of %s in %s %s.", p.name(), table, how))
	s.taken = append(s.taken, fmt.Sprintf("dates of %q %s", p.heading, how))
}

// assumeCentury lists what years of two digits are taken for, where there are any.
func (r *register) assumeCentury() {
	if r.centuryTaken {
		r.project.DatesTaken = append(r.project.DatesTaken, fmt.Sprintf("Years of two digits in dates of the register are taken for %d to %d (common practice).", 1900+lastOf2000s+1, 2000+lastOf2000s))
	}
}

// asPreciseAsShown is the month or the year of a date that a workbook keeps as a day, where its format shows no day: a spreadsheet
// makes the first of March of Mar-94. Other cells are returned as they are, but for a year alone in a cell that shows days.
func (s *sheetReader[R]) asPreciseAsShown(index int, cell string) (string, *trouble) {
	written := s.grid.from.format(index)
	if written == "" { // which shows no date
		return cell, nil
	}
	count, isNumber := parseNumber(cell)
	if !isNumber {
		return cell, nil
	}
	format, isDate := dateFormat(written)
	showsDay := strings.Contains(format, "d")
	switch {
	case !isDate:
		return cell, nil
	case leastYear <= count && count < lastYear+1 && showsDay:
		return cell, &trouble{kind: audit.OutOfRange, expected: "is a year alone in a cell that shows a day of 1905 for it, " + dateExample}
	}
	day, t := readDateNumber(cell, count, s.register.from1904)
	if t != nil || showsDay || day >= audit.MonthOf(0, 1) {
		return cell, nil
	}
	shown := day.String()
	if strings.Contains(format, "m") {
		return shown[:len("2019-05")], nil
	}
	return shown[:len("2019")], nil
}

// dateFormat is the format of a number in lower case without what it quotes; isDate tells whether it shows a date.
func dateFormat(format string) (plain string, isDate bool) {
	for strings.HasPrefix(format, "[") {
		_, rest, found := strings.Cut(format, "]")
		if !found {
			return "", false
		}
		format = rest
	}
	plain, _, _ = strings.Cut(strings.ToLower(format), ";")
	return plain, plain != "general" && !strings.ContainsAny(plain, "0#?@\"") && strings.Contains(plain, "y")
}
