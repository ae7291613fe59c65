package read

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
)

// A heading may name one phase, as R beside Y and B. Where the project file takes it for a column of every phase, what it says of the one
// would be taken for the others, whose columns nobody reads.

// threePhases is how many headings that differ by the phase alone tell that they are of the phases of a circuit.
const threePhases = 3

// findAlone finds the columns that the project file reads of the heading of one phase, while those of the others are not used.
func (l *layout[R]) findAlone(told stated) {
	if len(told.mapped) == 0 || told.fixedOf("Phase") != "" {
		return
	}
	for i := range l.columns {
		p := &l.columns[i]
		if _, mapped := told.mapped[p.column.heading]; !mapped || p.phase != "" || p.index < 0 || !ofOneString(p.column.field) {
			continue
		}
		rest, own := phaseNamed(p.heading)
		if own == "" {
			continue
		}
		headings, set := []phaseNamedHeading{{own, p.heading}}, phaseOf(own)
		for _, other := range l.others {
			if restOfOther, phase := phaseNamed(other.heading); phase != "" && restOfOther == rest && set&phaseOf(phase) == 0 {
				headings, set = append(headings, phaseNamedHeading{phase, other.heading}), set|phaseOf(phase)
			}
		}
		if len(headings) != threePhases {
			continue
		}
		var pairs, others []string
		for k, h := range headings {
			pairs = append(pairs, fmt.Sprintf("%q: %q", h.phase, h.heading))
			if k > 0 {
				others = append(others, h.heading)
			}
		}
		p.alone = fmt.Sprintf("stands under %q, which names one phase, and %s beside it are not used; what hangs on each phase is not known, and what rests on it is not assessed: "+
			"say under register in the project file: columns: {%s: {%s}}", p.heading, quotedList(others), p.column.heading, strings.Join(pairs, ", "))
	}
}

// phaseNamedHeading is a heading with the phase that it names.
type phaseNamedHeading struct{ phase, heading string }

// ofOneString tells the cells that say what one string is, or has.
func ofOneString(field audit.Cell) bool {
	return slices.Contains([]audit.Cell{audit.CellUnit, audit.CellUnitsPerString, audit.CellStrings, audit.CellDefective, audit.CellCreepage, audit.CellRating, audit.CellLength,
		audit.CellArcing, audit.CellTested, audit.CellTestedWet, audit.CellLimits}, field)
}

// phaseNamed is the phase that a heading names as its last or its first word, and the letters and digits of the rest; no phase where it
// names none.
func phaseNamed(heading string) (rest, phase string) {
	words := strings.FieldsFunc(heading, func(r rune) bool { return strings.ContainsRune(" ()[]_-–/:", r) })
	for _, at := range []int{len(words) - 1, 0} {
		if at >= 0 && phaseOf(words[at]) != 0 {
			return headingKey(strings.Join(slices.Delete(slices.Clone(words), at, at+1), " ")), words[at]
		}
	}
	return "", ""
}

// phaseOf is the one phase that a word names, 0 for none and for several.
func phaseOf(word string) audit.Phases {
	if set, ok := audit.ParsePhases(word); ok && set.Count() == 1 {
		return set
	}
	return 0
}

// ofOnePhase makes a field of the row unknown that is read of the column of one phase, blank or not: the columns of the others may say more.
func (s *sheetReader[R]) ofOnePhase(i int, row *R, at audit.Source) {
	p := &s.shape.columns[i]
	cell := p.text(s.grid.cells)
	if cell == "" {
		cell = s.grid.formulas[p.index]
	}
	if cell == "" && s.merged != nil {
		cell = s.merged.text(s.grid.number, p.index)
	}
	t := &trouble{kind: audit.Implausible, gathered: "of one phase", expected: p.alone}
	if cell == "" {
		t.kind, t.expected = audit.MissingValue, "is blank where it "+p.alone
	}
	s.faultIn(i, row, at, cell, t)
}

// eachPhase maps the phases to their headings, where a heading stands over a column for each and nothing else; empty elsewhere.
func eachPhase(heading string, below []string) string {
	var pairs []string
	set := audit.Phases(0)
	for _, text := range below {
		phase := phaseOf(text)
		if phase == 0 || set&phase != 0 {
			return ""
		}
		set |= phase
		pairs = append(pairs, fmt.Sprintf("%q: %q", text, joinHeading(heading, text)))
	}
	if len(pairs) != threePhases {
		return ""
	}
	return strings.Join(pairs, ", ")
}
