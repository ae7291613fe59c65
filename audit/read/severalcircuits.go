package read

import (
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
)

// A cell may name several circuits, or all: which of them the row is of, or whether each has what it says, is then not known.

// severalCircuitWords are cells that say all circuits of a line or two, by their letters and digits (common practice).
var severalCircuitWords = []string{"both", "all", "each", "bothcircuits", "allcircuits", "eachcircuit", "doublecircuit", "double", "dc", "twocircuits", "bothccts", "allccts", "bothsides",
	"ambos", "ambas", "todos", "todas", "doblecircuito", "dobleterna", "circuitoduplo", "beide", "alle", "doppelt", "doppelleitung", "tous", "toutes", "lesdeux", "deux", "doubleterne",
	"tutti", "tutte", "entrambi", "entrambe", "doppiaterna", "oba", "obie", "obydwa", "wszystkie", "dwutorowa", "ikisi", "herikisi", "hepsi", "tumu", "ciftdevre", "alla", "bada", "begge", "molemmat"}

// several makes a column of circuits refuse a cell that names more than one, unless the house says what it means.
func several(c column[assembly], house *houseWords) column[assembly] {
	read := c.read
	c.read = func(row *assembly, cell string, in unitOfMeasure) *trouble {
		if namesSeveralCircuits(cell) && house.list(circuitList)[keyIn(circuitList, cell)] == "" {
			return &trouble{kind: audit.UnknownWord, gathered: "circuits " + houseKey(cell), asks: audit.OpenWord{List: circuitList, Text: strings.Clone(excerpt(cell))},
				expected: "may mean several circuits, expected one; which circuit its rows are of is not known: give each circuit rows of its own, or " + sayWord(circuitList, cell)}
		}
		return read(row, cell, in)
	}
	return c
}

// namesSeveralCircuits tells whether a cell names more than one circuit: 1 & 2, I/II, A+B, Cct 1 and 2, 1-2, both.
func namesSeveralCircuits(cell string) bool {
	if len(cell) < 3 || len(cell) > longestName { // as nearly all cells
		return false
	}
	key := headingKey(cell)
	if slices.Contains(severalCircuitWords, key) && (key != "dc" || strings.Contains(cell, "/")) {
		return true
	}
	words := strings.FieldsFunc(strings.ToLower(cell), func(r rune) bool { return strings.ContainsRune(" &+,;/-–—#.()\u00a0", r) })
	var named []string
	for _, word := range words {
		for _, prefix := range [...]string{"circuits", "circuit", "ccts", "cct", "ckts", "ckt", "cir", "nos", "no"} {
			if rest, cut := strings.CutPrefix(word, prefix); cut {
				word = rest
				break
			}
		}
		switch word {
		case "", "and", "to", "und", "bis", "y", "et", "e", "ve", "och", "og", "ja":
			continue
		}
		named = append(named, circuitName(word))
	}
	if len(named) < 2 || slices.Contains(named, "") {
		return false
	}
	for i, name := range named[1:] {
		if name <= named[i] || (name < "a") != (named[i] < "a") { // each behind the one before it, all numbers or all letters
			return false
		}
	}
	onlyDashes := !strings.ContainsAny(cell, "&+,;/") && len(strings.Fields(cell)) < 3
	return !onlyDashes || strings.ContainsAny(cell, "-–—") && named[0] < "a"
}

// circuitName is a number of a circuit in two digits, from 1, or a letter, A to F; empty for anything else.
func circuitName(word string) string {
	if i := slices.Index([]string{"i", "ii", "iii", "iv", "v", "vi"}, word); i >= 0 {
		return "0" + strconv.Itoa(i+1)
	}
	const mostCircuits = 12 // a choice of this program
	if number, err := strconv.Atoi(word); err == nil && number >= 1 && number <= mostCircuits && len(word) <= 2 {
		return string([]byte{'0' + byte(number/10), '0' + byte(number%10)})
	}
	if len(word) == 1 && word[0] >= 'a' && word[0] <= 'f' {
		return word
	}
	return ""
}
