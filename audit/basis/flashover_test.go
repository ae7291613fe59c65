package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestGapFormulas(t *testing.T) {
	// IEC 60071-2:2018 formulas (published); the numbers are computed on them.
	lightning, err := GapLightning(3, DefaultGapFactor)
	require.NoError(t, err)
	require.InDelta(t, 1693.35, lightning, 0.005) // (0.74 + 0.26·1.25)·530·3
	switching, err := GapSwitching(3, DefaultGapFactor)
	require.NoError(t, err)
	require.InDelta(t, 1170.58, switching, 0.01) // 1.25·1080·ln 2.38
	rodPlane, err := GapLightning(1, 1)
	require.NoError(t, err)
	require.InDelta(t, 530, rodPlane, 1e-9)
}

func TestGapOutOfRange(t *testing.T) {
	for _, c := range []struct{ distanceM, factor float64 }{
		{0.99, 1.25}, {10.01, 1.25}, {3, 0.99}, {3, 2.01}, {math.NaN(), 1.25}, {3, 0.9}, {3, 2.1}, {3, math.NaN()},
	} {
		for _, f := range []func(float64, float64) (float64, error){GapLightning, GapSwitching} {
			got, err := f(c.distanceM, c.factor)
			var out *OutOfRange
			require.ErrorAs(t, err, &out, c)
			require.True(t, math.IsNaN(got))
		}
	}
	for _, c := range []struct{ distanceM, factor float64 }{{1, 1.25}, {10, 1.25}, {3, 1}, {3, 2}} { // the ends belong to it
		for _, f := range []func(float64, float64) (float64, error){GapLightning, GapSwitching} {
			_, err := f(c.distanceM, c.factor)
			require.NoError(t, err, c)
		}
	}
}

func TestLongerGapNeverWeakens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.Float64Range(1, 2).Draw(t, "K")
		short := rapid.Float64Range(1, 9.9).Draw(t, "short")
		long := rapid.Float64Range(short, 10).Draw(t, "long")
		for _, f := range []func(float64, float64) (float64, error){GapLightning, GapSwitching} {
			a, err := f(short, k)
			require.NoError(t, err)
			b, err := f(long, k)
			require.NoError(t, err)
			require.GreaterOrEqual(t, b, a)
		}
	})
}

// The dry column of the disc table against what documents ask of strings by system voltage: the fewest discs that reach the
// rated dry flashover (computed on the disc table). 230 kV is met by 11 discs by equality: 640 ≥ 640.
func TestDryFlashoverOfStrings(t *testing.T) {
	for _, c := range []struct {
		source                string
		systemKV, flashoverKV float64
		discs                 int
	}{
		{"NESC table 273-1 (value from memory, H)", 34.5, 100, 2}, {"NESC", 46, 125, 2}, {"NESC", 69, 175, 3},
		{"NESC", 115, 315, 5}, {"NESC", 138, 390, 7}, {"NESC", 161, 445, 8}, {"NESC", 230, 640, 11},
		{"California General Order 64-A table 9 (published)", 11, 50, 1}, {"GO 64-A", 22, 75, 1}, {"GO 64-A", 33, 100, 2},
		{"GO 64-A", 44, 125, 2}, {"GO 64-A", 55, 150, 2}, {"GO 64-A", 66, 175, 3}, {"GO 64-A", 88, 220, 4}, {"GO 64-A", 110, 315, 5},
		{"GO 64-A", 132, 390, 7}, {"GO 64-A", 150, 420, 7}, {"GO 64-A", 200, 560, 10},
		{"GO 64-A, by the linear interpolation it prescribes (computed)", 120, 349.1, 6}, {"GO 64-A, interpolated", 99, 267.5, 4},
	} {
		n, ok := fewestDiscs(c.flashoverKV, 146, func(units int, spacingMM float64) (float64, bool) {
			f, ok := StringFlashover(units, spacingMM, StandardDiameterMM)
			return f.DryKV, ok
		})
		require.True(t, ok)
		require.Equal(t, c.discs, n, "%s, %g kV", c.source, c.systemKV)
	}
}

func TestPunctureRatio(t *testing.T) {
	// Rule 55.3 of California General Order 64-A (published): at most 75 %. The discs are computed.
	require.InDelta(t, 0.727, PunctureRatio(80, 110), 5e-4)
	require.LessOrEqual(t, PunctureRatio(80, 110), PunctureLimit)
	require.Greater(t, PunctureRatio(60.01, 80), PunctureLimit)
	require.Equal(t, PunctureLimit, PunctureRatio(60, 80)) // passes exactly
	require.Greater(t, PunctureRatio(80, 105), PunctureLimit)
	require.True(t, math.IsNaN(PunctureRatio(80, math.NaN())))
}

func TestPracticeFloor(t *testing.T) {
	// About 11 kV of phase voltage per standard disc (common practice). 132 kV gives 6.93 and rounds up.
	for nominal, want := range map[float64]int{33: 2, 66: 4, 110: 6, 132: 7, 220: 12, 400: 21} {
		require.Equal(t, want, PracticeFloor(PhaseToEarth(nominal)), nominal)
	}
	// Exactly 7 discs at 7·11·√3 kV, and either side of it (computed).
	require.Equal(t, 7, PracticeFloor(PhaseToEarth(7*11*math.Sqrt(3))))
	require.Equal(t, 7, PracticeFloor(PhaseToEarth(7*11*math.Sqrt(3)-0.01)))
	require.Equal(t, 8, PracticeFloor(PhaseToEarth(7*11*math.Sqrt(3)+0.01)))
	require.Equal(t, 0, PracticeFloor(math.NaN()))
	require.Equal(t, 0, PracticeFloor(-1))
	require.InDelta(t, 12, StandardDiscs(12, 146), 1e-12)
	require.Less(t, StandardDiscs(13, 127), 12.0) // 11.3: computed
	require.Greater(t, StandardDiscs(11, 170), 12.0)
}
