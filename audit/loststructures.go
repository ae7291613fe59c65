package audit

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"dryarc/geo"
)

// markLost marks the lines near a structure that is left out since it names no line or no number: it may be one of theirs, and
// then their spans, their ends and all that follows from them are others. Near is within the longest span of the line,
// which is the span across a structure that is left out of it, or one as long beyond its end.
func (n *Network) markLost() {
	lost := slices.Clone(n.Project.LostStructures)
	if len(lost) == 0 {
		return
	}
	slices.SortFunc(lost, func(a, b orb.Point) int { return cmp.Compare(a[1], b[1]) })
	for l := range n.Lines {
		line := &n.Lines[l]
		line.CourseFaulty = line.CourseFaulty || n.standsNear(line, lost)
	}
}

// standsNear tells whether a structure of a line stands within the line's longest span of one of some points, which are
// sorted by latitude.
func (n *Network) standsNear(line *Line, points []orb.Point) bool {
	const metresPerDegree = 110_000 // less than any degree of latitude
	reach := loneReachM
	for i := line.First; i < line.End; i++ {
		reach = math.Max(reach, zeroIfNone(n.structures[i].spanAheadM))
	}
	for i := line.First; i < line.End; i++ {
		here := n.Position(i)
		from, _ := slices.BinarySearchFunc(points, here[1]-reach/metresPerDegree, func(p orb.Point, latitude float64) int { return cmp.Compare(p[1], latitude) })
		for ; from < len(points) && points[from][1] <= here[1]+reach/metresPerDegree; from++ {
			if geo.Within(here, points[from], reach) {
				return true
			}
		}
	}
	return false
}

// loneReachM is how near a structure that is left out must stand at least, whatever the spans of a line: one of a single structure
// has none.
const loneReachM = 500.0
