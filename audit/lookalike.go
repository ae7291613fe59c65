package audit

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Letters of several alphabets look the same, and somebody at a Greek keyboard writes the A of 7A as one of them. Nobody sees the difference,
// so it is said. Names that look alike are not taken for one: that is for the project file to say.

// alike are letters that look like one of the Latin alphabet, and those of Romanian that older encodings have with a cedilla, which are
// written with a comma below.
var alike = strings.NewReplacer(
	"Α", "A", "Β", "B", "Ε", "E", "Ζ", "Z", "Η", "H", "Ι", "I", "Κ", "K", "Μ", "M", "Ν", "N", "Ο", "O", "Ρ", "P", "Τ", "T", "Υ", "Y", "Χ", "X", "ο", "o",
	"А", "A", "В", "B", "Е", "E", "К", "K", "М", "M", "Н", "H", "О", "O", "Р", "P", "С", "C", "Т", "T", "У", "Y", "Х", "X", "І", "I", "Ј", "J", "Ѕ", "S",
	"а", "a", "е", "e", "о", "o", "р", "p", "с", "c", "у", "y", "х", "x", "і", "i", "ј", "j", "ѕ", "s",
	"ş", "ș", "Ş", "Ș", "ţ", "ț", "Ţ", "Ț")

// lookAlikes finds the names that look like another, of lines and of the structures of a line.
type lookAlikes struct {
	n     *Network
	known map[int32]map[string]string // by line, and of the lines under nowhere: names by how they look
}

// of says that a name looks like one of a line, or of the lines where that is nowhere; nothing where it looks like none.
func (a *lookAlikes) of(line int32, written string) string {
	if a.known == nil {
		a.known = map[int32]map[string]string{}
	}
	looks, listed := a.known[line]
	if !listed {
		looks = map[string]string{}
		a.known[line] = looks
		for _, name := range a.names(line) {
			looks[alike.Replace(name)] = name
		}
	}
	name, is := looks[alike.Replace(written)]
	if !is || name == written {
		return ""
	}
	return fmt.Sprintf("; it looks like %q, but is written with other letters (%s)", name, otherLetters(written, name))
}

// otherLetters names the first letter that differs, by its number in Unicode, as the two look the same.
func otherLetters(written, name string) string {
	one, other := []rune(written), []rune(name)
	for i := range min(len(one), len(other)) {
		if one[i] != other[i] {
			return fmt.Sprintf("%c is U+%04X here and U+%04X there", one[i], one[i], other[i])
		}
	}
	return fmt.Sprintf("%d and %d letters", utf8.RuneCountInString(written), len(other))
}

func (a *lookAlikes) names(line int32) (names []string) {
	if line == nowhere {
		p := a.n.Project
		for i := range p.Structures.Len() { // as lines are not arranged yet where the sheet Lines is looked at
			if line, first := p.Structures.begins(i); first {
				names = append(names, p.Symbols.Text(line))
			}
		}
		return names
	}
	for i := a.n.Lines[line].First; i < a.n.Lines[line].End; i++ {
		names = append(names, a.n.Number(i))
	}
	return names
}
