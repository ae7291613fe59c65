package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// WGS 84: semi-major axis in metres and the square of the first eccentricity.
//
// Source: NGA.STND.0036, World Geodetic System 1984 (a = 6378137 m, 1/f = 298.257223563).
const (
	semiMajorM     = 6378137.0
	flattening     = 1 / 298.257223563
	eccentricitySq = flattening * (2 - flattening)
)

// shortestDegreeM is less than any degree of a meridian (110 574.28 m at the equator), so that a difference of
// latitude times this is never more than the geodesic.
const shortestDegreeM = 110574.2

func degrees(rad float64) float64 { return rad * (180 / math.Pi) }
func radians(deg float64) float64 { return deg * (math.Pi / 180) }

func finite(p orb.Point) bool {
	return !math.IsNaN(p[0]-p[0]) && !math.IsNaN(p[1]-p[1])
}

// chordM is the straight distance through the ellipsoid between two meridians deltaLon degrees apart, measured at a
// latitude: no geodesic between these meridians is shorter as long as it starts and ends no nearer to the pole.
func chordM(deltaLon, lat float64) float64 {
	return 2 * semiMajorM * math.Cos(radians(lat)) * math.Abs(math.Sin(radians(deltaLon)/2))
}

// curvature returns the radii of curvature in metres along the meridian and across it.
func curvature(lat float64) (meridianM, acrossM float64) {
	sin := math.Sin(radians(lat))
	w := 1 - eccentricitySq*sin*sin
	acrossM = semiMajorM / math.Sqrt(w)
	return acrossM * (1 - eccentricitySq) / w, acrossM
}

// frame is a flat map in metres around some position, scaled for one latitude.
type frame struct {
	lonM, latM float64 // metres per degree
}

func frameAt(lat float64) frame {
	meridianM, acrossM := curvature(lat)
	return frame{lonM: radians(acrossM * math.Cos(radians(lat))), latM: radians(meridianM)}
}

// nearest returns where the straight edge from a to b comes nearest to p, as a share of the edge from 0 to 1, and how
// far that is in metres on the flat map.
func (f frame) nearest(p, a, b orb.Point) (share, distM float64) {
	ax, ay := (a[0]-p[0])*f.lonM, (a[1]-p[1])*f.latM
	dx, dy := (b[0]-a[0])*f.lonM, (b[1]-a[1])*f.latM
	if square := dx*dx + dy*dy; square > 0 {
		share = min(max(-(ax*dx+ay*dy)/square, 0), 1)
	}
	return share, length(ax+share*dx, ay+share*dy)
}

// boxM returns how far p is from a box in metres on the flat map, 0 inside.
func (f frame) boxM(p orb.Point, low, high [2]float64) float64 {
	dx := max(low[0]-p[0], p[0]-high[0], 0)
	dy := max(low[1]-p[1], p[1]-high[1], 0)
	return length(dx*f.lonM, dy*f.latM)
}

// length is math.Hypot without its care for extreme figures, which costs more than the rest of a look-up.
func length(x, y float64) float64 { return math.Sqrt(x*x + y*y) }

// between returns the position a share of the way along the straight edge from a to b.
func between(a, b orb.Point, share float64) orb.Point {
	return orb.Point{a[0] + share*(b[0]-a[0]), a[1] + share*(b[1]-a[1])}
}

// around returns the box that holds every position within distM metres of p. Longitudes may leave ±180.
func around(p orb.Point, distM float64) orb.Bound {
	dLat := distM / shortestDegreeM
	dLon := 360.0
	if highest := math.Abs(p[1]) + dLat; highest < 89.9 {
		if half := distM / (2 * semiMajorM * math.Cos(radians(highest))); half < 1 {
			dLon = 2 * degrees(math.Asin(half)) * (1 + 1e-9)
		}
	}
	return orb.Bound{Min: orb.Point{p[0] - dLon, p[1] - dLat}, Max: orb.Point{p[0] + dLon, p[1] + dLat}}
}
