package report

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A map is drawn to its end where it is short enough, and where it is not the part that is drawn is too long already.
func TestMapStopsWhereItIsTooLong(t *testing.T) {
	r := judged(t, demo(t))
	require.NotEmpty(t, r.Project.Zones)
	bound, known := mainBound(r)
	stopped, across := 0, acrossOf(r)
	for _, coarse := range []float64{1, 2, 8} {
		whole := coarseMapOf(r, nil, nil, bound, known, 190, 100, coarse, 1<<30, acrossOf(r))
		require.NotEmpty(t, whole.Routes)
		for _, most := range []int{0, 100, whole.bytes() / 2, whole.bytes() - 1, whole.bytes(), whole.bytes() + 1} {
			cut := coarseMapOf(r, nil, nil, bound, known, 190, 100, coarse, most, across)
			if whole.bytes() <= most {
				require.Equal(t, whole, cut)
				continue
			}
			require.Greater(t, cut.bytes(), most)
			if len(cut.Routes) == 0 {
				stopped++
			}
		}
	}
	require.Positive(t, stopped)
}
