package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Standard levels: IEC 60071-1 (value from memory, H); half and one and a half of them, or 300 kV more (computed).
func TestPlausibleLightningLevels(t *testing.T) {
	for _, c := range []struct{ um, low, high float64 }{
		{145, 225, 975},
		{245, 325, 1575},
		{420, 525, 2137.5},
		{800, 837.5, 3150},
		{252, 325, 1575},           // between 245 and 300
		{126, 225, 975},            // between 123 and 145
		{7.2, 0, 395},              // below all, 300 kV above 95
		{12, 30, 395},              // 170 kV over-insulated, 300 kV on wood
		{72.5, 162.5, 625},         // 550 kV on wood
		{1100, 837.5, math.Inf(1)}, // above all
		{math.NaN(), 0, math.Inf(1)},
	} {
		low, high := PlausibleLightningLevels(c.um)
		require.Equal(t, c.low, low, "Um %g", c.um)
		require.Equal(t, c.high, high, "Um %g", c.um)
	}
}

// Standard levels: IEC 60071-1, 420 kV published, else value from memory, H; half and one and a half of them, and the crest of Um/√3 (computed).
func TestPlausibleSwitchingLevels(t *testing.T) {
	for _, c := range []struct{ um, low, high float64 }{
		{300, 375, 1275},
		{420, 425, 1575},
		{550, 475, 1762.5},
		{765, 624.62, 2325}, // between 550 and 800: the crest is more than half of 950
		{800, 653.2, 2325},
		{260, 212.29, 1275},         // below all
		{1100, 898.15, math.Inf(1)}, // above all
		{math.NaN(), 0, math.Inf(1)},
	} {
		low, high := PlausibleSwitchingLevels(c.um)
		require.InDelta(t, c.low, low, 0.01, "Um %g", c.um)
		require.Equal(t, c.high, high, "Um %g", c.um)
	}
}

// Every unit of the catalogue has a creepage that is believed on its spacing, and an arcing distance that fits it.
func TestTheCatalogueIsPlausible(t *testing.T) {
	for _, u := range Catalogue() {
		require.True(t, PlausibleSpacing(u.Kind, u.SpacingMM), u.Name)
		require.False(t, Contradicts(MostFlashoverKV(u.Kind, u.SpacingMM), u.DryKV), u.Name)
		require.True(t, PlausibleUnitCreepage(u.Kind, u.CreepageMM, u.SpacingMM), u.Name)
		require.True(t, PlausibleDiameter(u.Kind, u.DiameterMM, u.SpacingMM), u.Name)
		require.False(t, Contradicts(MostRatingBySpacingKN(u.Kind, u.SpacingMM), u.RatingKN), u.Name)
		require.False(t, Contradicts(MostRatingByDiameterKN(u.Kind, u.DiameterMM), u.RatingKN), u.Name)
		for _, kV := range []float64{u.DryKV, u.LightningKV} {
			require.True(t, PlausiblePuncture(u.Kind, u.PunctureKV, kV), u.Name)
		}
		require.True(t, Contradicts(MostRatingBySpacingKN(u.Kind, u.SpacingMM), 10*u.RatingKN), u.Name)
		require.True(t, Contradicts(MostRatingBySpacingKN(u.Kind, u.SpacingMM/10), u.RatingKN), u.Name)
		if !math.IsNaN(u.DiameterMM) {
			require.False(t, PlausibleDiameter(u.Kind, u.DiameterMM/10, u.SpacingMM), u.Name)
			require.False(t, PlausibleDiameter(u.Kind, u.DiameterMM*10, u.SpacingMM), u.Name)
			require.True(t, Contradicts(MostRatingByDiameterKN(u.Kind, u.DiameterMM/10), u.RatingKN), u.Name)
		}
		require.True(t, PlausibleArcing(u.Kind, u.ArcingMM, u.SpacingMM), u.Name)
	}
}

// The largest discs that are made (common practice), pins and slips of the decimal point; the bounds are choices of this program.
func TestSizesOfUnitsThatArePlausible(t *testing.T) {
	nan := math.NaN()
	require.False(t, Contradicts(MostRatingBySpacingKN(CapAndPin, 280), 840))
	require.False(t, Contradicts(MostRatingByDiameterKN(CapAndPin, 380), 840))
	require.True(t, Contradicts(MostRatingBySpacingKN(CapAndPin, 146), 400))
	require.True(t, Contradicts(MostRatingBySpacingKN(KindUnknown, 146), 400))
	require.True(t, math.IsNaN(MostRatingBySpacingKN(Post, 146)))
	require.True(t, math.IsNaN(MostRatingByDiameterKN(Composite, 30)), "a composite of 400 kN is thin")
	require.True(t, PlausibleDiameter(CapAndPin, 450, 146))
	require.True(t, PlausibleDiameter(Composite, 150, 2500))
	for _, c := range []struct {
		average, diameter float64
		want              bool
	}{{255, 255, true}, {64, 255, true}, {63, 255, false}, {25.5, 255, false}, {400, 255, false}, {nan, 255, true}, {400, nan, true}} {
		require.Equal(t, c.want, PlausibleAverageDiameter(c.average, c.diameter), "%+v", c)
	}
	for _, c := range []struct {
		kind         Kind
		puncture, kV float64
		want         bool
	}{
		{CapAndPin, 110, 80, true}, {CapAndPin, 1000, 80, false}, {CapAndPin, 1100, 125, false}, {CapAndPin, 11, 80, false}, {CapAndPin, 60, 80, true},
		{Pin, 185, 130, true}, {Pin, 185, 1300, false}, {Pin, 1850, 130, false}, {Shackle, 110, 30, true}, {KindUnknown, 1000, 80, false},
		{Composite, 1000, 80, true}, {Pin, nan, 130, true}, {Pin, 185, nan, true},
	} {
		require.Equal(t, c.want, PlausiblePuncture(c.kind, c.puncture, c.kV), "%+v", c)
	}
}

func TestPlausibleUnits(t *testing.T) {
	nan := math.NaN()
	for name, c := range map[string]struct {
		kind                           Kind
		creepageMM, arcingMM, lengthMM float64
		creepage, arcing               bool
	}{
		"disc, 320 mm on 146 mm (IEC 60305, value from memory)": {CapAndPin, 320, nan, 146, true, true},
		"a disc that has the creepage of five":                  {CapAndPin, 1475, nan, 146, false, true},
		"a disc whose arc goes round its rim":                   {CapAndPin, 320, 195, 146, true, true},
		"five times its length":                                 {Composite, 5000, 950, 1000, true, true},
		"a composite of six times its length":                   {Composite, 6000, 950, 1000, false, true},
		"a long rod whose arc is longer than it":                {LongRod, 3000, 1300, 1270, true, false},
		"as long as it":                                         {LongRod, 3000, 1270, 1270, true, true},
		"a pin whose spacing means little":                      {Pin, 380, 240, 60, true, true},
		"nothing known":                                         {Composite, nan, nan, nan, true, true},
	} {
		require.Equal(t, c.creepage, PlausibleUnitCreepage(c.kind, c.creepageMM, c.lengthMM), name)
		require.Equal(t, c.arcing, PlausibleArcing(c.kind, c.arcingMM, c.lengthMM), name)
	}
}

// The bound is a choice of this program.
func TestPlausibleSpacing(t *testing.T) {
	require.True(t, PlausibleSpacing(CapAndPin, 240), "the largest of IEC 60305 (value from memory)")
	require.True(t, PlausibleSpacing(CapAndPin, 320))
	require.False(t, PlausibleSpacing(CapAndPin, 321))
	require.False(t, PlausibleSpacing(CapAndPin, 1700))
	require.True(t, PlausibleSpacing(LongRod, 1700))
	require.True(t, PlausibleSpacing(CapAndPin, math.NaN()))
}

// The limits are a choice of this program; the figures beside them are computed.
func TestImplausibleFigures(t *testing.T) {
	for _, c := range []struct {
		units, e int
		median   float64
		want     bool
	}{
		{30, 14, 10, true}, {28, 14, 9, false}, {29, 14, 9.7, false}, {29, 14, 9.6, true}, {30, -1, 10, false}, {30, 0, 10, false}, {30, 14, math.NaN(), false}, {30, 14, 0, false},
	} {
		require.Equal(t, c.want, AreTooManyUnits(c.units, c.e, c.median), "%+v", c)
	}
	for _, c := range []struct {
		stringMM, unitMM float64
		units            int
		want             bool
	}{{295, 295, 9, true}, {295.4, 295, 2, true}, {296, 295, 9, false}, {295, 295, 1, false}, {math.NaN(), 295, 9, false}, {2655, 295, 9, false}} {
		require.Equal(t, c.want, IsOfOneUnit(c.stringMM, c.unitMM, c.units), "%+v", c)
	}
	for _, c := range []struct {
		lengthMM, unitsMM     float64
		want, shorter, longer bool
	}{
		// 2 % of 1500 mm are 30 mm (computed)
		{1500, 1500, true, false, false}, {1470, 1500, true, false, false}, {1469, 1500, false, true, false}, {1530, 1500, true, false, false}, {1531, 1500, true, false, true},
		{146, 1314, false, true, false}, {3628, 1314, true, false, true}, {3629, 1314, false, false, true}, {900, 146, true, false, true},
		{math.NaN(), 1314, true, false, false}, {1, math.NaN(), true, false, false},
	} {
		require.Equal(t, []bool{c.want, c.shorter, c.longer}, []bool{IsLengthOf(c.lengthMM, c.unitsMM), IsShorterThanUnits(c.lengthMM, c.unitsMM), IsLongerThanUnits(c.lengthMM, c.unitsMM)}, "%+v", c)
	}
}
