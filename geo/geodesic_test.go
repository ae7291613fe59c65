package geo

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"github.com/tidwall/geodesic"
	"pgregory.net/rapid"
)

func dms(deg, min, sec float64) float64 { return deg + min/60 + sec/3600 }

// Flinders Peak to Buninyong: Australian geodetic worked example (value from memory).
func TestInverseAgreesWithPublishedExample(t *testing.T) {
	flindersPeak := orb.Point{dms(144, 25, 29.52440), -dms(37, 57, 3.72030)}
	buninyong := orb.Point{dms(143, 55, 35.38390), -dms(37, 39, 10.15610)}
	there, back := Inverse(flindersPeak, buninyong), Inverse(buninyong, flindersPeak)
	require.InDelta(t, 54972.271, there.LengthM, 0.0005)
	require.InDelta(t, dms(306, 52, 5.37), there.AzimuthOut+360, 0.005/3600)
	require.InDelta(t, dms(127, 10, 25.07), back.AzimuthOut, 0.005/3600)
	require.InDelta(t, there.AzimuthIn+180, back.AzimuthOut, 1e-9)
}

func TestInverseWithoutLengthHasNoDirection(t *testing.T) {
	for name, pair := range map[string][2]orb.Point{
		"same position":                  {{10, 60}, {10, 60}},
		"both sides of the antimeridian": {{180, -17}, {-180, -17}},
		"pole under two longitudes":      {{0, 90}, {50, 90}},
	} {
		t.Run(name, func(t *testing.T) {
			leg := Inverse(pair[0], pair[1])
			require.Zero(t, leg.LengthM)
			require.True(t, math.IsNaN(leg.AzimuthOut) && math.IsNaN(leg.AzimuthIn), "%+v", leg)
		})
	}
	require.True(t, math.IsNaN(Inverse(orb.Point{0, 91}, orb.Point{0, 0}).LengthM))
	require.True(t, math.IsNaN(Inverse(orb.Point{math.Inf(1), 0}, orb.Point{0, 0}).LengthM))
}

func TestSpansAndDeviation(t *testing.T) {
	for _, c := range []struct {
		name                     string
		a, b, c                  orb.Point
		backM, aheadM, deviation float64
	}{ // computed (geodesics on WGS 84); the figures carry two decimals, the last of which is not always rounded
		{"60 north", orb.Point{10, 60}, orb.Point{10.010, 60}, orb.Point{10.015, 60.005}, 558.00, 623.01, -63.40},
		{"50 north", orb.Point{10, 50}, orb.Point{10.005, 50}, orb.Point{10.010, 50.001}, 358.48, 375.34, -17.24},
		{"antimeridian", orb.Point{179.995, -17}, orb.Point{-180, -17}, orb.Point{-179.996, -16.996}, 532.43, 614.32, -46.10},
		{"antimeridian, other sign", orb.Point{179.995, -17}, orb.Point{180, -17}, orb.Point{-179.996, -16.996}, 532.43, 614.32, -46.10},
	} {
		t.Run(c.name, func(t *testing.T) {
			back, ahead := Inverse(c.a, c.b), Inverse(c.b, c.c)
			require.InDelta(t, c.backM, back.LengthM, 0.01)
			require.InDelta(t, c.aheadM, ahead.LengthM, 0.01)
			require.InDelta(t, c.deviation, Deviation(back.AzimuthIn, ahead.AzimuthOut), 0.005)
		})
	}
}

// A chain along one parallel at 50° N with spans of 358 m turns by 0.0038° at each structure (computed): a parallel is
// no geodesic.
func TestParallelTurns(t *testing.T) {
	back := Inverse(orb.Point{10, 50}, orb.Point{10.005, 50})
	ahead := Inverse(orb.Point{10.005, 50}, orb.Point{10.010, 50})
	require.InDelta(t, 358.5, back.LengthM, 0.05)
	require.InDelta(t, -0.0038, Deviation(back.AzimuthIn, ahead.AzimuthOut), 0.00005)
}

// Planar cases: eastings and northings in metres; an azimuth is the angle from north (y) towards east (x).
// Expected turns computed; y grows to the left of a line that runs east, so they are to the left.
func TestDeviationOfPlanarAngles(t *testing.T) {
	azimuth := func(from, to orb.Point) float64 { return degrees(math.Atan2(to[0]-from[0], to[1]-from[1])) }
	for _, c := range []struct {
		next orb.Point
		left float64
	}{
		{orb.Point{600, 10.476}, 2.000},
		{orb.Point{600, 80.385}, 15.000},
		{orb.Point{600, 173.205}, 30.000},
		{orb.Point{450, 259.808}, 60.000},
		{orb.Point{300, 300}, 90.000},
	} {
		in, out := azimuth(orb.Point{0, 0}, orb.Point{300, 0}), azimuth(orb.Point{300, 0}, c.next)
		require.InDelta(t, -c.left, Deviation(in, out), 0.0005)

		// The same figure laid on the ellipsoid at the equator, where a degree of each axis is known in metres.
		flat := frameAt(0)
		onEarth := func(p orb.Point) orb.Point { return orb.Point{p[0] / flat.lonM, p[1] / flat.latM} }
		back := Inverse(onEarth(orb.Point{0, 0}), onEarth(orb.Point{300, 0}))
		ahead := Inverse(onEarth(orb.Point{300, 0}), onEarth(c.next))
		require.InDelta(t, -c.left, Deviation(back.AzimuthIn, ahead.AzimuthOut), 0.0005)
	}
}

func TestDeviationWraps(t *testing.T) {
	for _, c := range [][3]float64{
		{10, 20, 10}, {20, 10, -10}, {350, 10, 20}, {-170, 170, -20}, {170, -170, 20},
		{0, 180, 180}, {180, 0, 180}, {-90, 90, 180}, {0, -180, 180}, {0, 360, 0},
	} {
		require.Equal(t, c[2], Deviation(c[0], c[1]), "in %v out %v", c[0], c[1])
	}
	require.True(t, math.IsNaN(Deviation(math.NaN(), 1)))
	require.True(t, math.IsNaN(Deviation(1, math.NaN())))
	require.True(t, math.IsNaN(Deviation(1, math.Inf(1))))
}

func TestDeviationSigma(t *testing.T) {
	require.InDelta(t, 2.34, DeviationSigma(5, 300, 300), 0.005) // computed
	require.Zero(t, DeviationSigma(0, 300, 200))
	for _, c := range [][3]float64{{-1, 300, 300}, {5, 0, 300}, {5, 300, 0}, {5, math.NaN(), 300}, {math.NaN(), 1, 1}} {
		require.True(t, math.IsNaN(DeviationSigma(c[0], c[1], c[2])), "%v", c)
	}
}

// The formula against the sensitivity of the angle to a sideways error of each structure, taken by differences.
func TestDeviationSigmaAgainstDifferences(t *testing.T) {
	draw := rapid.Custom(func(t *rapid.T) [2]float64 {
		return [2]float64{rapid.Float64Range(150, 900).Draw(t, "back"), rapid.Float64Range(150, 900).Draw(t, "ahead")}
	})
	rapid.Check(t, func(t *rapid.T) {
		spans := draw.Draw(t, "spans")
		angle := func(y [3]float64) float64 {
			return degrees(math.Atan2(y[2]-y[1], spans[1]) - math.Atan2(y[1]-y[0], spans[0]))
		}
		var sum float64
		for i := range 3 {
			var up, down [3]float64
			up[i], down[i] = 0.01, -0.01
			slope := (angle(up) - angle(down)) / 0.02
			sum += slope * slope
		}
		require.InEpsilon(t, math.Sqrt(sum), DeviationSigma(1, spans[0], spans[1]), 1e-6)
	})
}

func TestWithin(t *testing.T) {
	a := orb.Point{179.999999, -17}
	for _, c := range []struct {
		name string
		a, b orb.Point
		tolM float64
		want bool
	}{
		{"same", a, a, 0, true},
		{"same, negative tolerance", a, a, -1, false},
		{"not finite", orb.Point{math.NaN(), 0}, orb.Point{math.NaN(), 0}, 1, false},
		{"both sides of the antimeridian", a, orb.Point{-179.999999, -17}, 0.5, true},
		{"both sides, too far", a, orb.Point{-179.99999, -17}, 0.5, false},
		{"one position written twice", orb.Point{180, 5}, orb.Point{-180, 5}, 0, true},
		{"over the pole", orb.Point{0, 89.999999}, orb.Point{180, 89.999999}, 0.5, true},
		{"half a world", orb.Point{0, 0}, orb.Point{180, 0}, 1e6, false},
		{"half a world allowed", orb.Point{0, 0}, orb.Point{180, 0}, 3e7, true},
		{"tolerance not a number", a, orb.Point{180, -17}, math.NaN(), false},
	} {
		require.Equal(t, c.want, Within(c.a, c.b, c.tolM), c.name)
	}
}

func drawPoint(t *rapid.T, name string) orb.Point {
	return orb.Point{rapid.Float64Range(-180, 180).Draw(t, name+" lon"), rapid.Float64Range(-88, 88).Draw(t, name+" lat")}
}

// drawFrom draws a position at some distance from another.
func drawFrom(t *rapid.T, from orb.Point, lowM, highM float64, name string) orb.Point {
	return drive(from, rapid.Float64Range(-180, 180).Draw(t, name+" azimuth"), rapid.Float64Range(lowM, highM).Draw(t, name+" m"))
}

func drive(from orb.Point, azimuth, distM float64) (to orb.Point) {
	geodesic.WGS84.Direct(from[1], from[0], azimuth, distM, &to[1], &to[0], nil)
	return to
}

func TestWithinIsTheGeodesic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawPoint(t, "a")
		b := drawFrom(t, a, 0, 2e5, "b")
		lengthM := Inverse(a, b).LengthM
		require.True(t, Within(a, b, lengthM))
		require.True(t, Within(a, b, lengthM*1.000001))
		if lengthM > 0.01 {
			require.False(t, Within(a, b, lengthM*0.999999))
		}
	})
}

func TestDeviationKeepsUnderReversalAndRotation(t *testing.T) {
	deviation := func(a, b, c orb.Point) float64 {
		return Deviation(Inverse(a, b).AzimuthIn, Inverse(b, c).AzimuthOut)
	}
	rapid.Check(t, func(t *rapid.T) {
		b := drawPoint(t, "b")
		a, c := drawFrom(t, b, 50, 2000, "a"), drawFrom(t, b, 50, 2000, "c")
		turn := deviation(a, b, c)

		require.InDelta(t, 0, math.Remainder(turn+deviation(c, b, a), 360), 1e-7)

		shift := rapid.Float64Range(-360, 360).Draw(t, "shift")
		rotate := func(p orb.Point) orb.Point { return orb.Point{math.Remainder(p[0]+shift, 360), p[1]} }
		require.InDelta(t, 0, math.Remainder(turn-deviation(rotate(a), rotate(b), rotate(c)), 360), 1e-6)
	})
}

func TestLengthsAddUpAlongAGeodesic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := drawPoint(t, "from")
		azimuth := rapid.Float64Range(-180, 180).Draw(t, "azimuth")
		steps := rapid.SliceOfN(rapid.Float64Range(10, 3000), 2, 12).Draw(t, "spans")
		points, total := []orb.Point{from}, 0.0
		for _, step := range steps {
			total += step
			points = append(points, drive(from, azimuth, total))
		}
		route, err := NewRoute([][]orb.Point{points})
		require.NoError(t, err)
		require.InDelta(t, total, route.LengthM(), 1e-6)
		require.InDelta(t, Inverse(from, points[len(points)-1]).LengthM, route.LengthM(), 1e-6)
	})
}
