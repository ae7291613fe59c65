package geo

import (
	"errors"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// loops is a ring of rectangles on a small grid, the others cut to from a corner of the first, and how often it winds around each square of the
// grid.
func loops(random *rand.Rand, count int, large bool) (ring []orb.Point, windings [8][8]int) {
	for range count {
		west, south := random.IntN(6), random.IntN(6)
		east, north := west+1+random.IntN(7-west), south+1+random.IntN(7-south)
		if large && ring == nil {
			west, south, east, north = 0, 0, 7, 7
		}
		x, y := [2]float64{float64(west), float64(east)}, [2]float64{float64(south), float64(north)}
		corners := []orb.Point{{x[0], y[0]}, {x[1], y[0]}, {x[1], y[1]}, {x[0], y[1]}}
		turn := 1
		if random.IntN(2) == 0 {
			corners[1], corners[3], turn = corners[3], corners[1], -1
		}
		first := random.IntN(4)
		for k := range 5 {
			ring = append(ring, corners[(first+k)%4])
		}
		ring = append(ring, ring[0])
		for i := west; i < east; i++ {
			for j := south; j < north; j++ {
				windings[i][j] += turn
			}
		}
	}
	return ring, windings
}

// What winding rule and even-odd rule read differently is found, and nothing else is taken for that: counted square by square.
func TestReadTwoWaysSquareBySquare(t *testing.T) {
	random := rand.New(rand.NewPCG(25, 4))
	found := map[error]int{}
	for range 40_000 {
		var rings [][]orb.Point
		var windings [][8][8]int
		for k := range 1 + random.IntN(3) {
			ring, around := loops(random, 1+random.IntN(3-min(k, 2)), k == 0 && random.IntN(2) == 0)
			rings, windings = append(rings, ring), append(windings, around)
		}
		twoWays := false
		for i := range 8 {
			for j := range 8 {
				holes := 0
				for k := range windings {
					w := windings[k][i][j]
					twoWays = twoWays || w != 0 && w%2 == 0
					if k > 0 && w != 0 {
						holes++
					}
				}
				twoWays = twoWays || holes > 1 || holes == 1 && windings[0][i][j] == 0
			}
		}
		err := poly(rings...).Validate()
		var where *PolygonError
		switch {
		case err == nil:
			require.False(t, twoWays, "%v", rings)
			found[nil]++
		case errors.As(err, &where):
			if strings.Contains(where.Detail, "lies beside") || strings.Contains(where.Detail, "lies in ring") { // else cuts, which enclose nothing, may cross or lie outside
				require.True(t, twoWays, "%v: %v", err, rings)
				found[where.Err]++
			}
		}
	}
	for _, kind := range []error{nil, ErrWindsAgain, ErrHolesOverlap, ErrHoleNotInRing} {
		require.Greater(t, found[kind], 30, "%v of %v", kind, found)
	}
}
