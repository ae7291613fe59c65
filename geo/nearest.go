package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// sameDistanceM is how little two distances may differ to count as equal: one border written in either direction.
const sameDistanceM = 1e-6

// NearestWorse returns the area of a rank above rank that comes nearest to p, and the geodesic distance in metres from
// p to its border, 0 where p lies in it; ok is false where there is none within withinM. Of equally near areas the one
// of the highest rank is taken, then the one with the lowest key.
//
// The nearest point of an edge is found on a flat map scaled for the latitude halfway: up to 20 km and below 70° of
// latitude the distance is right within 1e-5 of itself. Near a pole it is a rough figure.
func (a *Areas) NearestWorse(p orb.Point, rank int, withinM float64) (key int, distM float64, ok bool) {
	if !finite(p) || !(withinM >= 0) {
		return 0, 0, false
	}
	reachM := stretched(p[1], withinM)
	window := around(p, reachM)
	var best nearArea
	for turn := -360.0; turn <= 360; turn += 360 {
		from := orb.Point{p[0] + turn, p[1]}
		low, high := window.Min, window.Max
		low[0], high[0] = low[0]+turn, high[0]+turn
		a.tree.Search(low, high, func(_, _ [2]float64, i int32) bool {
			part := &a.parts[i]
			if part.rank <= rank {
				return true
			}
			to, partM, found := part.bands.nearest(from, reachM)
			if near := (nearArea{part, partM, from, to}); found && near.nearer(best) {
				best, reachM = near, partM+sameDistanceM
			}
			return true
		})
	}
	if best.part == nil {
		return 0, 0, false
	}
	if best.distM > 0 {
		best.distM = Inverse(best.from, best.to).LengthM
	}
	if best.distM > withinM {
		return 0, 0, false
	}
	return best.part.key, best.distM, true
}

// stretched returns distM plus what a flat map scaled for latitude lat may be wrong over that distance.
func stretched(lat, distM float64) float64 {
	return distM * (1 + 2e-6 + (1+math.Abs(math.Tan(radians(lat))))*distM/semiMajorM)
}

type nearArea struct {
	part     *areaPart
	distM    float64
	from, to orb.Point
}

func (n nearArea) nearer(than nearArea) bool {
	switch {
	case than.part == nil:
		return true
	case math.Abs(n.distM-than.distM) > sameDistanceM:
		return n.distM < than.distM
	case n.part.rank != than.part.rank:
		return n.part.rank > than.part.rank
	}
	return n.part.key < than.part.key
}

// nearest returns the point of the polygon nearest to p and its distance, if it is nearer than limitM or p lies in it.
func (b *bands) nearest(p orb.Point, limitM float64) (to orb.Point, distM float64, found bool) {
	if b.locate(p) != outside {
		return p, 0, true
	}
	return b.nearestBorder(p, limitM)
}

// nearestBorder returns the point of the border nearest to p and its distance, if it is nearer than limitM.
func (b *bands) nearestBorder(p orb.Point, limitM float64) (to orb.Point, distM float64, found bool) {
	distM = limitM
	flat := frameAt(p[1])
	reachM := stretched(p[1], distM)
	low, high := b.band(p[1]-reachM/shortestDegreeM), b.band(p[1]+reachM/shortestDegreeM)
	for k := low; k <= high; k++ {
		for _, i := range b.listed[b.starts[k]:b.starts[k+1]] {
			if lowest, _ := b.reach(i); k != max(low, lowest) {
				continue
			}
			start, end := b.edge(i)
			share, roughM := flat.nearest(p, start, end)
			if !(roughM <= reachM) {
				continue
			}
			halfway := frameAt((p[1] + between(start, end, share)[1]) / 2)
			if share, fineM := halfway.nearest(p, start, end); fineM < distM {
				to, distM, found = between(start, end, share), fineM, true
				reachM = stretched(p[1], distM)
			}
		}
	}
	return to, distM, found
}
