package geo

import (
	"math"
	"math/big"

	"github.com/paulmach/orb"
	side "github.com/twpayne/go-geom/xy/orientation"
)

// orientation tells on which side of the line from a to b the position c lies. It is exact for all finite coordinates.
//
// xy.OrientationIndex of go-geom would be the natural choice, but its slow path rounds to 53 bits: of positions
// computed to lie on a random edge it judged one in six hundred wrongly (TestOrientationIsExact shows one).
func orientation(a, b, c orb.Point) side.Type {
	left := float64((a[0] - c[0]) * (b[1] - c[1]))
	right := float64((a[1] - c[1]) * (b[0] - c[0]))
	// The relative part is Shewchuk's bound for this determinant, the absolute part covers underflow.
	bound := 3.4e-16*(math.Abs(left)+math.Abs(right)) + 1e-300
	switch det := left - right; {
	case det > bound:
		return side.CounterClockwise
	case det < -bound:
		return side.Clockwise
	}
	return exactOrientation(a, b, c)
}

func exactOrientation(a, b, c orb.Point) side.Type {
	var diff [4]float64
	exact := true
	for i, pair := range [4][2]float64{{a[0], c[0]}, {b[1], c[1]}, {a[1], c[1]}, {b[0], c[0]}} {
		var rest float64
		diff[i], rest = difference(pair[0], pair[1])
		exact = exact && rest == 0
	}
	if exact {
		if s, ok := compareProducts(diff[0], diff[1], diff[2], diff[3]); ok {
			return s
		}
	}
	minus := func(x, y float64) *big.Float {
		return wide(x).Sub(wide(x), wide(y))
	}
	left := minus(a[0], c[0])
	left.Mul(left, minus(b[1], c[1]))
	right := minus(a[1], c[1])
	right.Mul(right, minus(b[0], c[0]))
	return side.Type(left.Cmp(right))
}

// wide holds a float64 with enough bits for the exact product of two differences of any float64s.
func wide(x float64) *big.Float {
	return new(big.Float).SetPrec(4400).SetFloat64(x)
}

// difference returns x − y as the nearest float64 and what that leaves over.
func difference(x, y float64) (diff, rest float64) {
	diff = x - y
	back := x - diff
	return diff, (x - (diff + back)) + (back - y)
}

// compareProducts compares a·b with c·d exactly; ok is false where the products leave the range that allows it.
func compareProducts(a, b, c, d float64) (s side.Type, ok bool) {
	if (a == 0 || b == 0) && (c == 0 || d == 0) {
		return side.Collinear, true
	}
	p, q := float64(a*b), float64(c*d)
	if math.IsInf(p, 0) || math.IsInf(q, 0) {
		return side.Collinear, false
	}
	if p == q {
		if math.Abs(p) < 1e-280 {
			return side.Collinear, false
		}
		p, q = math.FMA(a, b, -p), math.FMA(c, d, -q)
	}
	switch {
	case p > q:
		return side.CounterClockwise, true
	case p < q:
		return side.Clockwise, true
	}
	return side.Collinear, true
}

// boxesMeet tells whether the boxes around the edges ab and cd have a position in common. Written out because
// xy.DoLinesOverlap of go-geom takes more than twice the time.
func boxesMeet(a, b, c, d orb.Point) bool {
	return min(a[0], b[0]) <= max(c[0], d[0]) && min(c[0], d[0]) <= max(a[0], b[0]) &&
		min(a[1], b[1]) <= max(c[1], d[1]) && min(c[1], d[1]) <= max(a[1], b[1])
}

// edgesMeet tells whether the edges ab and cd have a position in common, ends included. Either may be a single point.
func edgesMeet(a, b, c, d orb.Point) bool {
	return boxesMeet(a, b, c, d) &&
		orientation(a, b, c)*orientation(a, b, d) <= 0 &&
		orientation(c, d, a)*orientation(c, d, b) <= 0
}

// onEdge tells whether p lies on the edge ab, ends included.
func onEdge(p, a, b orb.Point) bool {
	return boxesMeet(p, p, a, b) && orientation(a, b, p) == side.Collinear
}
