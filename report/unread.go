package report

import (
	"strings"
	"unicode"

	"dryarc/audit"
)

// unreadableCell stands where the inputs have something that cannot be read, so that it is no more known than it was. What stood there
// follows it where that might be read as a value beside other cells or under another heading.
const unreadableCell = "#N/A"

// unreadTexts are the texts of cells that could not be read, as they are written again: by where they stood and the name of their
// column. Those that the faults of the inputs do not list are not among them.
type unreadTexts map[unreadAt]string

type unreadAt struct {
	row    audit.Source
	column string
}

func unreadTextsOf(p *audit.Project) unreadTexts {
	texts := unreadTexts{}
	for _, f := range p.Faults.List() {
		text := unreadText(&f)
		if text == "" {
			continue
		}
		texts[unreadAt{f.At, f.Column}] = text
		for _, row := range f.Also {
			texts[unreadAt{audit.Source{Table: f.At.Table, Row: row}, f.Column}] = text
		}
	}
	return texts
}

// unreadText is what is written for a cell that a fault is of: a text that is nothing wherever it stands as it stood, else behind a mark,
// empty where the fault is of no text that cannot be read.
func unreadText(f *audit.Fault) string {
	marked := unreadableCell + ": " + strings.TrimPrefix(f.Value, unreadableCell+": ")
	switch {
	case f.Value == "" || f.At.Row == 0:
		return ""
	case f.Kind == audit.UnknownWord, f.Kind == audit.UnknownUnit, f.Kind == audit.MissingValue && !hasDigit(f.Value):
		return f.Value
	case f.Kind == audit.OutOfRange, f.Kind == audit.NotANumber && mayBeNumber(f.Value), f.Weight == audit.ByTheWay && hasDigit(f.Value):
		return marked
	case f.Kind == audit.NotANumber:
		return f.Value
	}
	return ""
}

// mayBeNumber tells whether a text that is no number here may be one in a column that writes its numbers otherwise: it has digits and no
// word, or signs between them that part decimals or thousands.
func mayBeNumber(text string) bool {
	if !hasDigit(text) {
		return false
	}
	letters := []rune(text)
	isDigit := func(i int) bool { return i >= 0 && i < len(letters) && unicode.IsDigit(letters[i]) }
	hasWord := false
	for i, letter := range letters {
		hasWord = hasWord || unicode.IsLetter(letter) || letter == '?'
		switch {
		case strings.ContainsRune(".,'’", letter) && (isDigit(i-1) || isDigit(i+1)), unicode.IsSpace(letter) && isDigit(i-1) && isDigit(i+1):
			return true
		}
	}
	return !hasWord
}

func hasDigit(text string) bool { return strings.ContainsFunc(text, unicode.IsDigit) }

// of is what is written for the cell of a row under a heading, and ok whether a text is known; phase is that of the row, of which alone
// its column may have been.
func (t unreadTexts) of(row audit.Source, heading, phase string) (text string, ok bool) {
	column, _, _ := strings.Cut(heading, " (")
	if text, ok = t[unreadAt{row, column}]; !ok && phase != "" {
		text, ok = t[unreadAt{row, column + " of phase " + phase}]
	}
	return text, ok
}
