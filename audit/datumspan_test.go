package audit

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestDatumsOfASpan: what is known of the vertical datums of two levels.
func TestDatumsOfASpan(t *testing.T) {
	sketch := newSketch(t)
	for i := range 4 {
		sketch.structure("L", fmt.Sprint(i+1), 10+float64(i)/300, 50)
	}
	n := sketch.network()
	require.NoError(t, Derive(context.Background(), n, 1))
	n.Project.Terrain = []Terrain{{Vertical: "NAVD88"}, {Vertical: "EGM96"}, {}, {}, {Vertical: "egm96"}}
	for name, c := range map[string]struct {
		from, to uint16
		want     datums
	}{
		"stated": {0, 0, oneDatum}, "one raster": {1, 1, oneDatum}, "of one name": {2, 5, oneDatum}, "neither named": {3, 4, datumTaken},
		"stated and named": {0, 1, datumTaken}, "stated and not named": {3, 0, datumTaken}, "named and not": {1, 3, datumTaken},
		"two": {1, 2, datumsDiffer},
	} {
		t.Run(name, func(t *testing.T) {
			a, b := n.Project.Structures.Row(1), n.Project.Structures.Row(2)
			a.GroundM, b.GroundM, a.Terrain, b.Terrain = 100, 130, c.from, c.to
			require.Equal(t, c.want, n.datums(1, 2))
			require.Equal(t, c.want, n.datums(2, 1))
			s := n.Structure(0, 2)
			require.Equal(t, c.want == datumsDiffer, s.NoRiseBack == DatumsDiffer)
			require.Equal(t, c.want == datumsDiffer, math.IsNaN(s.HeightBackM))
			require.Equal(t, c.want == datumTaken, s.DatumTakenBack)
		})
	}
}

// TestLineOutsideItsRasters: where rasters are to give the levels, a line without any is not one that is judged without heights.
func TestLineOutsideItsRasters(t *testing.T) {
	for _, rasters := range []int{0, 1} {
		sketch := newSketch(t)
		sketch.p.Terrain = make([]Terrain, rasters)
		sketch.structure("L", "1", 10, 50)
		sketch.structure("L", "2", 10.003, 50)
		n := sketch.network()
		require.NoError(t, Derive(context.Background(), n, 1))
		require.Equal(t, rasters > 0, n.Lines[0].GroundStated)
		s := n.Structure(0, 0)
		require.Equal(t, GroundUnknown, s.NoRiseAhead)
	}
}
