package audit

import "slices"

// Rejudge judges the subjects of one structure of an assessed line once more, or with a structure below 0 the line as a whole and its
// sections, and tells every verdict: a result keeps only what falls short. Errors of checks were told of in the first place.
func (r *Result) Rejudge(line, structure int, each func(check int, at Location, v Verdict)) {
	a := lineAssessor{n: r.Network, checks: r.Checks, asked: askedOf(r.Checks, nil), line: line, each: each, hearingRoom: hearingRoom{tallies: make([]tally, len(r.Checks))}}
	v := visitor{n: r.Network, line: line}
	put := func(kind SubjectKind, s Subject, at Location) {
		if kind == OfStructure {
			a.worse = *s.Structure // as it is: what one class worse would do is not asked again
		}
		a.put(kind, s, at)
	}
	if structure < 0 {
		v.wholes(put)
		return
	}
	v.visitStructure(v.base(), structure, put)
}

// SideUnstated tells whether a tension assembly of a circuit at a structure does not say its side, so that nothing is judged side by side there.
func (r *Result) SideUnstated(structure int, circuit string) bool {
	return slices.ContainsFunc(r.Network.AssemblyRows(structure), func(row uint32) bool {
		a := r.Project.Assemblies.At(int(row))
		return a.Duty.HasSides() && a.Side == NoSide && r.Project.Symbols.Text(a.Circuit) == circuit
	})
}

// MayHoldMore tells whether the register may hold more at a structure than can be told from it: a row names no place and may belong
// there, one there cannot be read in what tells assemblies apart, one left out names it in another spelling, or the register
// has no readable row of the line at all. Beside some assemblies it is asked what else than these may be there.
func (r *Result) MayHoldMore(line, structure int, beside ...Location) bool {
	n := r.Network
	if !n.Project.RegisterGiven || n.Lines[line].RowsPlaced == 0 || n.misspelt[structure] != "" {
		return true
	}
	if (len(n.Project.Lost) > 0 || len(n.lost.doubted) > 0) && n.mayHaveLost(&n.Lines[line], structure) {
		return true
	}
	for _, row := range n.AssemblyRows(structure) {
		if n.Project.Assemblies.saidOf(row).Faulty&KeyCells != 0 && !slices.ContainsFunc(beside, func(at Location) bool { return at.Assembly == int(row) }) {
			return true
		}
	}
	return false
}
