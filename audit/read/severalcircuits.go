package read

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
)

// A cell may name several circuits, or all. Where the sheet Lines states that the line has them, its row is taken for one of each; elsewhere
// which of them it is of, or whether each has what it says, is not known.

// severalCircuitWords are cells that say all circuits of a line or two, by their letters and digits (common practice).
var (
	bothCircuitWords = []string{"both", "bothcircuits", "bothccts", "twocircuits", "ambos", "ambas", "beide", "lesdeux", "deux", "entrambi", "entrambe", "oba", "obie", "obydwa", "ikisi", "herikisi",
		"bada", "begge", "molemmat"}
	allCircuitWords = []string{"all", "each", "allcircuits", "eachcircuit", "allccts", "todos", "todas", "alle", "tous", "toutes", "tutti", "tutte", "wszystkie", "hepsi", "tumu", "alla"}

	severalCircuitWords = slices.Concat(bothCircuitWords, allCircuitWords, []string{"doublecircuit", "double", "dc", "bothsides", "doblecircuito", "dobleterna", "circuitoduplo", "doppelt", "doppelleitung",
		"doubleterne", "doppiaterna", "dwutorowa", "ciftdevre"})
)

// several makes a column of circuits keep a cell apart that names more than one, unless the house says what it means.
func several(c column[assembly], house *houseWords) column[assembly] {
	read := c.read
	c.read = func(row *assembly, cell string, in unitOfMeasure) *trouble {
		if namesSeveralCircuits(cell) && house.list(circuitList)[keyIn(circuitList, cell)] == "" {
			row.circuits = cell
			return nil
		}
		return read(row, cell, in)
	}
	return c
}

// circuitsOf are the circuits of a row whose cell names several; none where it cannot be told which the line has, which is a fault, after which the strings of the row are not known
// where they are several: they may be those of all of them.
func (r *register) circuitsOf(a *assembly) (circuits []audit.Symbol) {
	expected := ""
	var names []string
	if a.Line != 0 && a.Number != 0 {
		names, expected = r.circuitsNamed(a)
	}
	mayBeOfAll := max(a.Strings, a.stringsByUnits) > 1 && a.Arrangement == audit.ArrangementUnknown && a.dutySaid == (said{}) && a.stringsSaid == 0
	switch {
	case len(names) == 0:
	case mayBeOfAll:
		names, expected = nil, "names several circuits of a row with several strings, which may be those of all of them"
	case a.Defective > 0:
		names, expected = nil, "names several circuits of a row with defective units, which may be those of one of them"
	}
	if len(names) == 0 {
		if expected == "" {
			expected = "may mean several circuits, expected one"
		}
		what := "which circuit its rows are of is not known"
		if mayBeOfAll {
			what = "which circuit its rows are of is not known, nor how many strings each has"
			a.Faulty = a.Faulty.With(audit.CellStrings)
		}
		r.trouble(audit.Fault{At: a.Source, Column: "Circuit", Value: a.circuits}, &trouble{kind: audit.UnknownWord, gathered: "circuits " + houseKey(a.circuits) + " " + expected + " " + what,
			asks:     audit.OpenWord{List: circuitList, Text: strings.Clone(excerpt(a.circuits))},
			expected: expected + "; " + what + ": give each circuit rows of its own, or " + sayWord(circuitList, a.circuits)})
		a.Faulty = a.Faulty.With(audit.CellCircuits)
		return nil
	}
	for _, name := range names {
		circuits = append(circuits, r.project.Symbols.Number(name))
	}
	a.Circuit = circuits[0]
	return circuits
}

// circuitsNamed are the circuits that a cell names, if the sheet Lines states that the line of the row has them; else why it names none.
func (r *register) circuitsNamed(a *assembly) (names []string, expected string) {
	line, has := r.project.Symbols.Text(a.Line), r.circuitsOfLine(a.Line)
	names, all := circuitsIn(a.circuits)
	fits := true
	switch {
	case all == noCircuits && names == nil:
		return nil, ""
	case has == 0:
		return nil, fmt.Sprintf("names several circuits, and the sheet Lines does not state how many line %q has", line)
	case all != noCircuits:
		fits = has > 1 && (all == allCircuits || has == 2)
		for number := range has {
			names = append(names, strconv.Itoa(number+1))
		}
	default:
		for _, name := range names {
			number, err := strconv.Atoi(name)
			fits = fits && (err == nil && number <= has || err != nil && len(names) == has)
		}
	}
	if !fits {
		return nil, fmt.Sprintf("names other circuits than the %d that the sheet Lines states for line %q", has, line)
	}
	return names, ""
}

// circuitsOfLine is how many circuits the sheet Lines states for a line; 0 where it does not tell.
func (r *register) circuitsOfLine(line audit.Symbol) int {
	if r.circuitsStated == nil {
		r.circuitsStated = map[string]int{}
		for i := range r.project.Lines {
			row := &r.project.Lines[i]
			count := row.Circuits
			if row.Faulty.Has(audit.CellCircuits) || count < 1 {
				count = 0
			}
			key := headingKey(r.project.Symbols.Text(row.Line))
			if stated, twice := r.circuitsStated[key]; twice && stated != count {
				count = 0
			}
			r.circuitsStated[key] = count
		}
	}
	return r.circuitsStated[headingKey(r.project.Symbols.Text(line))]
}

// expand keeps a row once more for each circuit beyond the first.
func (r *register) expand(a *assembly, circuits []audit.Symbol) {
	if r.pass == 0 {
		taken := -1
		for i := range r.expanded {
			if r.expanded[i].cell == a.circuits && r.expanded[i].table == a.Source.Table {
				taken = i
			}
		}
		if taken < 0 {
			taken = len(r.expanded)
			r.expanded = append(r.expanded, expandedRows{cell: strings.Clone(a.circuits), table: a.Source.Table})
		}
		r.expanded[taken].rows++
	}
	for _, circuit := range circuits {
		row := a.AssemblyRow
		row.Circuit = circuit
		r.project.Assemblies.Append(row)
		r.project.RowsMade++
	}
}

// expandedRows are the rows of a table that are taken for one of each circuit that a cell names.
type expandedRows struct {
	cell  string
	table uint16
	rows  int
}

// sayExpanded lists them among the assumptions.
func (r *register) sayExpanded() {
	for _, e := range r.expanded {
		r.project.CircuitsTaken = append(r.project.CircuitsTaken, fmt.Sprintf("Circuit %q in %s is taken for a row of each of these circuits, which the sheet Lines states (%d rows).",
			excerpt(e.cell), r.project.Tables[e.table], e.rows))
	}
}

// circuitsMeant is which circuits a word means that names none.
type circuitsMeant uint8

const (
	noCircuits circuitsMeant = iota
	bothCircuits
	allCircuits
)

// circuitsIn are the circuits that a cell names for certain: numbers, or letters as they are written; or that it means both, or all of the
// line. 1/2 and 1-2 may be the first of two, and D/C is a kind of tower.
func circuitsIn(cell string) (names []string, meant circuitsMeant) {
	key := headingKey(cell)
	if slices.Contains(bothCircuitWords, key) {
		return nil, bothCircuits
	}
	if slices.Contains(allCircuitWords, key) {
		return nil, allCircuits
	}
	if !namesSeveralCircuits(cell) || slices.Contains(severalCircuitWords, key) || strings.ContainsAny(cell, "/-–—") {
		return nil, noCircuits
	}
	for _, word := range strings.FieldsFunc(cell, isBetweenCircuits) {
		switch name := circuitName(withoutCircuit(strings.ToLower(word))); {
		case name == "" && slices.Contains([]string{"to", "bis"}, strings.ToLower(word)):
			return nil, noCircuits // 1 to 4 says two of them
		case name == "":
		case name[0] >= 'a':
			names = append(names, word[len(word)-1:])
		default:
			names = append(names, strings.TrimLeft(name, "0"))
		}
	}
	return names, noCircuits
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
	words := strings.FieldsFunc(strings.ToLower(cell), isBetweenCircuits)
	var named []string
	for _, word := range words {
		switch word = withoutCircuit(word); word {
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

// isBetweenCircuits tells what stands between the names of circuits.
func isBetweenCircuits(r rune) bool { return strings.ContainsRune(" &+,;/-–—#.()\u00a0", r) }

// withoutCircuit is a word without what only says that it is a circuit, as Cct1.
func withoutCircuit(word string) string {
	for _, prefix := range [...]string{"circuits", "circuit", "ccts", "cct", "ckts", "ckt", "cir", "nos", "no"} {
		if rest, cut := strings.CutPrefix(word, prefix); cut {
			return rest
		}
	}
	return word
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
