package audit

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// Reassess finds the exceptions that are kept at the structures of some lines of another network: the one of this result with other
// assemblies, whose rows keep their numbers. Structures where nothing that a check is told has changed are not judged
// again: what was found there stands. Exceptions of sections and lines are left out. keep is called from several
// goroutines; it is asked too about what cannot be judged where it is judged again, but for notes and what nobody asks for, of the severity
// of its check. What is kept is in the order of lines and structures, at each the exceptions first, the worst before others; those that stand are those of this result. It fails only when ctx ends.
func (r *Result) Reassess(ctx context.Context, n *Network, lines []int, workers int, keep func(e *Exception) bool) ([]*Exception, error) {
	found := make([][]Exception, len(n.Lines))
	changed := make([][]bool, len(n.Lines)) // by structure of the line
	wanted := make([]bool, len(n.Lines))
	for _, line := range lines {
		wanted[line] = true
	}
	rooms := newHearingRooms(len(r.Checks))
	err := n.eachLine(ctx, workers, func(line int) bool { return wanted[line] }, func(l int) {
		changed[l] = n.changedSince(r.Network, l)
		room := rooms.Get().(*hearingRoom)
		defer rooms.Put(room)
		found[l] = n.assessAt(r.Checks, l, changed[l], room, keep)
	})
	if err != nil {
		return nil, err
	}
	var standing []int
	for i := range r.Exceptions {
		if e := &r.Exceptions[i]; wanted[e.Line] && e.Structure >= 0 && e.To < 0 && !changed[e.Line][e.Structure-n.Lines[e.Line].First] && keep(e) {
			standing = append(standing, i)
		}
	}
	return r.withStanding(found, standing), nil
}

// withStanding puts exceptions of this result between those that were found anew by line, which are of other structures. They may be as
// many as a result has, so none is copied.
func (r *Result) withStanding(found [][]Exception, standing []int) []*Exception {
	slices.SortFunc(standing, func(a, b int) int {
		return cmp.Or(compareStructures(&r.Exceptions[a], &r.Exceptions[b]), cmp.Compare(a, b))
	})
	count := len(standing)
	for l := range found {
		count += len(found[l])
	}
	all := make([]*Exception, 0, count)
	before := func(e *Exception) {
		for ; len(standing) > 0 && (e == nil || compareStructures(&r.Exceptions[standing[0]], e) < 0); standing = standing[1:] {
			all = append(all, &r.Exceptions[standing[0]])
		}
	}
	for l := range found {
		for i := range found[l] {
			before(&found[l][i])
			all = append(all, &found[l][i])
		}
	}
	before(nil)
	return all
}

func compareStructures(a, b *Exception) int {
	return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Structure, b.Structure))
}

// assessAt puts the checks to the marked structures of a line and what hangs there.
func (n *Network) assessAt(checks []*Check, line int, at []bool, room *hearingRoom, keep func(e *Exception) bool) (kept []Exception) {
	v := visitor{n: n, line: line, resolved: room.resolved}
	base := v.base()
	var open []Exception
	var asked Exception // about, one after the other
	a := lineAssessor{n: n, checks: checks, asked: askedOf(checks, nil), line: line, hearingRoom: room.emptied(), each: func(check int, at Location, v Verdict) {
		if severity := checks[check].Severity; v.Outcome == NotAssessed && severity != Note && v.Reason.AskedBy() == "" {
			asked = Exception{at, check, v}
			if asked.Verdict.Severity = severity; keep(&asked) {
				open = append(open, asked)
			}
		}
	}}
	for k, marked := range at {
		if !marked {
			continue
		}
		a.exceptions = a.exceptions[:0]
		v.visitStructure(base, n.Lines[line].First+k, func(kind SubjectKind, s Subject, at Location) {
			if kind == OfStructure {
				a.worse.Class = s.Structure.Class // nobody asks what one class worse would ask for
			}
			a.put(kind, s, at)
		})
		slices.SortFunc(a.exceptions, func(x, y Exception) int { return n.compareExceptions(&x, &y) })
		for i := range a.exceptions {
			if keep(&a.exceptions[i]) {
				kept = append(kept, a.exceptions[i])
			}
		}
		kept, open = append(kept, open...), open[:0]
	}
	*room = a.hearingRoom
	return kept
}

// changedSince marks the structures of a line at which a check may be told something else than in an earlier network of the same
// structures. A check is told what a Subject holds: the criteria, which are the same, the line, the structure, its rows and
// those that repeat them, and how its strings compare with those around it.
func (n *Network) changedSince(was *Network, line int) []bool {
	l := &n.Lines[line]
	changed := make([]bool, l.End-l.First)
	if l.otherwise(&was.Lines[line]) != 0 {
		for k := range changed {
			changed[k] = true
		}
		return changed
	}
	for i := l.First; i < l.End; i++ {
		if !n.isLike(was, i) {
			const seen = 2 // structures that far off are told of a span here
			for beside := i - seen; beside <= i+seen; beside++ {
				if on, ok := n.within(l, beside); ok {
					changed[on-l.First] = true
				}
			}
		}
		other, now := n.runsOn[int32(i)]
		before, then := was.runsOn[int32(i)]
		changed[i-l.First] = changed[i-l.First] || other != before || now != then || n.misspelt[i] != was.misspelt[i]
		if !n.hangsLike(was, i) {
			changed[i-l.First] = true
			n.markCompared(was, l, i, changed)
		}
	}
	return changed
}

// asTold is all that a check is told of a line, but for its conductor and the catalogue.
func asTold(line *Line) Line {
	l := *line
	l.Conductor, l.Catalogue, l.CatalogueFaulty, l.route, l.circuitAt = nil, nil, nil, nil, nil
	l.Row.Set = nil                     // where its figures come from
	l.RowsPlaced = min(l.RowsPlaced, 1) // whether it has any
	l.Usual = slices.Clone(l.Usual)
	for i := range l.Usual {
		l.Usual[i].Strings = min(l.Usual[i].Strings, enoughStrings) // whether they are enough to tell
	}
	return l
}

// isLike tells whether what is kept of a structure is the same as in another network, but for the place of its rows.
func (n *Network) isLike(was *Network, i int) bool {
	a, b := n.structures[i], was.structures[i]
	if a.firstAssembly = b.firstAssembly; a != b || n.teeOf(i) != was.teeOf(i) {
		return false
	}
	if !n.profiles[i].equals(&was.profiles[i]) {
		return false
	}
	if here, there := &n.courses[i], &was.courses[i]; here != there && (here.row != there.row || n.crossedBy(i) != was.crossedBy(i) ||
		!sameBits([]float64{here.spanAheadM, here.deviationDeg}, []float64{there.spanAheadM, there.deviationDeg})) {
		return false
	}
	return n.isAroundLike(was, i)
}

// isAroundLike tells whether a structure stands among the zones as in another network.
func (n *Network) isAroundLike(was *Network, i int) bool {
	here, there := &n.around[i], &was.around[i]
	return here == there || n.siteOf(i) == was.siteOf(i) && math.Float32bits(here.nearZoneM) == math.Float32bits(there.nearZoneM)
}

// sameBits tells whether figures are the same bit by bit, also where they are unknown.
func sameBits(a, b []float64) bool {
	return slices.EqualFunc(a, b, func(x, y float64) bool { return math.Float64bits(x) == math.Float64bits(y) })
}

// hangsLike tells whether the rows of a structure are the same as in another network, and those that repeat them.
func (n *Network) hangsLike(was *Network, structure int) bool {
	rows := n.AssemblyRows(structure)
	if !slices.Equal(rows, was.AssemblyRows(structure)) {
		return false
	}
	for _, row := range rows {
		if !n.Project.Assemblies.isLike(&was.Project.Assemblies, row) || !n.Project.Observed[row].equals(was.Project.Observed[row]) {
			return false
		}
		repeats := n.repeatsOf(row)
		if !slices.Equal(repeats, was.repeatsOf(row)) {
			return false
		}
		for _, r := range repeats {
			if !n.Project.Assemblies.isLike(&was.Project.Assemblies, r.row) {
				return false
			}
		}
	}
	return true
}

// Equals tells whether two rows say the same; an angle that is not stated is equal to another.
func (r AssemblyRow) Equals(other AssemblyRow) bool {
	if math.Float32bits(r.VAngleDeg) != math.Float32bits(other.VAngleDeg) {
		return false
	}
	r.VAngleDeg, other.VAngleDeg = 0, 0
	return r == other
}

// markCompared marks the structures whose strings are compared with those of one that changed, now or before: in each duty that
// hangs there the nearest on either side.
func (n *Network) markCompared(was *Network, l *Line, structure int, changed []bool) {
	var duties [Guy + 1]bool
	for _, in := range [...]*Network{n, was} {
		for _, row := range in.AssemblyRows(structure) {
			duties[in.Project.Assemblies.saidOf(row).Duty] = true
		}
	}
	for duty := range duties {
		if !duties[duty] {
			continue
		}
		for _, step := range [...]int{-1, +1} {
			between := 0 // structures with the duty in both
			for i := structure + step; i >= l.First && i < l.End && between < runReach; i += step {
				now, then := n.hasDuty(i, Duty(duty)), was.hasDuty(i, Duty(duty))
				changed[i-l.First] = changed[i-l.First] || now || then
				if now && then {
					between++
				}
			}
		}
	}
}

func (n *Network) hasDuty(structure int, duty Duty) bool {
	return slices.ContainsFunc(n.AssemblyRows(structure), func(row uint32) bool { return n.Project.Assemblies.saidOf(row).Duty == duty })
}
