package geo

import (
	"math/big"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"github.com/twpayne/go-geom"
	"github.com/twpayne/go-geom/xy"
	side "github.com/twpayne/go-geom/xy/orientation"
	"pgregory.net/rapid"
)

// rationalOrientation is the determinant in rational numbers.
func rationalOrientation(a, b, c orb.Point) side.Type {
	minus := func(x, y float64) *big.Rat {
		return new(big.Rat).Sub(new(big.Rat).SetFloat64(x), new(big.Rat).SetFloat64(y))
	}
	left := new(big.Rat).Mul(minus(b[0], a[0]), minus(c[1], a[1]))
	return side.Type(left.Cmp(new(big.Rat).Mul(minus(b[1], a[1]), minus(c[0], a[0]))))
}

func TestOrientationIsExact(t *testing.T) {
	a := orb.Point{-66.02355134273076, -19.310918439737545}
	b := orb.Point{-66.87960757959549, -19.541698700619694}
	c := orb.Point{-66.07708763423322, -19.32535104216195}
	require.Equal(t, side.CounterClockwise, rationalOrientation(a, b, c))
	require.Equal(t, side.CounterClockwise, orientation(a, b, c))
	require.Equal(t, side.Collinear, xy.OrientationIndex(geom.Coord(a[:]), geom.Coord(b[:]), geom.Coord(c[:])),
		"the library has become exact here: use it")

	drawAny := func(t *rapid.T, name string) orb.Point {
		return orb.Point{rapid.Float64().Draw(t, name+" x"), rapid.Float64().Draw(t, name+" y")}
	}
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawPoint(t, "a"), drawPoint(t, "b")
		near := between(a, b, rapid.Float64Range(-0.5, 1.5).Draw(t, "share"))
		for _, c := range []orb.Point{near, {near[0], drawPoint(t, "c")[1]}, a, b} {
			require.Equal(t, rationalOrientation(a, b, c), orientation(a, b, c), "%v %v %v", a, b, c)
		}
		p, q, r := drawAny(t, "p"), drawAny(t, "q"), drawAny(t, "r")
		require.Equal(t, rationalOrientation(p, q, r), orientation(p, q, r), "%v %v %v", p, q, r)
		require.Equal(t, rationalOrientation(p, q, q), orientation(p, q, q))
	})
}

func TestEdgesMeet(t *testing.T) {
	for _, c := range []struct {
		name       string
		a, b, c, d orb.Point
		want       bool
	}{
		{"cross", orb.Point{0, 0}, orb.Point{2, 2}, orb.Point{0, 2}, orb.Point{2, 0}, true},
		{"apart", orb.Point{0, 0}, orb.Point{2, 2}, orb.Point{3, 0}, orb.Point{4, 9}, false},
		{"boxes meet only", orb.Point{0, 0}, orb.Point{9, 9}, orb.Point{5, 0}, orb.Point{6, 5}, false},
		{"touch at an end", orb.Point{0, 0}, orb.Point{2, 2}, orb.Point{1, 1}, orb.Point{5, 0}, true},
		{"on one line, apart", orb.Point{0, 0}, orb.Point{1, 1}, orb.Point{2, 2}, orb.Point{3, 3}, false},
		{"on one line, end to end", orb.Point{0, 0}, orb.Point{2, 2}, orb.Point{2, 2}, orb.Point{3, 3}, true},
		{"parallel", orb.Point{0, 0}, orb.Point{2, 2}, orb.Point{0, 1}, orb.Point{2, 3}, false},
		{"point on an edge", orb.Point{1, 1}, orb.Point{1, 1}, orb.Point{0, 0}, orb.Point{3, 3}, true},
		{"point beside an edge", orb.Point{1, 2}, orb.Point{1, 2}, orb.Point{0, 0}, orb.Point{3, 3}, false},
		{"two points", orb.Point{1, 2}, orb.Point{1, 2}, orb.Point{1, 2}, orb.Point{1, 2}, true},
	} {
		require.Equal(t, c.want, edgesMeet(c.a, c.b, c.c, c.d), c.name)
		require.Equal(t, c.want, edgesMeet(c.d, c.c, c.a, c.b), c.name)
	}
}
