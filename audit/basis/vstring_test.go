package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// barsHold finds what the tops of two straight bars bear that hang from two points and hold a load between them, from moments alone: about the line
// through the points, which says how far the bars turn out of the upright plane, then of each bar about its own top. Each bar is of the length
// 1 and of a weight. A top that would have to push is below 0 along its bar.
func barsHold(across, along, down, weight, angle float64) (tops [2]float64, taut bool) {
	half := angle / 2 * degree
	// along·cos φ = (down + 2·weight/2)·sin φ
	out := leastAt(-math.Pi/2, math.Pi/2, func(phi float64) float64 { return (down+weight)*math.Sin(phi) - along*math.Cos(phi) })
	// In the plane of the bars the weight acts by cos φ, and square to it on the points alone.
	load, each := along*math.Sin(out)+down*math.Cos(out), weight*math.Cos(out)
	// The lower ends bear x and z, which make up the load; of each bar z·sin α = ±x·cos α − each·sin α/2 about its top.
	at := math.Tan(half)
	z := [2]float64{(load + across/at) / 2, (load - across/at) / 2}
	taut = true
	for i, lower := range z {
		x := (lower + each/2) * at // which the moment about the top asks for
		top := lower + each
		square := weight * math.Sin(out) / 2 // of a bar's weight, half at either end
		tops[i] = math.Sqrt(x*x + top*top + square*square)
		taut = taut && x > 0
	}
	return tops, taut
}

// The top unit of a leg bears what two straight bars of its weight put on their tops.
func TestWeightOfVStrings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(low, high float64, name string) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		v := VString{AcrossN: draw(0, 20, "across"), AlongN: draw(-20, 20, "along"), DownN: draw(0.1, 20, "down"), OwnN: draw(0.001, 5, "weight"), AngleDeg: draw(20, 150, "angle")}
		v.YokeN = v.OwnN
		tops, taut := barsHold(v.AcrossN, v.AlongN, v.DownN, v.OwnN, v.AngleDeg)
		require.Equal(t, v, v.Worse())
		if taut {
			require.InEpsilon(t, max(tops[0], tops[1]), v.TopN(), 1e-9)
		} else { // the one leg is a bar in line with what hangs on it
			require.InEpsilon(t, Resultant(Resultant(v.AcrossN, v.AlongN), v.DownN+1.5*v.OwnN), v.TopN(), 1e-9)
		}
		require.GreaterOrEqual(t, v.TopN(), VLegLoad(v.AcrossN, VPlaneLoad(v.AlongN, v.DownN), v.AngleDeg)*(1-1e-12))
	})
}

// 58 752 N on legs of 120° and 2118 N each: 29 376 + 1059 at tan 60° and 29 376 + 2118 down make 61.41 kN, of which 58.752 kN without the weight (computed).
func TestWeightOfAVString(t *testing.T) {
	v := VString{DownN: 58752, YokeN: 2118, OwnN: 2118, AngleDeg: 120}
	require.InDelta(t, 61407, v.Worse().TopN(), 1)
	v.DownN = -58752
	require.Equal(t, VString{DownN: -58752, AngleDeg: 120}, v.Worse(), "what is lifted bears no more by its weight")
	require.InDelta(t, 58752, v.Worse().TopN(), 1e-6)
	require.InDelta(t, 1059, VString{OwnN: 2118, AngleDeg: 120}.TopN(), 1e-9, "nothing but its own half")
}
