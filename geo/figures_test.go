package geo

import (
	"math"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// poly makes a polygon of rings.
func poly(rings ...[]orb.Point) Polygon {
	var p Polygon
	for _, r := range rings {
		for _, at := range r {
			p.Flat = append(p.Flat, at[0], at[1])
		}
		p.Ends = append(p.Ends, len(p.Flat))
	}
	return p
}

// square returns a closed ring with its lower left corner at x, y.
func square(x, y, size float64) []orb.Point {
	return []orb.Point{{x, y}, {x + size, y}, {x + size, y + size}, {x, y + size}, {x, y}}
}

// star returns a closed ring around a centre whose radius, in degrees, changes from position to position.
func star(centre orb.Point, radii []float64) []orb.Point {
	points := make([]orb.Point, 0, len(radii)+1)
	for i, radius := range radii {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(len(radii)))
		points = append(points, orb.Point{centre[0] + radius*cos, centre[1] + radius*sin})
	}
	return append(points, points[0])
}

// gridPoint has whole coordinates, so that borders can be met exactly and judged in integers.
type gridPoint struct{ x, y int }

// onEarth maps the grid to degrees without rounding.
func (g gridPoint) onEarth() orb.Point { return orb.Point{-67 + float64(g.x)/8, 46 - float64(g.y)/8} }

const gridSize = 12

func drawGridPoint(t *rapid.T, name string) gridPoint {
	whole := rapid.IntRange(0, gridSize)
	return gridPoint{whole.Draw(t, name+" x"), whole.Draw(t, name+" y")}
}

// drawGridRing draws any closed ring, crossing itself or not.
func drawGridRing(t *rapid.T, name string) []gridPoint {
	points := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) gridPoint { return drawGridPoint(t, "at") }), 3, 9).Draw(t, name)
	return append(points, points[0])
}

func gridPoly(rings [][]gridPoint) Polygon {
	var onEarth [][]orb.Point
	for _, r := range rings {
		var points []orb.Point
		for _, g := range r {
			points = append(points, g.onEarth())
		}
		onEarth = append(onEarth, points)
	}
	return poly(onEarth...)
}

func cross(a, b, c gridPoint) int { return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x) }

func gridOnEdge(p, a, b gridPoint) bool {
	return cross(a, b, p) == 0 && (a.x-p.x)*(b.x-p.x)+(a.y-p.y)*(b.y-p.y) <= 0
}

// gridPlace judges one ring in whole numbers: the border by products, the inside by how often the ring passes a ray
// that goes up from p.
func gridPlace(p gridPoint, r []gridPoint) place {
	passes := 0
	for i := range len(r) - 1 {
		a, b := r[i], r[i+1]
		if gridOnEdge(p, a, b) {
			return border
		}
		if a.x > b.x {
			a, b = b, a
		}
		if a.x <= p.x && p.x < b.x && (p.y-a.y)*(b.x-a.x) < (b.y-a.y)*(p.x-a.x) {
			passes++
		}
	}
	if passes%2 == 1 {
		return inside
	}
	return outside
}

// gridHolds tells whether a polygon holds p, border included.
func gridHolds(p gridPoint, rings [][]gridPoint) bool {
	if where := gridPlace(p, rings[0]); where != inside {
		return where == border
	}
	for _, hole := range rings[1:] {
		switch gridPlace(p, hole) {
		case border:
			return true
		case inside:
			return false
		}
	}
	return true
}

func gridArea(r []gridPoint) (twice int) {
	for i := range len(r) - 1 {
		twice += cross(r[0], r[i], r[i+1])
	}
	return twice
}

// gridMeet solves for the shares along both edges at which they meet, in whole numbers; on one line it compares ends.
func gridMeet(a, b, c, d gridPoint) bool {
	rx, ry, sx, sy := b.x-a.x, b.y-a.y, d.x-c.x, d.y-c.y
	det := rx*sy - ry*sx
	if det == 0 {
		return gridOnEdge(a, c, d) || gridOnEdge(b, c, d) || gridOnEdge(c, a, b) || gridOnEdge(d, a, b)
	}
	t := (c.x-a.x)*sy - (c.y-a.y)*sx
	u := (c.x-a.x)*ry - (c.y-a.y)*rx
	if det < 0 {
		det, t, u = -det, -t, -u
	}
	return 0 <= t && t <= det && 0 <= u && u <= det
}
