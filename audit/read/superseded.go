package read

import (
	"strings"

	"dryarc/audit"
)

// superseded is a column that names figures of other inputs, one or several.
func superseded[R any](heading string, at func(*R) *audit.Superseded) column[R] {
	known := newWords(audit.SupersededWords(), moreSupersededWords()...)
	return column[R]{heading: heading, field: audit.CellDeclared, read: func(row *R, cell string, _ unitOfMeasure) *trouble {
		var figures audit.Superseded
		for part := range strings.FieldsFuncSeq(cell, func(r rune) bool { return r == ';' || r == ',' || r == '\n' }) {
			text := strings.TrimSpace(part)
			if text == "" {
				continue
			}
			figure, is := known.find(text)
			if !is {
				return &trouble{kind: audit.UnknownWord, expected: "is none of " + known.list + ", or several of them with semicolons between; until it can be read all of them count as superseded"}
			}
			figures |= figure
		}
		*at(row) = figures
		return nil
	}}
}

// moreSupersededWords are further spellings: the figures alone, and as the layer of structures calls them.
func moreSupersededWords() []audit.Spelling[audit.Superseded] {
	return []audit.Spelling[audit.Superseded]{
		{Text: "clearance", Value: audit.ClearanceSuperseded}, {Text: "clearances", Value: audit.ClearanceSuperseded}, {Text: "clearances of structures", Value: audit.ClearanceSuperseded},
		{Text: "clearance_mm", Value: audit.ClearanceSuperseded}, {Text: "deviation limit", Value: audit.LimitSuperseded}, {Text: "deviation limits", Value: audit.LimitSuperseded},
		{Text: "deviation limits of structures", Value: audit.LimitSuperseded}, {Text: "deviation_limit_deg", Value: audit.LimitSuperseded}, {Text: "tensions of load cases", Value: audit.TensionSuperseded},
		{Text: "slip load", Value: audit.SlipSuperseded}, {Text: "slip loads", Value: audit.SlipSuperseded}, {Text: "slip loads of assemblies", Value: audit.SlipSuperseded},
		{Text: "none", Value: 0},
	}
}
