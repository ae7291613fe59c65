package report

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf16"
)

// longestHeading is the longest heading that a table of a spreadsheet takes, in UTF-16 code units.
const longestHeading = 255

// tableHeadings are columns whose headings a table of a spreadsheet can have: on one line, no longer than such a table takes, without what
// looks like the escape of a character, and no two the same but for their case. A heading that has to be changed for that never takes the
// place of one that has not.
func tableHeadings(columns []column) []column {
	fitted, taken := make([]column, len(columns)), map[string]bool{}
	settled := make([]bool, len(columns))
	take := func(i int, heading string) {
		fitted[i], settled[i] = columns[i], true
		fitted[i].heading = heading
		taken[strings.ToLower(heading)] = true
	}
	for i, c := range columns {
		if fit := headingAtMost(plainHeading(c.heading), ""); fit == cellText(c.heading) && !taken[strings.ToLower(fit)] {
			take(i, fit)
		}
	}
	for i, c := range columns {
		if settled[i] {
			continue
		}
		plain := plainHeading(c.heading)
		fit := headingAtMost(plain, "")
		for n := 2; taken[strings.ToLower(fit)]; n++ {
			fit = headingAtMost(plain, fmt.Sprintf(" (%d)", n))
		}
		take(i, fit)
	}
	return fitted
}

// plainHeading is a heading as a cell has it, on one line, in which an underscore that would end an escape is a dash.
func plainHeading(heading string) string {
	if strings.ContainsFunc(heading, unicode.IsSpace) && strings.ContainsFunc(heading, breaksLine) {
		heading = strings.Join(strings.Fields(heading), " ")
	}
	heading = cellText(heading)
	for i := range len(heading) {
		if isEscape(heading[i:]) {
			heading = heading[:i+escapeLength-1] + "-" + heading[i+escapeLength:]
		}
	}
	if heading == "" {
		return "Column"
	}
	return heading
}

func breaksLine(r rune) bool {
	return unicode.IsSpace(r) && unicode.IsControl(r) || unicode.In(r, unicode.Zl, unicode.Zp)
}

// headingAtMost is a heading with something behind it, cut where both are too long together.
func headingAtMost(heading, behind string) string {
	units := utf16.Encode([]rune(heading))
	most := longestHeading - len(behind)
	if len(units) <= most {
		return heading + behind
	}
	kept := units[:most-1]
	if last := rune(kept[len(kept)-1]); last >= 0xD800 && last < 0xDC00 { // the first half of a character
		kept = kept[:len(kept)-1]
	}
	return string(utf16.Decode(kept)) + "…" + behind
}
