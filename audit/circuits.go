package audit

import (
	"fmt"
	"math"
	"slices"
)

// Circuit is one circuit of a line.
type Circuit struct {
	Symbol Symbol
	Phases Phases // EveryPhase where nobody says which it has
	First  int    // the structures between which it is expected, both included
	Last   int
	// EndsFirst and EndsLast tell that it ends there although another circuit of the line goes on.
	EndsFirst, EndsLast bool
	// MayFirst and MayLast are as far as it may go beyond First and Last: another circuit has rows there, but not so far that it ends.
	MayFirst, MayLast int
}

// findCircuits lists the circuits of a line and the phases each has: those the Lines sheet states, else those that
// the rows of the register name. A circuit that the sheet counts is expected along the whole line, another one
// from the first to the last structure that has it; it ends there where another circuit goes on.
func (n *Network) findCircuits(line *Line) {
	p := n.Project
	place := map[Symbol]int{} // in line.Circuits
	for structure := line.First; structure < line.End; structure++ {
		for _, r := range n.AssemblyRows(structure) {
			row := p.Assemblies.At(int(r))
			line.RowsPlaced++
			if row.Faulty.Has(CellCircuits) {
				n.structures[structure].mark(circuitUnread)
			}
			if row.Duty != DutyUnknown && !row.Duty.CarriesPhase() || row.Faulty.Has(CellCircuits) {
				continue
			}
			if row.Blank&BlankCircuit != 0 {
				n.structures[structure].mark(circuitBlank)
			}
			i, known := place[row.Circuit]
			if !known {
				i = len(line.Circuits)
				place[row.Circuit] = i
				line.Circuits = append(line.Circuits, Circuit{Symbol: row.Circuit, First: structure})
			}
			line.Circuits[i].Last = structure
			if row.Phases != EveryPhase {
				line.Circuits[i].Phases |= row.Phases
			}
		}
	}
	if line.Row.Circuits > 0 && line.RowsPlaced > 0 {
		n.expectStatedCircuits(line)
	}
	markCircuitEnds(line.Circuits, line.Row.Circuits > 0)
	slices.SortFunc(line.Circuits, func(a, b Circuit) int {
		return naturalCompare([]byte(p.Symbols.Text(a.Symbol)), []byte(p.Symbols.Text(b.Symbol)))
	})
	line.indexCircuits()
	for i := range line.Circuits {
		c := &line.Circuits[i]
		if line.Row.Phases != 0 {
			c.Phases = line.Row.Phases
		}
		if c.Phases == 0 {
			c.Phases = EveryPhase
		}
	}
}

// manyCircuits is how many circuits of a line are looked up by their symbols and not one by one. No line has so many, but
// a column that is not of circuits may be read as one.
const manyCircuits = 16

// indexCircuits makes the circuits of a line that has many known by their symbols.
func (l *Line) indexCircuits() {
	if len(l.Circuits) <= manyCircuits {
		return
	}
	l.circuitAt = make(map[Symbol]int, len(l.Circuits))
	for i := range l.Circuits {
		l.circuitAt[l.Circuits[i].Symbol] = i
	}
}

// circuitIndex is the place of a circuit in Circuits, −1 where the line has none of that symbol.
func (l *Line) circuitIndex(circuit Symbol) int {
	if l.circuitAt == nil {
		return slices.IndexFunc(l.Circuits, func(c Circuit) bool { return c.Symbol == circuit })
	}
	if i, known := l.circuitAt[circuit]; known {
		return i
	}
	return nowhere
}

// goesOn is how many structures farther another circuit must be registered for a circuit to count as ending: a single
// structure without rows is no end.
const goesOn = 3

func markCircuitEnds(circuits []Circuit, counted bool) {
	first, last := math.MaxInt, math.MinInt
	for _, c := range circuits {
		first, last = min(first, c.First), max(last, c.Last)
	}
	for i := range circuits {
		c := &circuits[i]
		c.EndsFirst, c.EndsLast = first <= c.First-goesOn, last >= c.Last+goesOn
		c.MayFirst, c.MayLast = c.First, c.Last
		if counted { // and still not on the whole line: the count contradicts the register
			continue
		}
		if !c.EndsFirst {
			c.MayFirst = first
		}
		if !c.EndsLast {
			c.MayLast = last
		}
	}
}

// expectStatedCircuits widens the circuits that the Lines sheet counts to the whole line, and adds those of which the
// register has no row, as long as circuits go by the numbers 1, 2, …
func (n *Network) expectStatedCircuits(line *Line) {
	for number := 1; len(line.Circuits) < line.Row.Circuits && number <= line.Row.Circuits; number++ {
		symbol := n.Project.Symbols.Number(fmt.Sprint(number))
		if !slices.ContainsFunc(line.Circuits, func(c Circuit) bool { return c.Symbol == symbol }) {
			line.Circuits = append(line.Circuits, Circuit{Symbol: symbol})
		}
	}
	if len(line.Circuits) <= line.Row.Circuits {
		for i := range line.Circuits {
			line.Circuits[i].First, line.Circuits[i].Last = line.First, line.End-1
		}
	}
}

// endsAt tells whether a circuit ends at a structure although another circuit of the line goes on.
func (c *Circuit) endsAt(structure int) bool {
	return c.EndsFirst && structure == c.First || c.EndsLast && structure == c.Last
}

var bothSides = [...]Side{Back, Ahead}

// sidesOf lists the sides on which a circuit has spans at a structure: at a line end or where the circuit ends those with a span of it,
// elsewhere both.
func sidesOf(s *Structure, c *Circuit) []Side {
	if s.CourseFaulty || s.Role != Terminal && !c.endsAt(s.Index) {
		return bothSides[:]
	}
	sides := bothSides[:]
	if math.IsNaN(s.SpanAheadM) || c.EndsLast && s.Index == c.Last {
		sides = sides[:1]
	}
	if math.IsNaN(s.SpanBackM) || c.EndsFirst && s.Index == c.First {
		sides = sides[1:]
	}
	return sides
}
