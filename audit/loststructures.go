package audit

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"dryarc/geo"
)

// markLost marks the structures near one that is left out since it names no line or no number: it may stand between two of
// theirs or beyond their line's end, and then their spans and ends are others. So are the ruling spans and the length of
// the sections in which they stand.
func (n *Network) markLost() {
	lost := slices.Clone(n.Project.LostStructures)
	if len(lost) == 0 && len(n.unplaced) == 0 {
		return
	}
	slices.SortFunc(lost, func(a, b orb.Point) int { return cmp.Compare(a[1], b[1]) })
	for l := range n.Lines {
		line := &n.Lines[l]
		near, unplaced := n.markNear(line, lost), n.markUnplaced(line, 1)
		if !near && !unplaced {
			continue
		}
		for _, section := range n.Sections(l, n.heldInTension(l)) {
			if !section.Faulty {
				continue
			}
			for i, k := section.First, 0; k <= section.Spans && i >= 0; k++ {
				n.structures[i].mark(courseFaulty)
				i = n.next(line, i)
			}
		}
		n.markUnplaced(line, runReach) // with whose strings others are compared
	}
}

// markNear marks the structures of a line within its reach of one of some points, which are sorted by latitude, and those next
// to them with which strings are compared. The reach is more than the span across a structure that is left out, whatever
// the turn there.
func (n *Network) markNear(line *Line, points []orb.Point) (any bool) {
	const metresPerDegree = 110_000 // less than any degree of latitude
	reach := 0.0
	for i := line.First; i < line.End; i++ {
		reach = math.Max(reach, zeroIfNone(n.courses[i].spanAheadM))
	}
	reach = math.Max(2*reach, loneReachM)
	for i := line.First; i < line.End; i++ {
		here := n.Position(i)
		from, _ := slices.BinarySearchFunc(points, here[1]-reach/metresPerDegree, func(p orb.Point, latitude float64) int { return cmp.Compare(p[1], latitude) })
		for ; from < len(points) && points[from][1] <= here[1]+reach/metresPerDegree; from++ {
			if geo.Within(here, points[from], reach) {
				any = true
				for beside := max(i-runReach, line.First); beside <= min(i+runReach, line.End-1); beside++ {
					n.structures[beside].mark(courseFaulty)
				}
				break
			}
		}
	}
	return any
}

// loneReachM is the least reach: a line of a single structure has no span.
const loneReachM = 500.0

// StructuresLeftOut counts the structures that are on no line, since their position, their line or their number cannot be read.
func (n *Network) StructuresLeftOut() int { return len(n.unplaced) + len(n.Project.LostStructures) }

// MayHaveMoreStructures tells whether any of these may be of a line.
func (n *Network) MayHaveMoreStructures(line int) bool {
	l := &n.Lines[line]
	name := n.Project.Symbols.Text(l.Symbol)
	if slices.ContainsFunc(n.unplaced, func(lost UnplacedStructure) bool { return n.mayBeOf(l, name, &lost) }) {
		return true
	}
	for i := l.First; i < l.End; i++ {
		if n.structures[i].is(courseFaulty) { // near one that stands somewhere
			return true
		}
	}
	return false
}
