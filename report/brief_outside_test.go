package report

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// The ends of the central share are those that stand there once all are sorted, however they lie.
func TestEndsOfAxes(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for name, figure := range map[string]func() float64{
		"spread":       func() float64 { return 360*random.Float64() - 180 },
		"alike":        func() float64 { return float64(random.IntN(3)) },
		"one":          func() float64 { return -7.25 },
		"one far away": func() float64 { return []float64{random.Float64() / 1e9, 179}[random.IntN(2000)/1999] },
		"next":         func() float64 { return 1 + float64(random.IntN(5))*0x1p-52 },
	} {
		for _, count := range []int{1, 2, 3, 50, 5000} {
			places := make([]orb.Point, count)
			var sorted [2][]float64
			for i := range places {
				for k := range sorted {
					places[i][k] = figure()
					sorted[k] = append(sorted[k], places[i][k])
				}
			}
			axes, ok := axesOf(slices.Values(places))
			require.True(t, ok)
			last := float64(count - 1)
			for k, want := range sorted {
				slices.Sort(want)
				require.Equal(t, [2]float64{want[0], want[count-1]}, [2]float64{axes[k].least, axes[k].most}, name)
				for e, place := range [2]int{int((1 - mainShare) / 2 * last), int(math.Ceil((1 + mainShare) / 2 * last))} {
					require.Equal(t, want[place], axes[k].ends[e].within[axes[k].ends[e].place], "%s, %d of %d", name, place, count)
				}
			}
		}
	}
	_, ok := axesOf(slices.Values([]orb.Point(nil)))
	require.False(t, ok)
}
