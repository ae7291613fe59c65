package audit

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestErrorsOfRasters: the standard error of a level is that of its raster, else the criterion's, and 0 of one that is stated.
func TestErrorsOfRasters(t *testing.T) {
	sketch := newSketch(t)
	for i := range 3 {
		sketch.structure("L", fmt.Sprint(i+1), 10+float64(i)/300, 50)
	}
	n := sketch.network()
	require.NoError(t, Derive(context.Background(), n, 1))
	n.Project.Terrain = []Terrain{{AccuracyM: 3}, {}}
	unstated, none := NotStated(), math.NaN()
	for name, c := range map[string]struct {
		of        [3]uint16
		criterion Number
		want      [3]float64
		any, left bool
	}{
		"none from a raster":        {[3]uint16{}, Stated(5), [3]float64{}, false, false},
		"its own":                   {[3]uint16{1, 1, 1}, unstated, [3]float64{3, 3, 3}, true, false},
		"its own before the others": {[3]uint16{1, 2, 0}, Stated(5), [3]float64{3, 5, 0}, true, true},
		"of one alone":              {[3]uint16{1, 2, 0}, unstated, [3]float64{3, none, 0}, true, true},
		"of none":                   {[3]uint16{2, 2, 2}, unstated, [3]float64{none, none, none}, false, true},
	} {
		t.Run(name, func(t *testing.T) {
			for i, number := range c.of {
				n.Project.Structures.Row(i).Terrain = number
			}
			st := n.Structure(0, 1)
			s := Subject{Criteria: &Criteria{TerrainAccuracyM: c.criterion}, Structure: &st}
			got, any := s.TerrainErrors()
			require.InDeltaSlice(t, c.want[:], got[:], 0)
			require.Equal(t, c.any, any)
			require.Equal(t, c.left, n.leavesAccuracyOut(0))
		})
	}
}

// TestWhyRastersHaveNoLevel: what is not assessed for want of a level says why the rasters have none, of the structure itself and of a span.
func TestWhyRastersHaveNoLevel(t *testing.T) {
	sketch := newSketch(t)
	for i := range 3 {
		sketch.structure("L", fmt.Sprint(i+1), 10+float64(i)/300, 50)
	}
	n := sketch.network()
	require.NoError(t, Derive(context.Background(), n, 1))
	for _, reason := range []Reason{NoReason, GroundOutsideRasters, GroundVoid, GroundBeyond, GroundTorn} {
		for i := range 3 {
			row := n.Project.Structures.Row(i)
			row.GroundM, row.NoGround = 100, NoReason
		}
		row := n.Project.Structures.Row(1)
		row.GroundM, row.NoGround = math.NaN(), reason
		want := reason
		if reason == NoReason {
			want = GroundUnknown
		}
		here, beside := n.Structure(0, 1), n.Structure(0, 0)
		s := Subject{Structure: &here}
		require.Equal(t, want, s.LacksGround())
		require.Equal(t, want, s.groundReason())
		s.Structure = &beside
		require.Equal(t, NoReason, s.LacksGround())
		require.Equal(t, want, beside.NoRiseAhead)
		require.Equal(t, want, s.groundReason())
	}
}
