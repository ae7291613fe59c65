package geo

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestClosed(t *testing.T) {
	open := []float64{9, 49, 11, 49, 11, 51, 9, 51} // a square without its last position: the gap is as long as the side over there
	shut := []float64{9, 49, 11, 49, 11, 51, 9, 51, 9, 49}
	for _, c := range []struct {
		name  string
		given Polygon
		rings []int
		flat  []float64
		ends  []int
	}{
		{"a square", Polygon{open, []int{8}}, []int{1}, shut, []int{10}},
		{"closed already", Polygon{shut, []int{10}}, nil, shut, []int{10}},
		{"a hole", Polygon{append(append([]float64{}, shut...), 9.5, 49.5, 9.5, 50, 10, 50, 9.9, 49.5), []int{10, 18}}, []int{2},
			append(append([]float64{}, shut...), 9.5, 49.5, 9.5, 50, 10, 50, 9.9, 49.5, 9.5, 49.5), []int{10, 20}},
		{"both", Polygon{append(append([]float64{}, open...), 9.5, 49.5, 9.5, 50, 10, 50, 9.9, 49.5), []int{8, 16}}, []int{1, 2},
			append(append([]float64{}, shut...), 9.5, 49.5, 9.5, 50, 10, 50, 9.9, 49.5, 9.5, 49.5), []int{10, 20}},
		{"three positions, equal sides", Polygon{[]float64{0, 0, 1, 0, 0.5, 0.8}, []int{6}}, []int{1}, []float64{0, 0, 1, 0, 0.5, 0.8, 0, 0}, []int{8}},
		{"half of a ring", Polygon{[]float64{0, 0, 1, 0, 2, 0, 3, 0, 4, 1}, []int{10}}, nil, []float64{0, 0, 1, 0, 2, 0, 3, 0, 4, 1}, []int{10}},
		{"two positions", Polygon{[]float64{0, 0, 1, 0}, []int{4}}, nil, []float64{0, 0, 1, 0}, []int{4}},
		{"not a number", Polygon{[]float64{0, 0, 1, 0, math.Inf(1), 1, 0, 1}, []int{8}}, nil, []float64{0, 0, 1, 0, math.Inf(1), 1, 0, 1}, []int{8}},
		{"ends that do not fit", Polygon{open, []int{9}}, nil, open, []int{9}},
		{"nothing", Polygon{}, nil, nil, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, rings := c.given.Closed()
			require.Equal(t, c.rings, rings)
			require.Equal(t, c.flat, got.Flat)
			require.Equal(t, c.ends, got.Ends)
			if c.rings != nil {
				require.NoError(t, got.Validate())
				again, more := got.Closed()
				require.Nil(t, more)
				require.Equal(t, got, again)
			}
		})
	}
}

// A gap that is longer than every side by a metre stays open, one that is shorter by a metre is closed.
func TestTheGapIsMeasuredAgainstTheLongestSide(t *testing.T) {
	const metre = 1 / 111_000.0
	sides := func(gapDeg float64) Polygon {
		return Polygon{[]float64{0, 0, 0.005, 0.01, 0.005, 0.01 + 1*metre, 0, gapDeg}, []int{8}}
	}
	longest := Inverse([2]float64{0, 0}, [2]float64{0.005, 0.01}).LengthM
	up := Inverse([2]float64{0, 0}, [2]float64{0, 0.01}).LengthM / 0.01
	_, rings := sides((longest - 1) / up).Closed()
	require.Equal(t, []int{1}, rings)
	_, rings = sides((longest + 1) / up).Closed()
	require.Nil(t, rings)
}
