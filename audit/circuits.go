package audit

import (
	"fmt"
	"math"
	"slices"
	"strings"
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
	for structure := line.First; structure < line.End; structure++ {
		for _, r := range n.AssemblyRows(structure) {
			row := &p.Assemblies[r]
			line.RowsPlaced++
			if row.Duty != DutyUnknown && !row.Duty.CarriesPhase() || row.Faulty.Has(CellCircuits) {
				continue
			}
			i := slices.IndexFunc(line.Circuits, func(c Circuit) bool { return c.Symbol == row.Circuit })
			if i < 0 {
				i = len(line.Circuits)
				line.Circuits = append(line.Circuits, Circuit{Symbol: row.Circuit, First: structure})
			}
			line.Circuits[i].Last = structure
			if row.Phases != EveryPhase {
				line.Circuits[i].Phases |= row.Phases
			}
		}
	}
	n.suspectCircuits(line)
	if line.Row.Circuits > 0 && line.RowsPlaced > 0 {
		n.expectStatedCircuits(line)
	}
	markCircuitEnds(line.Circuits, line.Row.Circuits > 0)
	slices.SortFunc(line.Circuits, func(a, b Circuit) int {
		return naturalCompare([]byte(p.Symbols.Text(a.Symbol)), []byte(p.Symbols.Text(b.Symbol)))
	})
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

// suspectCircuits finds where the Lines sheet contradicts the register: more circuits there than the sheet counts, and phases of which
// each names some that the other does not have. Then nobody knows the phases.
func (n *Network) suspectCircuits(line *Line) {
	p, names := n.Project, []string{}
	var named Phases
	for _, c := range line.Circuits {
		names = append(names, p.Symbols.Text(c.Symbol))
		named |= c.Phases
	}
	if line.Row.Circuits > 0 && len(names) > line.Row.Circuits {
		p.Faults.Add(Fault{Kind: Implausible, At: line.Row.Source, Column: "Circuits", Value: fmt.Sprint(line.Row.Circuits),
			Expected: fmt.Sprintf("is fewer than the circuits of line %q in the register: %s", p.Symbols.Text(line.Symbol), strings.Join(names, ", "))})
	}
	if stated := line.Row.Phases; stated != 0 && stated&^named != 0 && named&^stated != 0 {
		p.Faults.Add(Fault{Kind: Implausible, At: line.Row.Source, Column: "Phases", Value: stated.String(),
			Expected: fmt.Sprintf("are others than the register names on line %q: %s; phase-missing is not assessed", p.Symbols.Text(line.Symbol), named)})
		line.Row.Phases, line.Row.Faulty = 0, line.Row.Faulty.With(CellCircuits)
	}
}

// goesOn is how many structures farther another circuit must be registered for a circuit to count as ending: a single
// structure without rows is no end.
const goesOn = 3

func markCircuitEnds(circuits []Circuit, counted bool) {
	for i := range circuits {
		circuits[i].MayFirst, circuits[i].MayLast = circuits[i].First, circuits[i].Last
		for _, other := range circuits {
			circuits[i].EndsFirst = circuits[i].EndsFirst || other.First <= circuits[i].First-goesOn
			circuits[i].EndsLast = circuits[i].EndsLast || other.Last >= circuits[i].Last+goesOn
		}
		for _, other := range circuits {
			if counted { // and still not on the whole line: the count contradicts the register
				break
			}
			if !circuits[i].EndsFirst {
				circuits[i].MayFirst = min(circuits[i].MayFirst, other.First)
			}
			if !circuits[i].EndsLast {
				circuits[i].MayLast = max(circuits[i].MayLast, other.Last)
			}
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
