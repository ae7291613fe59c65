package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// required is the creepage of a three-phase line with earthed neutral, without factors.
func required(t *testing.T, b CreepageBasis, c Class, umKV float64) float64 {
	t.Helper()
	specific, ok := SpecificCreepage(b, c)
	require.True(t, ok)
	return RequiredCreepage(b, specific, PhaseToEarth(umKV), 1, 1)
}

func TestRequiredCreepage(t *testing.T) {
	for _, c := range []struct {
		source            string
		basis             CreepageBasis
		class             Class
		umKV, perUnitMM   float64
		needMM, tolerance float64
		units             int
	}{
		{"published: Fotovoltaico Elena environmental study, annex 6, 2016: at least 7595 mm, 15 units of 525 mm",
			Unified, ClassE, 245, 525, 7595.9, 0.05, 15},
		{"published: manufacturer guidance on specific creepage, 33 kV nominal is Um 36",
			Levels1986, ClassE, 36, 295, 1116, 1e-9, 4},
		{"computed: 420 kV class b", Unified, ClassB, 420, 315, 6741, 0.5, 22},
		{"computed: 420 kV class c", Unified, ClassC, 420, 315, 8414, 0.5, 27},
		{"computed: 245 kV class b, 1986", Levels1986, ClassB, 245, 280, 3920, 1e-9, 14},
		{"computed: 245 kV class b, unified", Unified, ClassB, 245, 280, 3932.3, 0.1, 15},
		{"computed: 145 kV class c", Unified, ClassC, 145, 295, 2904.9, 0.05, 10},
		{"computed: 145 kV class d", Unified, ClassD, 145, 295, 3624.9, 0.05, 13},
		{"computed: 145 kV class e", Unified, ClassE, 145, 295, 4495.5, 0.05, 16},
		{"computed: 420 kV class c", Unified, ClassC, 420, 295, 8414, 0.5, 29},
		{"computed: 420 kV class d", Unified, ClassD, 420, 295, 43.3 * 420 / math.Sqrt(3), 1e-6, 36},
		{"computed: 420 kV class e", Unified, ClassE, 420, 295, 53.7 * 420 / math.Sqrt(3), 1e-6, 45},
	} {
		need := required(t, c.basis, c.class, c.umKV)
		require.InDelta(t, c.needMM, need, c.tolerance, c.source)
		require.Equal(t, c.units, UnitsNeeded(need, c.perUnitMM), c.source)
	}
}

// 14 × 280 mm = 3920 mm is exactly 16·245 on the 1986 basis and 12 mm short on the unified one (computed).
func TestFourteenDiscsOf280(t *testing.T) {
	have := 14 * 280.0
	need := required(t, Levels1986, ClassB, 245)
	require.InEpsilon(t, have, need, Tolerance)
	require.Equal(t, 14, UnitsNeeded(need, 280))
	require.InDelta(t, 12.3, required(t, Unified, ClassB, 245)-have, 0.1)
	require.Equal(t, 15, UnitsNeeded(required(t, Unified, ClassB, 245), 280))
}

// 33 kV is the nominal voltage: creepage goes on Um 36 (1116 mm), not on 33 (1023 mm). Published, manufacturer guidance
// on specific creepage.
func TestCreepageGoesOnHighestVoltage(t *testing.T) {
	um, ok := IEC60038.Highest(33)
	require.True(t, ok)
	require.InDelta(t, 1116, required(t, Levels1986, ClassE, um), 1e-9)
	require.InDelta(t, 1023, required(t, Levels1986, ClassE, 33), 1e-9)
}

// Published counts of an Indian 400 kV line specification, ratios computed: 23 × 315 = 7245 mm passes class b and fails
// class c. Published, Fotovoltaico Elena: 15 × 525 = 7875 mm passes class e at Um 245, 14 × 525 = 7350 fails.
func TestPublishedStrings(t *testing.T) {
	require.Greater(t, 23*315.0, required(t, Unified, ClassB, 420))
	require.Less(t, 23*315.0, required(t, Unified, ClassC, 420))
	require.Greater(t, 15*525.0, required(t, Unified, ClassE, 245))
	require.Less(t, 14*525.0, required(t, Unified, ClassE, 245))
}

func TestDiameterFactor(t *testing.T) {
	// IEC TS 60815-2:2008 (value from memory, M); 250, 400 and 500 mm are computed on it.
	for _, c := range []struct{ diameterMM, want float64 }{
		{0, 1}, {250, 1}, {299.999, 1}, {300, 1}, {400, 1.05}, {500, 1.10}, {math.NaN(), 1},
	} {
		require.InDelta(t, c.want, DiameterFactor(c.diameterMM), 1e-12)
	}
}

func TestCreepageFactorsMultiply(t *testing.T) {
	plain := RequiredCreepage(Unified, 27.8, 100, 1, 1)
	require.InDelta(t, 2780, plain, 1e-9) // computed
	require.InDelta(t, 2780*1.05*1.1, RequiredCreepage(Unified, 27.8, 100, 1.05, 1.1), 1e-9)
	require.True(t, math.IsNaN(RequiredCreepage(Unified, 27.8, math.NaN(), 1, 1)))
}

func TestCreepageAltitude(t *testing.T) {
	ka, err := CreepageAltitudeFactor(3000, 0)
	require.NoError(t, err)
	require.Equal(t, 1.0, ka)
	ka, err = CreepageAltitudeFactor(math.NaN(), 0)
	require.NoError(t, err, "switched off, no altitude is needed")
	require.Equal(t, 1.0, ka)
	for _, below := range []float64{0, -0.1, -400} { // ground below sea level asks for no less
		ka, err = CreepageAltitudeFactor(below, 0.5)
		require.NoError(t, err)
		require.Equal(t, 1.0, ka, below)
	}
	ka, err = CreepageAltitudeFactor(3000, 0.5)
	require.NoError(t, err)
	require.InDelta(t, math.Exp(0.5*3000/8150), ka, 1e-12) // IEC 60071-2, m = 0.5 (value from memory, H)
	for _, c := range []struct{ altitudeM, exponent float64 }{{3000, 2}, {-500.1, 0.5}, {9000.1, 0.5}, {math.NaN(), 0.5}} {
		ka, err = CreepageAltitudeFactor(c.altitudeM, c.exponent)
		require.Error(t, err)
		require.True(t, math.IsNaN(ka), c)
	}
}

func TestSoundCreepage(t *testing.T) {
	// Published, Fotovoltaico Elena: 15 × 525 = 7875 mm; one unit fewer leaves 7350 mm. The rest computed.
	for _, c := range []struct {
		units, defective int
		want             float64
	}{{15, 0, 7875}, {15, 1, 7350}, {15, 14, 525}, {15, 15, 0}, {15, 16, 0}} {
		require.InDelta(t, c.want, SoundCreepage(7875, c.units, c.defective), 1e-9)
	}
	require.True(t, math.IsNaN(SoundCreepage(7875, 0, 0)))
	require.True(t, math.IsNaN(SoundCreepage(7875, -1, 1)))
	require.True(t, math.IsNaN(SoundCreepage(math.NaN(), 15, 1)))
}

func TestUnitsNeeded(t *testing.T) {
	for _, c := range []struct {
		required, perUnit float64
		want              int
	}{ // computed
		{3920, 280, 14}, {3920.001, 280, 15}, {3 * (1 + 1e-12), 1, 3}, {3 * (1 + 1e-8), 1, 4}, {1, 295, 1}, {0, 295, 0}, {-5, 295, 0},
		{100, 0, -1}, {100, math.NaN(), -1}, {math.NaN(), 295, -1}, {math.Inf(1), 295, -1}, {100, -3, -1},
	} {
		require.Equal(t, c.want, UnitsNeeded(c.required, c.perUnit), c)
	}
}

func TestUnitsNeededIsTheSmallestNumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		need := rapid.Float64Range(1, 20000).Draw(t, "required")
		unit := rapid.Float64Range(50, 1000).Draw(t, "per unit")
		n := float64(UnitsNeeded(need, unit))
		require.GreaterOrEqual(t, n*unit, need*(1-2*Tolerance))
		require.Less(t, (n-1)*unit, need)
		whole := rapid.IntRange(1, 100).Draw(t, "whole")
		require.Equal(t, whole, UnitsNeeded(float64(whole)*unit, unit))
	})
}

func TestCreepageBasisText(t *testing.T) {
	for _, b := range []CreepageBasis{Unified, Levels1986} {
		got, ok := ParseCreepageBasis(b.String())
		require.True(t, ok)
		require.Equal(t, b, got)
	}
	require.Equal(t, "unified", Unified.String())
	require.Equal(t, "1986", Levels1986.String())
	_, ok := ParseCreepageBasis("2008")
	require.False(t, ok)
	require.Equal(t, "IEC TS 60815-1:2008", Unified.Source().String())
	require.Equal(t, "IEC 815:1986", Levels1986.Source().String())
}
