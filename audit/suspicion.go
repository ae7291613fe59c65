package audit

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit/basis"
)

// Geometry that is more likely a mistake of the data than of the line is a fault, and the deviations beside it are
// doubtful: what they lead to is an advisory.

const repeatedWithinM = 0.01 // two structures of a line this near stand at one position

// suspect looks for such geometry on one line, marks what is doubtful and returns the faults.
func (n *Network) suspect(line *Line) []Fault {
	var faults []Fault
	add := func(kind FaultKind, structure int, column, value, expected string) {
		faults = append(faults, Fault{Kind: kind, At: n.Source(structure), Column: column, Value: value, Expected: expected})
	}
	name := n.Project.Symbols.Text(line.Symbol)
	number := func(i int) string { return n.Number(i) }
	limit := n.criteriaOf(line).spanLimitM(line.VoltageKV())
	for i := line.First; i < line.End; i++ {
		st := &n.courses[i]
		next := n.next(line, i)
		if next >= 0 && st.spanAheadM <= repeatedWithinM {
			add(RepeatedPosition, next, "structure", number(next), fmt.Sprintf("of line %q stands where structure %q stands", name, number(i)))
			n.doubt(line, i-1, next+1)
		}
		if next >= 0 && st.spanAheadM > limit && !n.mayBeLong(i) {
			add(LongSpan, i, "span", fmt.Sprintf("%.0f m", st.spanAheadM),
				fmt.Sprintf("from structure %q to %q of line %q is longer than %g m; a structure may be missing; where none is, state long_span", number(i), number(next), name, limit))
			n.doubt(line, i, next)
			n.miss(line, i+1)
		}
		if basis.IsSharpTurn(st.deviationDeg) {
			add(SharpTurn, i, "deviation", fmt.Sprintf("%.1f°", st.deviationDeg),
				fmt.Sprintf("at structure %q of line %q is more than %g°; the order of the structures may be wrong", number(i), name, basis.SharpTurnDeg))
			n.doubt(line, i-1, i+1)
		}
	}
	n.suspectSequence(line, name, add)
	n.suspectRoute(line, name, add)
	return faults
}

// mayBeLong tells whether there is a reason for the span ahead of a structure to be long: it is declared so, or crosses a river or a
// valley.
func (n *Network) mayBeLong(structure int) bool {
	return n.said(structure).LongSpan || slices.ContainsFunc(n.Crossed(structure), func(kind string) bool {
		return strings.EqualFold(kind, "river") || strings.EqualFold(kind, "valley")
	})
}

// doubt marks the structures from first to last, as far as they are of the line.
func (n *Network) doubt(line *Line, first, last int) {
	for i := max(first, line.First); i <= min(last, line.End-1); i++ {
		n.structures[i].mark(doubtful)
	}
}

type addFault func(kind FaultKind, structure int, column, value, expected string)

// suspectSequence finds gaps in a sequence of whole numbers that otherwise rises by one and the same step.
func (n *Network) suspectSequence(line *Line, name string, add addFault) {
	if line.Ordering != BySequence || line.End-line.First < 4 {
		return
	}
	steps := make([]float64, 0, line.End-line.First-1)
	for i := line.First + 1; i < line.End; i++ {
		steps = append(steps, n.own(i).Sequence-n.own(i-1).Sequence)
	}
	usual := slices.Clone(steps)
	slices.Sort(usual)
	step := usual[len(usual)/2]
	regular := 0
	for _, s := range steps {
		if s == step {
			regular++
		}
	}
	if step <= 0 || step != math.Trunc(step) || regular*10 < len(steps)*8 {
		return
	}
	for k, s := range steps {
		if s > step {
			i := line.First + k + 1
			add(SequenceGap, i, "sequence", fmt.Sprintf("%g", n.row(i).Sequence),
				fmt.Sprintf("follows %g on line %q; structures may be missing", n.row(i-1).Sequence, name))
			n.doubt(line, i-1, i)
			n.miss(line, i)
		}
	}
}

// suspectRoute finds structures that stand far off their line's route.
func (n *Network) suspectRoute(line *Line, name string, add addFault) {
	if line.route == nil || line.Ordering == ByRouteVertex {
		return
	}
	tolerance := n.criteriaOf(line).RouteToleranceM.Value
	for i := line.First; i < line.End; i++ {
		if _, offset := line.route.Locate(n.Position(i)); offset > tolerance {
			add(OffRoute, i, "structure", n.Number(i),
				fmt.Sprintf("of line %q stands %.0f m off its route, expected at most %g m", name, offset, tolerance))
			n.doubt(line, i-1, i+1)
		}
	}
}
