package read

import "strings"

// NumbersLook is what the cells of a table that are text show of the sign before decimals.
type NumbersLook struct {
	Loose  string // the first number that may have a decimal sign or one between thousands, and that its column does not tell; empty for none
	Commas bool   // the table shows for certain that its decimal sign is the comma
}

// numbersTally are the numbers of a table on the way to what is told of them.
type numbersTally struct {
	columns []numberSigns
	loose   [][2]string // by column: the first with a loose point, and with a loose comma
	commas  bool        // one has a decimal comma and is no list
}

// note takes up the cells of a row; isNumber tells which stand there as numbers.
func (t *numbersTally) note(cells []string, isNumber func(int) bool) {
	for len(t.columns) < len(cells) {
		t.columns, t.loose = append(t.columns, numberSigns{}), append(t.loose, [2]string{})
	}
	for at, cell := range cells {
		if !strings.ContainsAny(cell, ".,") || isNumber(at) {
			continue
		}
		number, _ := figure(strings.Replace(strings.TrimSpace(cell), "\u2212", "-", 1))
		t.columns[at].note(number, false)
		n, ok := writtenAs(number)
		t.commas = t.commas || n.has.commaDecimal && isNoList(n.plain)
		if which := strings.IndexByte(".,", n.loose); ok && which >= 0 && t.loose[at][which] == "" {
			t.loose[at][which] = strings.Clone(number)
		}
	}
}

// isNoList tells of a number that its comma parts no list: one such as 1,2 or 12,13 may be of circuits or structures.
func isNoList(plain string) bool {
	whole, _, _ := strings.Cut(strings.TrimLeft(plain, "+-"), ".")
	return whole == "0" || len(whole) > 2
}

// look tells what the numbers show. Decimal commas are certain where points part thousands beside them or semicolons part cells (common
// practice), and nothing has a decimal point.
func (t *numbersTally) look(separator byte) (l NumbersLook) {
	doubtPoints(t.columns, numberSigns{}, separator, 0)
	var table numberSigns
	for at, s := range t.columns {
		table.commaDecimal, table.pointDecimal = table.commaDecimal || s.commaDecimal, table.pointDecimal || s.pointDecimal
		table.commaGroups, table.pointGroups = table.commaGroups || s.commaGroups, table.pointGroups || s.pointGroups
		for _, loose := range t.loose[at] {
			if n, _ := writtenAs(loose); l.Loose == "" && loose != "" && s.read(n) == "" {
				l.Loose = loose
			}
		}
	}
	l.Commas = (table.pointGroups || t.commas && separator == ';') && !table.pointDecimal && !table.commaGroups
	return l
}
