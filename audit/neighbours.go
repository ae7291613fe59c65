package audit

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"dryarc/geo"
)

// sharedWithinM is how near structures of two lines stand to be one structure.
const sharedWithinM = 0.5

// neighbour is a pair of structures of different lines that stand within a tolerance of each other.
type neighbour struct {
	a, b         int32 // structures
	lineA, lineB int32
	withinShared bool // within sharedWithinM
	// Within the tolerance of tees of either line.
	withinReachOfA, withinReachOfB bool
}

// neighbours finds all pairs of structures of different lines that stand near each other, each pair both ways round,
// ordered by the first structure, then the second. Structures are sorted into bands of latitude and by longitude
// within them, so that the work grows with the number of structures and of pairs.
func (n *Network) neighbours() []neighbour {
	reachM := sharedWithinM
	for i := range n.Lines {
		reachM = max(reachM, n.Criteria(i).TeeToleranceM.Value)
	}
	const metresPerDegree = 110_000 // less than any degree of latitude, so that no neighbour is missed
	band := reachM / metresPerDegree
	type spot struct {
		lon         float64
		band, index int32 // less than 20 million bands, see sharedWithinM
	}
	spots := make([]spot, 0, len(n.structures))
	for i := range n.structures {
		p := n.Position(i)
		s := spot{p[0], int32(math.Floor(p[1] / band)), int32(i)}
		spots = append(spots, s)
		if s.lon > 180-edgeDeg { // the other side of the antimeridian
			s.lon -= 360
			spots = append(spots, s)
		}
	}
	slices.SortFunc(spots, func(x, y spot) int {
		if x.band != y.band {
			return cmp.Compare(x.band, y.band)
		}
		return cmp.Compare(x.lon, y.lon)
	})

	lineOf := n.lineOfStructures()
	var pairs []neighbour
	consider := func(i, j int32) {
		if lineOf[i] == lineOf[j] {
			return
		}
		x, y := n.Position(int(i)), n.Position(int(j))
		pair := neighbour{a: i, b: j, lineA: lineOf[i], lineB: lineOf[j],
			withinShared: geo.Within(x, y, sharedWithinM)}
		within := func(line int32) bool { return geo.Within(x, y, n.Criteria(int(line)).TeeToleranceM.Value) }
		pair.withinReachOfA, pair.withinReachOfB = within(pair.lineA), within(pair.lineB)
		if pair.withinShared || pair.withinReachOfA || pair.withinReachOfB {
			pairs = append(pairs, pair)
			pair.a, pair.b, pair.lineA, pair.lineB = j, i, pair.lineB, pair.lineA
			pair.withinReachOfA, pair.withinReachOfB = pair.withinReachOfB, pair.withinReachOfA
			pairs = append(pairs, pair)
		}
	}
	above := 0
	for i, s := range spots {
		lat := n.Position(int(s.index))[1]
		reach := band / max(math.Cos((math.Abs(lat)+band)*math.Pi/180), 1e-6)
		for j := i + 1; j < len(spots) && spots[j].band == s.band && spots[j].lon <= s.lon+reach; j++ {
			consider(s.index, spots[j].index)
		}
		for above < len(spots) && (spots[above].band <= s.band || spots[above].band == s.band+1 && spots[above].lon < s.lon-reach) {
			above++
		}
		for j := above; j < len(spots) && spots[j].band == s.band+1 && spots[j].lon <= s.lon+reach; j++ {
			consider(s.index, spots[j].index)
		}
	}
	compare := func(x, y neighbour) int { return cmp.Or(cmp.Compare(x.a, y.a), cmp.Compare(x.b, y.b)) }
	slices.SortFunc(pairs, compare)
	pairs = slices.CompactFunc(pairs, func(x, y neighbour) bool { return compare(x, y) == 0 })
	return append(make([]neighbour, 0, len(pairs)), pairs...) // which is kept
}

// edgeDeg is how near to the antimeridian a structure is also looked for on the other side of it.
const edgeDeg = 0.01

// hasNeighboursOf tells whether the pairs of structures near each other are those of another network with the same structures.
func (n *Network) hasNeighboursOf(was *Network) bool {
	for i := range n.Lines {
		if n.Criteria(i).TeeToleranceM.Value != was.Criteria(i).TeeToleranceM.Value {
			return false
		}
	}
	return true
}

// markNetwork finds what the lines are to each other: structures they share, tees, and lines that run on under
// another name.
func (n *Network) markNetwork() {
	pairs := n.near
	n.runsOn = map[int32]int32{}
	n.tees = map[int32]int32{}
	sharing := map[[2]int32]int{}
	n.beside = map[[2]int32]bool{}
	for _, p := range pairs {
		n.beside[[2]int32{p.lineA, p.lineB}] = true
		if p.withinShared {
			n.structures[p.a].mark(sharedPlace)
			sharing[[2]int32{p.lineA, p.lineB}]++
		}
		a, b := &n.structures[p.a], &n.structures[p.b]
		lineA, lineB := &n.Lines[p.lineA], &n.Lines[p.lineB]
		unread := lineA.Row.Faulty.Has(CellVoltage) || lineB.Row.Faulty.Has(CellVoltage)
		if !p.withinReachOfA || !unread && !sameVoltage(lineA, lineB) || !n.endsLine(p.lineB, int(p.b)) || !b.is(terminal) {
			continue
		}
		switch {
		case unread && (!a.is(terminal) || n.endsLine(p.lineA, int(p.a)) && n.runOn(p)):
			a.mark(teeFaulty)
		case unread:
		case !a.is(terminal):
			if n.teeOf(int(p.a)) < 0 && !n.nextStandsOn(p, pairs) {
				n.tees[p.a] = p.lineB
			}
		case n.endsLine(p.lineA, int(p.a)) && n.runOn(p):
			if _, known := n.runsOn[p.a]; !known {
				n.runsOn[p.a] = p.lineB
			}
		}
	}
	n.shared = sortedPairs(sharing)
}

// teeOf is the line that ends at a structure of another, −1 for none.
func (n *Network) teeOf(structure int) int32 {
	if line, ends := n.tees[int32(structure)]; ends {
		return line
	}
	return nowhere
}

// nextStandsOn tells whether the structure next to the ending line's last also stands on the other line, so that the two
// share structures and there is no tee.
func (n *Network) nextStandsOn(p neighbour, pairs []neighbour) bool {
	next := int32(n.inward(p.lineB, int(p.b)))
	if next < 0 {
		return false
	}
	from, _ := slices.BinarySearchFunc(pairs, next, func(q neighbour, want int32) int { return cmp.Compare(q.a, want) })
	for ; from < len(pairs) && pairs[from].a == next; from++ {
		if q := &pairs[from]; q.lineB == p.lineA && (q.withinShared || q.withinReachOfB) {
			return true
		}
	}
	return false
}

// runOn tells whether two lines whose ends meet go on within the deviation limit, as one line under two names does.
func (n *Network) runOn(p neighbour) bool {
	before, after := n.inward(p.lineA, int(p.a)), n.inward(p.lineB, int(p.b))
	if before < 0 || after < 0 {
		return false
	}
	in := geo.Inverse(n.Position(before), n.Position(int(p.a))).AzimuthIn
	out := geo.Inverse(n.Position(int(p.b)), n.Position(after)).AzimuthOut
	limit := n.Structure(int(p.lineA), int(p.a)).DeviationLimitDeg
	return math.Abs(geo.Deviation(in, out)) <= limit
}

// Beside tells whether two lines come so near to each other somewhere that what the one is may tell on the other.
func (n *Network) Beside(line, other int) bool { return n.beside[[2]int32{int32(line), int32(other)}] }

// sharedPair is one line and another that stands on its structures.
type sharedPair struct {
	line int
	with SharedLine
}

func sortedPairs(shared map[[2]int32]int) []sharedPair {
	pairs := make([]sharedPair, 0, len(shared))
	for lines, count := range shared {
		pairs = append(pairs, sharedPair{int(lines[0]), SharedLine{int(lines[1]), count}})
	}
	slices.SortFunc(pairs, func(a, b sharedPair) int {
		return cmp.Or(cmp.Compare(a.line, b.line), cmp.Compare(a.with.Line, b.with.Line))
	})
	return pairs
}

// SharedLine is a line that stands on structures of another.
type SharedLine struct{ Line, Structures int }

// SharesWith lists the lines that stand on structures of a line, in order, with the number of structures they share.
// Lines that share several run in parallel there.
func (n *Network) SharesWith(line int) (lines []SharedLine) {
	from := sort.Search(len(n.shared), func(i int) bool { return n.shared[i].line >= line })
	for ; from < len(n.shared) && n.shared[from].line == line; from++ {
		lines = append(lines, n.shared[from].with)
	}
	return lines
}
