package geo

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Closed returns the polygon with the rings closed that do not end where they start, and which they are, counted from 1.
// A ring of fewer than three positions, or whose gap is longer than the longest of its sides, stays open: what is missing
// there is more than the last position. So does a polygon whose ring ends do not fit, and a ring with a coordinate that is
// not finite. Where nothing is closed the polygon shares its coordinates.
func (p Polygon) Closed() (closed Polygon, rings []int) {
	start := 0
	for i, end := range p.Ends {
		if end < start || end > len(p.Flat) || end%2 != 0 {
			return p, nil
		}
		if closable(p.Flat[start:end]) {
			rings = append(rings, i+1)
		}
		start = end
	}
	return p.CloseRings(rings), rings
}

// CloseRings puts the first position of some rings, numbered from 1 and rising, behind their last. The result shares the coordinates where
// there are none to close.
func (p Polygon) CloseRings(rings []int) Polygon {
	if rings == nil {
		return p
	}
	closed := Polygon{Flat: make([]float64, 0, len(p.Flat)+2*len(rings)), Ends: make([]int, len(p.Ends))}
	start := 0
	for i, end := range p.Ends {
		closed.Flat = append(closed.Flat, p.Flat[start:end]...)
		if slices.Contains(rings, i+1) {
			closed.Flat = append(closed.Flat, p.Flat[start], p.Flat[start+1])
		}
		closed.Ends[i] = len(closed.Flat)
		start = end
	}
	return closed
}

// closable tells whether a ring is open by no more than its longest side.
func closable(flat []float64) bool {
	at := func(i int) orb.Point { return orb.Point{flat[2*i], flat[2*i+1]} }
	count := len(flat) / 2
	if count < 3 || at(0) == at(count-1) {
		return false
	}
	var longestM float64
	for i := range count - 1 {
		longestM = max(longestM, Inverse(at(i), at(i+1)).LengthM)
	}
	gapM := Inverse(at(count-1), at(0)).LengthM
	return gapM <= longestM*(1+1e-9) && !math.IsInf(longestM, 0) // NaN is false
}
