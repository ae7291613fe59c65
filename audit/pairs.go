package audit

import (
	"cmp"
	"slices"
)

// A register without sides often has two like rows for a tension structure within the line, one for the set each way. They may as
// well be one row entered twice, and nothing tells which: so they count as two sets for what is to be hung and bought, are judged once,
// as like rows have one verdict, and whether the circuit is held on both sides stays not assessed, as it does for one row without a side.

// pair is two like tension rows without sides, of which the first is placed.
type pair struct{ first, second uint32 } // in Project.Assemblies

// findPairs finds the pairs at a structure: where a circuit has spans on both sides, each phase of it hangs in exactly two like tension
// rows without sides and nowhere else.
func (n *Network) findPairs(line *Line, structure int) {
	p := n.Project
	within := structure > line.First && structure < line.End-1
	if role := n.said(structure).Role; !within && !line.Closed || role != NoDeclaredRole && role != Transposition {
		return
	}
	if slices.ContainsFunc(n.AssemblyRows(structure), func(r uint32) bool { return p.Assemblies.saidOf(r).Faulty&KeyCells != 0 }) {
		return // it may be of any circuit
	}
	for i := range line.Circuits {
		c := &line.Circuits[i]
		if !line.Closed && (structure <= c.First || structure >= c.Last) {
			continue
		}
		n.pairs = append(n.pairs, p.pairsOf(n.circuitRows(structure, c.Symbol))...)
	}
}

// pairsOf are the pairs that the rows of a circuit at a structure are made of; none where they are anything else.
func (p *Project) pairsOf(rows []uint32) (pairs []pair) {
	if len(rows) > crowded {
		return nil
	}
	var single []uint32
	for _, r := range rows { // which are in the order of the register, within duty and side
		row := p.Assemblies.At(int(r))
		switch {
		case !row.Duty.CarriesPhase() && row.Duty != DutyUnknown:
			continue
		case row.Duty != Tension || row.Side != NoSide || row.Phases == 0 || p.leavesPhase(&row):
			return nil
		}
		at := slices.IndexFunc(single, func(first uint32) bool { return p.Assemblies.saidOf(first).Phases&row.Phases != 0 })
		if at < 0 {
			single = append(single, r)
			continue
		}
		first := p.Assemblies.At(int(single[at]))
		if first.Phases != row.Phases || p.difference(&first, &row) != "" {
			return nil
		}
		pairs = append(pairs, pair{single[at], r})
		single = slices.Delete(single, at, at+1)
	}
	for k := range pairs {
		if slices.ContainsFunc(pairs[k+1:], func(other pair) bool {
			return p.Assemblies.saidOf(other.first).Phases&p.Assemblies.saidOf(pairs[k].first).Phases != 0
		}) {
			return nil
		}
	}
	if len(single) > 0 {
		return nil
	}
	return pairs
}

// statesSides tells whether a tension row of a line states its side. Where one does, one that does not has not been asked.
func (n *Network) statesSides(line *Line) bool {
	for structure := line.First; structure < line.End; structure++ {
		if slices.ContainsFunc(n.AssemblyRows(structure), func(r uint32) bool {
			row := n.Project.Assemblies.At(int(r))
			return row.Duty == Tension && (row.Side != NoSide || row.Faulty.Has(CellSide))
		}) {
			return true
		}
	}
	return false
}

// IsPair tells whether a placed row stands for a set each way, of which the register has a row each without their sides.
func (n *Network) IsPair(row int) bool {
	_, is := n.SecondOf(row)
	return is
}

// SecondOf is the row of the other set of a pair of which a placed row is the first.
func (n *Network) SecondOf(row int) (second int, is bool) {
	if row < 0 || len(n.pairs) == 0 {
		return 0, false
	}
	i, found := slices.BinarySearchFunc(n.pairs, uint32(row), func(p pair, want uint32) int { return cmp.Compare(p.first, want) })
	if !found {
		return 0, false
	}
	return int(n.pairs[i].second), true
}

// isSecond tells whether a row is the second of one of some pairs.
func isSecond(pairs []pair, row uint32) bool {
	return slices.ContainsFunc(pairs, func(p pair) bool { return p.second == row })
}
