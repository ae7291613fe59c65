package geo

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Crossings returns each two of so many spans, by their numbers and in their order, that cross each other between their ends and are not of one line. at tells the
// ends of a span and the line it is of; ok is false for one that is none. Those that cross at less than leastDeg run along each other, as circuits on shared
// towers do whose positions differ a little, and are none. So is what spans more than longestDeg, whose ends are in doubt.
//
// Spans are straight in longitude and latitude, as in Barriers.Crossed.
func Crossings(count int, leastDeg float64, at func(i int) (from, to orb.Point, line int32, ok bool)) (pairs [][2]int) {
	var there []uint64 // the cell of a grid, and behind it the span
	for i := range count {
		from, to, _, ok := at(i)
		if to = turnedTo(to, from[0]); ok && isSpan(from, to) {
			there = appendCells(there, i, from, to)
		}
	}
	slices.Sort(there)
	for first := 0; first < len(there); {
		last := first + 1
		for last < len(there) && there[last]>>cellShift == there[first]>>cellShift {
			last++
		}
		for k := first; k < last; k++ {
			i := int(there[k] & (1<<cellShift - 1))
			from, to, line, _ := at(i)
			for m := k + 1; m < last; m++ {
				j := int(there[m] & (1<<cellShift - 1))
				if c, d, other, _ := at(j); other != line && spansCross(from, to, c, d, leastDeg) {
					pairs = append(pairs, [2]int{i, j})
				}
			}
		}
		first = last
	}
	order := func(a, b [2]int) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) }
	slices.SortFunc(pairs, order)
	return slices.CompactFunc(pairs, func(a, b [2]int) bool { return order(a, b) == 0 })
}

// longestDeg is some 11 km, twice the longest spans there are (common practice).
const longestDeg = 0.1

// isSpan tells whether a span may go from one position to another, both of which are finite then.
func isSpan(from, to orb.Point) bool {
	return finite(from) && finite(to) && math.Abs(to[1]-from[1]) <= longestDeg && math.Abs(to[0]-from[0])*math.Cos(radians(from[1])) <= longestDeg
}

// The grid in which spans are looked for: some 430 m from south to north. Row and column take 33 bits, which leaves 31 for the span.
const (
	cellsPerDeg = 256
	cellColumns = 360 * cellsPerDeg
	cellShift   = 31
)

// appendCells adds a span under each cell of the grid that it passes.
func appendCells(there []uint64, span int, from, to orb.Point) []uint64 {
	const beyond = 1e-9 // what rounding may move it by, in cells
	if from[1] > to[1] {
		from, to = to, from
	}
	a := orb.Point{(from[0] + 180) * cellsPerDeg, (from[1] + 90) * cellsPerDeg}
	b := orb.Point{(to[0] + 180) * cellsPerDeg, (to[1] + 90) * cellsPerDeg}
	lonAt := func(lat float64) float64 {
		if b[1] == a[1] {
			return a[0]
		}
		return a[0] + (b[0]-a[0])*(min(max(lat, a[1]), b[1])-a[1])/(b[1]-a[1])
	}
	for row := math.Floor(a[1]); row <= b[1]; row++ {
		low, high := lonAt(row), lonAt(row+1)
		if b[1] == a[1] {
			high = b[0]
		}
		if low > high {
			low, high = high, low
		}
		for column := math.Floor(low - beyond); column <= high+beyond; column++ {
			turned := (int(column)%cellColumns + cellColumns) % cellColumns
			there = append(there, (uint64(row)*cellColumns+uint64(turned))<<cellShift|uint64(span))
		}
	}
	return there
}

// spansCross tells whether two spans cross each other between their ends, at leastDeg or more.
func spansCross(a, b, c, d orb.Point, leastDeg float64) bool {
	b, c = turnedTo(b, a[0]), turnedTo(c, a[0])
	d = turnedTo(d, c[0])
	if !boxesMeet(a, b, c, d) {
		return false
	}
	if orientation(a, b, c)*orientation(a, b, d) >= 0 || orientation(c, d, a)*orientation(c, d, b) >= 0 {
		return false
	}
	narrow := math.Cos(radians(a[1]))
	ux, uy, vx, vy := (b[0]-a[0])*narrow, b[1]-a[1], (d[0]-c[0])*narrow, d[1]-c[1]
	return math.Abs(ux*vy-uy*vx) >= math.Tan(radians(leastDeg))*math.Abs(ux*vx+uy*vy)
}
