package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Where a wall 2.5 m away asks for 1.2 m of clearance, a string of 1.8 m may swing by 46.24° and one of 2.1 m by 38.25° (computed on a
// published derivation). The other rows are computed from the plane: the end of the string at (L·sin φ, L·cos φ) is then C from the wall.
func TestSwingToWall(t *testing.T) {
	for name, c := range map[string]struct{ length, away, clearance, above, lean, want float64 }{
		"shorter string":                   {1.8, 2.5, 1.2, 0, 0, 46.24},
		"longer string":                    {2.1, 2.5, 1.2, 0, 0, 38.25},
		"just out of reach":                {1.3, 2.5, 1.2, 0, 0, 90},
		"out of reach":                     {1.2, 2.5, 1.2, 0, 0, AnySwingDeg},
		"at rest exactly":                  {1.8, 1.2, 1.2, 0, 0, 0},
		"not even at rest":                 {1.8, 1.0, 1.2, 0, 0, -6.38},
		"no string fits":                   {0.5, 0.2, 1.2, 0, 0, NoSwingDeg},
		"no length":                        {0, 2.5, 1.2, 0, 0, math.NaN()},
		"length not known":                 {math.NaN(), 2.5, 1.2, 0, 0, math.NaN()},
		"distance of the wall not known":   {1.8, math.NaN(), 1.2, 0, 0, math.NaN()},
		"clearance of the case not stated": {1.8, 2.5, math.NaN(), 0, 0, math.NaN()},
		// tan β 0.1: β 5.7106°, the wall 2.5 m away 0.3 m above the attachment: asin((2.5·cos β − 0.3·sin β − 1.2)/1.8) − β
		"leaning wall":                    {1.8, 2.5, 1.2, 0.3, 0.1, 38.62},
		"leaning wall, level":             {1.8, 2.5, 1.2, 0, 0.1, 39.96},
		"leaning wall, at rest exactly":   {1.8, 1.2*math.Sqrt(1.01) + 0.18, 1.2, 0, 0.1, 0},
		"an upright wall, whatever level": {1.8, 2.5, 1.2, 5, 0, 46.24},
	} {
		got := SwingToWallDeg(c.length, Wall{c.away, c.above, c.lean}, c.clearance)
		requireDeg(t, c.want, got, name)
		if got > NoSwingDeg && got < AnySwingDeg { // its end is C from the wall
			lean, aside, below := math.Atan(c.lean), c.length*math.Sin(got*degree), c.length*math.Cos(got*degree)
			require.InDelta(t, c.clearance, (c.away-aside)*math.Cos(lean)-(c.above+below)*math.Sin(lean), 1e-9, name)
			require.InDelta(t, c.clearance, Wall{c.away, c.above, c.lean}.DistanceM(aside, below), 1e-9, name)
		}
	}
}

// A string of 1.8 m under a level arm keeps 1.2 m up to acos(1.2/1.8) (computed).
func TestSwingToArm(t *testing.T) {
	for name, c := range map[string]struct{ length, above, clearance, want float64 }{
		"level arm":                {1.8, 0, 1.2, 48.19},
		"longer string":            {2.1, 0, 1.2, 55.15},
		"as long as the clearance": {1.2, 0, 1.2, 0},
		"shorter than it":          {1.1, 0, 1.2, NoSwingDeg},
		"length not known":         {math.NaN(), 0, 1.2, math.NaN()},
		"no length":                {0, 0, 1.2, math.NaN()},
		"bracket above":            {1.8, 0.3, 1.2, 60},
		"bracket as far as asked":  {1.8, 1.2, 1.2, 90},
		"bracket farther":          {1.8, 2.1, 1.2, 120},
		"bracket out of reach":     {1.8, 3.1, 1.2, AnySwingDeg},
	} {
		got := SwingToArmDeg(c.length, c.above, c.clearance)
		requireDeg(t, c.want, got, name)
		if got > NoSwingDeg && got < AnySwingDeg {
			require.InDelta(t, c.clearance, c.above+c.length*math.Cos(got*degree), 1e-9, name)
		}
	}
}

// A string let out step by step from where it hangs at rest stops where its end comes nearer to the wall, or the arm, than it may: walls that lean
// either way and arms above the attachment and beneath it. The distance of the end is that of its foot on a line through two points of the wall.
func TestSwingIsAsFarAsTheStringGoes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(low, high float64, name string) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		wall := Wall{AwayM: draw(0.2, 4, "away"), AboveM: draw(-1, 2, "above"), Lean: draw(-1, 1, "lean")}
		length, clearance := draw(0.5, 3, "length"), draw(0.1, 2, "clearance")
		x0, z0, dx, dz := wall.AwayM, -wall.AboveM, -wall.Lean, 1.0 // z counts down from the attachment
		fromWall := func(deg float64) float64 {
			x, z := length*math.Sin(deg*degree), length*math.Cos(deg*degree)
			return ((x0-x)*dz - (z0-z)*dx) / math.Hypot(dx, dz)
		}
		fromArm := func(deg float64) float64 { return wall.AboveM + length*math.Cos(deg*degree) }
		for name, c := range map[string]struct {
			from func(deg float64) float64
			got  float64
		}{"wall": {fromWall, SwingToWallDeg(length, wall, clearance)}, "arm": {fromArm, SwingToArmDeg(length, wall.AboveM, clearance)}} {
			if c.from(0) < clearance {
				require.Less(t, c.got, 1e-9, name)
				continue
			}
			const step = 0.01
			far := 0.0
			for far < AnySwingDeg && c.from(far+step) >= clearance {
				far += step
			}
			require.InDelta(t, math.Min(far, AnySwingDeg), c.got, 2*step, name)
		}
	})
}

func requireDeg(t *testing.T, want, got float64, name string) {
	t.Helper()
	if math.IsNaN(want) {
		require.True(t, math.IsNaN(got), "%s: %v", name, got)
		return
	}
	require.InDelta(t, want, got, 0.005, name)
}

// Legs of 1 m at a right angle hang on points 1.4142 m apart; of 1.2247 m they make 2·asin(0.7071/1.2247) = 70.53°, and hang 1 m down (computed).
func TestLongerLegsOfAVSet(t *testing.T) {
	require.InDelta(t, 1-math.Sqrt(0.5), VSetDropM(1, math.Sqrt(1.5)-1, 90), 1e-12)
	require.InDelta(t, 0.146, VSetDropM(1.46, 0.146, 0), 1e-12)
	require.Zero(t, VSetDropM(1.46, 0, 90))
	require.True(t, math.IsNaN(VSetDropM(1.46, 0.146, math.NaN())))
}
