package read

import (
	"fmt"
	"strings"

	"dryarc/audit"

	"github.com/goccy/go-yaml/ast"
)

// decimalSign is the sign before the decimals of a file that the project file states; 0 where it states none.
type decimalSign byte

// The signs, and what the project file calls them.
const (
	decimalComma decimalSign = ','
	decimalPoint decimalSign = '.'

	decimalHint = "write decimal: comma where 1.234 is one thousand two hundred and thirty-four, or decimal: point where it is 1 and 234 thousandths"
)

func (d decimalSign) String() string {
	if d == decimalComma {
		return "comma"
	}
	return "point"
}

// decimalKey reads the sign before decimals.
func decimalKey(to *decimalSign) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		text, _ := scalar(node)
		for _, sign := range [...]decimalSign{decimalComma, decimalPoint} {
			if headingKey(text) == sign.String() {
				*to = sign
				return nil
			}
		}
		return wrong(node, decimalHint, "%s %s is neither comma nor point", name, written(node))
	}
}

// reading is what the project file says, as a part of that text.
func (d decimalSign) reading(b *strings.Builder) {
	if d != 0 {
		fmt.Fprintf(b, "decimal %s\n", d)
	}
}

// notes tell how the numbers were read that can be read in two ways.
func (d decimalSign) notes() []string {
	if d == 0 {
		return nil
	}
	return []string{fmt.Sprintf("numbers such as 1,234 and 1.234 have a decimal %s, as the project file says", d)}
}

// refuse refuses the sign for a layer that is no table of text.
func (d decimalSign) refuse(file, section string) error {
	if d == 0 {
		return nil
	}
	return &InputError{File: file, Message: "is no table of text, for which alone decimal means something: other layers hold numbers as numbers", Hint: "take out decimal under " + section}
}

// settle reads a number with a loose comma or point by what the project file says; empty where the column contradicts that.
func (s numberSigns) settle(n writtenNumber) string {
	switch {
	case s.stated == decimalComma && (s.pointDecimal || s.commaGroups), s.stated == decimalPoint && (s.commaDecimal || s.pointGroups):
		return ""
	case n.loose == byte(s.stated):
		return n.plain
	}
	return n.whole
}

// doubtPoints tells the columns of a table that a lone point may part thousands there: where any of its numbers has a decimal comma or
// points between thousands, and in a text with semicolons, which part cells mostly where the comma is the decimal sign (common
// practice), unless commas part thousands there. beside are the signs of columns that are not read as numbers, in which a comma may part a list.
func doubtPoints(columns []numberSigns, beside numberSigns, separator byte, stated decimalSign) {
	table := numberSigns{pointGroups: beside.pointGroups}
	for _, s := range columns {
		table.commaDecimal, table.pointGroups = table.commaDecimal || s.commaDecimal, table.pointGroups || s.pointGroups
		table.commaGroups, table.pointDecimal = table.commaGroups || s.commaGroups, table.pointDecimal || s.pointDecimal
	}
	doubted := table.commaDecimal || table.pointGroups || separator == ';' && !table.commaGroups
	for i := range columns {
		columns[i].doubted, columns[i].stated = doubted, stated
	}
	if separator == ';' && stated == 0 && table.commaDecimal && !table.commaGroups && !table.pointDecimal {
		takeCommas(columns)
	}
}

// takeCommas takes loose commas of a text with semicolons for decimal ones, where other columns have these for certain and none says
// otherwise.
func takeCommas(columns []numberSigns) {
	for i := range columns {
		if c := &columns[i]; c.loose && !c.commaDecimal {
			c.commaDecimal, c.byTable = true, true
		}
	}
}

// commasTaken is what is assumed of a column whose commas are taken for decimal ones by others of its table; empty for any other.
func (s numberSigns) commasTaken(heading string, table audit.Table) string {
	if !s.byTable {
		return ""
	}
	return fmt.Sprintf("Commas in the numbers of %q in %s, such as 1,234, are taken for decimal ones, as other columns of the file have them for certain.", heading, table)
}

// noteBeside takes up what a cell says that is not read as a number: points between thousands alone.
func (s *numberSigns) noteBeside(cell string) {
	if s.pointGroups || strings.IndexByte(cell, '.') < 0 {
		return
	}
	n, _ := writtenAs(strings.TrimSpace(cell))
	s.pointGroups = n.has.pointGroups
}

// untold words of a number that can be read in two ways why it is not read, and what settles it.
func (s numberSigns) untold(n writtenNumber, section string) string {
	text := "may be " + n.either() + ", and "
	if s.stated != 0 && n.loose != ' ' {
		text += fmt.Sprintf("its column contradicts decimal: %s of the project file", s.stated)
	} else {
		text += "its column does not tell which"
	}
	text += "; expected a number without marks between thousands"
	if s.stated == 0 && n.loose != ' ' {
		text += fmt.Sprintf(", or decimal: comma or decimal: point for the file under %s in the project file", section)
	}
	return text
}

// untoldCoordinate is a coordinate that can be read in two ways.
type untoldCoordinate struct{ heading, written, problem string }

func (u *untoldCoordinate) Error() string {
	return fmt.Sprintf("has the %s %q, which %s", u.heading, u.written, u.problem)
}

// untoldAt tells of a cell of a row whether its number can be read in two ways and is not read, and why.
func (t *pointTable) untoldAt(cells []string, at int) (problem string, is bool) {
	if at < 0 || at >= len(cells) {
		return "", false
	}
	number, _ := figure(strings.Replace(strings.TrimSpace(cells[at]), "\u2212", "-", 1))
	n, ok := writtenAs(number)
	if !ok || n.loose != ',' && n.loose != '.' {
		return "", false
	}
	_, read := parseNumber(t.plainNumber(number, at))
	if n.loose == '.' && t.inDegrees(at) {
		return "has a point, where others of its column have decimal commas; expected the same sign for all of them", !read
	}
	return t.signs[at].untold(n, "structures"), !read
}

// inDegrees tells whether a column is a longitude or latitude.
func (t *pointTable) inDegrees(at int) bool {
	return at == t.x && !t.axes[0].projected || at == t.y && !t.axes[1].projected
}

// notANumber records a property that is no number.
func (r *structureReader) notANumber(f *feature, name, text string) {
	if !r.isUntold(f, name) {
		r.fault(r.source(f), audit.NotANumber, name, text, "is not a number")
	}
}

// isUntold tells whether a property can be read in two ways: one fault for all rows of a table.
func (r *structureReader) isUntold(f *feature, name string) bool {
	if f.table == nil {
		return false
	}
	at := f.table.column(name)
	problem, is := f.table.untoldAt(f.cells, at)
	if is {
		r.project.Faults.Gather(audit.Fault{Kind: audit.NotANumber, At: r.source(f), Column: name, Value: strings.Clone(excerpt(strings.TrimSpace(f.cells[at]))), Expected: problem}, "untold")
	}
	return is
}
