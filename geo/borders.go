package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// EachBorder visits the polygons of the areas whose border comes within withinM metres of p, whether they hold it or not, with the point of the
// border that is nearest to p and the distance to it, as right as NearestWorse has it. A longitude of the point may lie beyond ±180, on the side
// from which p is seen.
func (a *Areas) EachBorder(p orb.Point, withinM float64, visit func(from, to orb.Point, distM float64)) {
	if !finite(p) || !(withinM >= 0) {
		return
	}
	reachM := stretched(p[1], withinM)
	window := around(p, reachM)
	for turn := -360.0; turn <= 360; turn += 360 {
		from := orb.Point{p[0] + turn, p[1]}
		low, high := window.Min, window.Max
		low[0], high[0] = low[0]+turn, high[0]+turn
		a.tree.Search(low, high, func(_, _ [2]float64, i int32) bool {
			if to, _, found := a.parts[i].bands.nearestBorder(from, reachM); found {
				if distM := Inverse(from, to).LengthM; distM <= withinM {
					visit(from, to, distM)
				}
			}
			return true
		})
	}
}

// Beside returns the position some metres to the east and to the north of p on a flat map scaled for its latitude, with a longitude within ±180.
// Up to 20 km and below 70° of latitude it is right within a thousandth of the distance.
func Beside(p orb.Point, eastM, northM float64) orb.Point {
	halfway := frameAt(p[1] + northM/2/shortestDegreeM)
	at := orb.Point{p[0] + eastM/halfway.lonM, p[1] + northM/halfway.latM}
	if math.Abs(at[0]) > 180 {
		at[0] = math.Remainder(at[0], 360)
	}
	return at
}
