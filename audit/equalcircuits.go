package audit

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// namedCircuit is a circuit of a line as rows of the register name it.
type namedCircuit struct {
	symbol Symbol
	number int // that its name says, 0 for none
	rows   int
	first  Source
}

// matchCircuits writes the circuits of a line by their numbers where the register names them otherwise (01, I, Cct 1) and the line
// then has no more than the Lines sheet states. Of more it makes one fault, and so it does of names that may be of one circuit
// where nobody states how many there are: which circuit their rows are of is then not known.
func (n *Network) matchCircuits(line *Line) {
	names := n.namedCircuits(line)
	plain := true
	for i := range names {
		names[i].number = circuitNumber(n.Project.Symbols.Text(names[i].symbol))
		plain = plain && n.isPlain(&names[i])
	}
	stated := line.Row.Circuits
	if plain && (stated <= 0 || len(names) <= stated) {
		return
	}
	distinct := map[string][]namedCircuit{}
	for _, c := range names {
		key := "named " + fmt.Sprint(c.symbol)
		if c.number > 0 {
			key = fmt.Sprint(c.number)
		}
		distinct[key] = append(distinct[key], c)
	}
	switch {
	case line.Row.Faulty.Has(CellCircuits):
	case stated <= 0:
		n.doubtTwins(line, distinct)
	case len(distinct) > stated:
		n.doubtSurplus(line, names, stated)
		n.writeNumbers(line, names, stated)
	default:
		n.writeNumbers(line, names, stated)
	}
}

// writeNumbers writes the circuits of a line whose names say a number, up to those that are stated, as that.
func (n *Network) writeNumbers(line *Line, names []namedCircuit, stated int) {
	for _, c := range names {
		if c.number > 0 && c.number <= stated && !n.isPlain(&c) {
			to := n.Project.Symbols.Number(strconv.Itoa(c.number))
			n.equal.note(Equal{Line: line.Symbol, What: "circuit", From: n.Project.Symbols.Text(c.symbol), To: n.Project.Symbols.Text(to)}, c.rows)
			n.ofCircuit(line, c.symbol, func(row AssemblyRow) AssemblyRow {
				row.Circuit = to
				return row
			})
		}
	}
	n.sortByCircuit(line)
}

// sortByCircuit brings the rows of each structure of a line into their order again.
func (n *Network) sortByCircuit(line *Line) {
	p := n.Project
	for structure := line.First; structure < line.End; structure++ {
		slices.SortFunc(n.AssemblyRows(structure), func(a, b uint32) int {
			x, y := p.Assemblies.At(int(a)), p.Assemblies.At(int(b))
			return cmp.Or(naturalCompare([]byte(p.Symbols.Text(x.Circuit)), []byte(p.Symbols.Text(y.Circuit))), cmp.Compare(x.Duty, y.Duty),
				cmp.Compare(x.Side, y.Side), cmp.Compare(a, b))
		})
	}
}

// isPlain tells whether a circuit is written as its number, or has none.
func (n *Network) isPlain(c *namedCircuit) bool {
	return c.number == 0 || n.Project.Symbols.Text(c.symbol) == strconv.Itoa(c.number)
}

// namedCircuits lists the circuits of a line by the names that its rows have for them, in the order of the structures.
func (n *Network) namedCircuits(line *Line) (names []namedCircuit) {
	last := -1
	for structure := line.First; structure < line.End; structure++ {
		for _, r := range n.AssemblyRows(structure) {
			row := n.Project.Assemblies.saidOf(r)
			if row.Duty != DutyUnknown && !row.Duty.CarriesPhase() || row.Faulty.Has(CellCircuits) {
				continue
			}
			if last < 0 || names[last].symbol != row.Circuit {
				if last = slices.IndexFunc(names, func(c namedCircuit) bool { return c.symbol == row.Circuit }); last < 0 {
					last = len(names)
					names = append(names, namedCircuit{symbol: row.Circuit, first: n.Project.Assemblies.ownOf(r).Source})
				}
			}
			names[last].rows++
		}
	}
	return names
}

// ofCircuit changes the rows of a line that name a circuit.
func (n *Network) ofCircuit(line *Line, circuit Symbol, change func(row AssemblyRow) AssemblyRow) {
	for structure := line.First; structure < line.End; structure++ {
		for _, r := range n.AssemblyRows(structure) {
			if n.Project.Assemblies.saidOf(r).Circuit == circuit {
				n.Project.Assemblies.Set(int(r), change(n.Project.Assemblies.At(int(r))))
			}
		}
	}
}

// doubtSurplus makes one fault of the circuits of a line beyond those that the Lines sheet states. Where some go by the numbers 1
// to that, the others are too many, elsewhere any may be.
func (n *Network) doubtSurplus(line *Line, names []namedCircuit, stated int) {
	within := func(c namedCircuit) bool { return c.number > 0 && c.number <= stated }
	surplus := slices.Clone(names)
	if slices.ContainsFunc(names, within) {
		surplus = slices.DeleteFunc(surplus, within)
	}
	for i := range surplus {
		surplus[i].number = 0 // which of the stated ones it is nobody knows
	}
	n.doubtCircuits(line, surplus, fmt.Sprintf("is among more circuits than the %d that the sheet Lines states for line %q", stated, n.Project.Symbols.Text(line.Symbol)))
}

// doubtTwins makes one fault of the circuits of a line that may be one by the number in their names.
func (n *Network) doubtTwins(line *Line, distinct map[string][]namedCircuit) {
	var twins []namedCircuit
	for _, same := range distinct {
		if len(same) > 1 {
			twins = append(twins, same...)
		}
	}
	if len(twins) == 0 {
		return
	}
	slices.SortFunc(twins, func(a, b namedCircuit) int { return int(a.symbol) - int(b.symbol) })
	n.doubtCircuits(line, twins, fmt.Sprintf("may be another name for a circuit of line %q, and the sheet Lines does not state how many it has", n.Project.Symbols.Text(line.Symbol)))
}

func (n *Network) doubtCircuits(line *Line, names []namedCircuit, says string) {
	p := n.Project
	rows, first := 0, names[0]
	var words []string
	for _, c := range names {
		rows += c.rows
		if c.first.Before(first.first) {
			first = c
		}
		words = append(words, fmt.Sprintf("%q: %s", p.Symbols.Text(c.symbol), numberOrDots(c.number)))
		n.ofCircuit(line, c.symbol, func(row AssemblyRow) AssemblyRow {
			if !row.Faulty.Has(CellCircuits) { // else it is no name that stands there
				row.Faulty, row.Foreign = row.Faulty.With(CellCircuits), row.Foreign|ForeignCircuit
			}
			return row
		})
	}
	const most = 6
	if more := len(words) - most; more > 0 {
		words = append(words[:most], "…")
	}
	p.Faults.Add(Fault{Kind: Implausible, At: first.first, Column: "Circuit", Value: p.Symbols.Text(first.symbol), Rows: rows, Asks: OpenWord{"Circuit", p.Symbols.Text(first.symbol)},
		Expected: fmt.Sprintf("%s; which circuit its rows are of is not known, say so in the project file: words: {Circuit: {%s}}", says, strings.Join(words, ", "))})
}

func numberOrDots(number int) string {
	if number > 0 {
		return strconv.Itoa(number)
	}
	return "…"
}

// circuitNumber is the number in the name of a circuit: 1, 01, 1.0, I, Cct 1, C1, Circuit II; 0 where it has none.
func circuitNumber(name string) int {
	text := strings.ToLower(strings.Join(strings.FieldsFunc(name, func(r rune) bool { return strings.ContainsRune(" -_#\u00a0", r) }), ""))
	for _, word := range [...]string{"circuit", "cct", "ckt", "cir", "no"} {
		text = strings.TrimPrefix(strings.TrimPrefix(text, word), ".")
	}
	if i := slices.Index(romanNumerals[:], text); i >= 0 {
		return i + 1
	}
	if rest, cut := strings.CutPrefix(text, "c"); cut && rest != "" {
		text = rest
	}
	text = strings.TrimLeft(strings.TrimSuffix(text, ".0"), "0")
	if number, err := strconv.Atoi(text); err == nil && number > 0 && number <= mostCircuits && text[0] != '+' {
		return number
	}
	return 0
}

// mostCircuits is the largest number of a circuit that a line is believed to have (a choice of this program).
const mostCircuits = 12

var romanNumerals = [mostCircuits]string{"i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii"}
