package report

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// A figure at a place is the one that stands there once all are sorted, however they lie.
func TestFigureAt(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for name, figure := range map[string]func() float64{
		"spread":       func() float64 { return 360*random.Float64() - 180 },
		"alike":        func() float64 { return float64(random.IntN(3)) },
		"one":          func() float64 { return -7.25 },
		"one far away": func() float64 { return []float64{random.Float64() / 1e9, 179}[random.IntN(2000)/1999] },
		"next":         func() float64 { return 1 + float64(random.IntN(5))*0x1p-52 },
	} {
		for _, count := range []int{1, 2, 3, 5000} {
			figures := make([]float64, count)
			for i := range figures {
				figures[i] = figure()
			}
			sorted := slices.Sorted(slices.Values(figures))
			of, ok := mainStretch(slices.Values(figures))
			require.True(t, ok)
			require.Equal(t, [2]float64{sorted[0], sorted[count-1]}, [2]float64{of.least, of.most}, name)
			for _, place := range []int{0, 1, count / 100, count / 2, count - 2, count - 1} {
				if place = max(place, 0); place < count {
					require.Equal(t, sorted[place], figureAt(slices.Values(figures), of, place), "%s, %d of %d", name, place, count)
				}
			}
		}
	}
	_, ok := mainStretch(slices.Values([]float64(nil)))
	require.False(t, ok)
}
