package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestHighestVoltage(t *testing.T) {
	// IEC 60038 (value from memory, H).
	for nominal, want := range map[float64]float64{
		3: 3.6, 3.3: 3.6, 6: 7.2, 6.6: 7.2, 10: 12, 11: 12, 15: 17.5, 20: 24, 22: 24, 30: 36, 33: 36, 34.5: 36.5, 35: 40.5,
		45: 52, 60: 72.5, 63: 72.5, 66: 72.5, 69: 72.5, 90: 100, 110: 123, 115: 123, 132: 145, 138: 145, 150: 170, 154: 170,
		161: 170, 220: 245, 225: 245, 230: 245, 275: 300, 330: 362, 345: 362, 380: 420, 400: 420, 500: 550, 735: 800, 750: 800,
		765: 800, 1000: 1100,
	} {
		got, ok := IEC60038.Highest(nominal)
		require.True(t, ok, nominal)
		require.Equal(t, want, got, nominal)
	}
}

// RUS Bulletin 1724E-200, May 2005, 4.2.2 (published). What it has not is not taken from IEC 60038.
func TestHighestVoltageOfNorthAmerica(t *testing.T) {
	want := map[float64]float64{69: 72.5, 115: 121, 138: 145, 161: 169, 230: 242}
	for nominal, um := range want {
		got, ok := NorthAmerican.Highest(nominal)
		require.True(t, ok, nominal)
		require.Equal(t, um, got, nominal)
		require.True(t, IsHighestOf(um, nominal))
		require.LessOrEqual(t, um, MostUmShare*nominal)
	}
	for _, r := range nominalToHighest {
		if _, is := want[r.nominalKV]; !is {
			_, ok := NorthAmerican.Highest(r.nominalKV)
			require.False(t, ok, r.nominalKV)
		}
	}
	for text, want := range map[string]VoltageTable{"north american": NorthAmerican, " North  American ": NorthAmerican, "iec 60038": IEC60038} {
		table, ok := ParseVoltageTable(text)
		require.True(t, ok, text)
		require.Equal(t, want, table)
	}
	_, ok := ParseVoltageTable("ANSI")
	require.False(t, ok)
}

func TestHighestVoltageIsNeverTheNearest(t *testing.T) {
	for _, nominal := range []float64{0, 12, 33.1, 65, 221, 219.9, 245, -33, math.NaN(), math.Inf(1)} {
		got, ok := IEC60038.Highest(nominal)
		require.False(t, ok, nominal)
		require.True(t, math.IsNaN(got), nominal)
	}
}

func TestHighestIsAboveNominal(t *testing.T) {
	for _, r := range nominalToHighest {
		require.True(t, IsHighestOf(r.umKV, r.nominalKV), r)
		require.False(t, IsHighestOf(r.nominalKV, r.nominalKV), r)
		require.False(t, IsHighestOf(1.018*r.nominalKV, r.nominalKV), r)
	}
	for _, r := range railwayNominalToHighest {
		require.True(t, IsHighestOf(r.highestKV, r.nominalKV), r)
	}
	nan := math.NaN()
	for _, c := range []struct {
		um, nominal float64
		want        bool
	}{{132, 138, false}, {0.4, 0.4, true}, {1, 1, true}, {nan, 132, true}, {145, nan, true},
		{145, 13.2, false}, {145, 33, true}, {145, 24, false}, {145, 66, true}, {24, 10, true}, {12, 0.4, true}, {24, 0.4, false},
		{111, 110, false}, {112, 110, false}, {25.2, 25, false}, {10.1, 10, false}, {1.01, 1, true}, {123, 120, true}, {245, 240, true}, {36, 35, true}, {765, 735, true}, {1200, 1150, true}, {525, 500, true}} {
		require.Equal(t, c.want, IsHighestOf(c.um, c.nominal), c)
	}
}

func TestLinesBuiltForMore(t *testing.T) {
	for _, table := range nominalToHighest {
		require.False(t, IsBuiltForMore(table.umKV, table.nominalKV), table)
	}
	nan := math.NaN()
	for _, c := range []struct {
		um, nominal float64
		want        bool
	}{{145, 33, true}, {145, 66, true}, {145, 110, false}, {36, 24, false}, {36.1, 24, true}, {12, 6, false}, {12, 3, false}, {24, 10, true}, {nan, 33, false}, {145, nan, false}} {
		require.Equal(t, c.want, IsBuiltForMore(c.um, c.nominal), c)
	}
}

func TestPhaseToEarth(t *testing.T) {
	require.InDelta(t, 141.451, PhaseToEarth(245), 5e-4) // computed
	require.True(t, math.IsNaN(PhaseToEarth(math.NaN())))
}

func TestStandardLevels(t *testing.T) {
	// IEC 60071-1 (value from memory, H): lightning levels by Um, and the pairs with power frequency.
	for um, want := range map[float64][]float64{
		12: {60, 75, 95}, 24: {95, 125, 145}, 36: {145, 170}, 52: {250}, 72.5: {325}, 100: {380, 450}, 123: {450, 550},
		145: {450, 550, 650}, 170: {550, 650, 750}, 245: {650, 750, 850, 950, 1050},
		300: {850, 950, 1050}, 362: {950, 1050, 1175}, 420: {1050, 1175, 1300, 1425}, 550: {1175, 1300, 1425, 1550},
		800: {1675, 1800, 1950, 2100},
	} {
		got, ok := LightningLevels(um)
		require.True(t, ok, um)
		require.Equal(t, want, got, um)
	}
	for um, want := range map[float64][]InsulationLevel{
		36:   {{145, 70}, {170, 70}},
		72.5: {{325, 140}},
		100:  {{380, 150}, {450, 185}},
		145:  {{450, 185}, {550, 230}, {650, 275}},
		245:  {{650, 275}, {750, 325}, {850, 360}, {950, 395}, {1050, 460}},
	} {
		got, ok := InsulationLevels(um)
		require.True(t, ok, um)
		require.Equal(t, want, got, um)
		require.True(t, IsRangeOne(um))
		for _, level := range want {
			power, ok := PowerFrequencyLevel(um, level.LightningKV)
			require.True(t, ok)
			require.Equal(t, level.PowerFrequencyKV, power)
		}
	}
	_, ok := LightningLevels(126)
	require.False(t, ok)
	_, ok = InsulationLevels(420)
	require.False(t, ok)
	for _, c := range []struct{ um, lightning float64 }{ // no standard level of this Um; range II; unknown
		{245, 550}, {245, 1049.9}, {420, 1425}, {145, math.NaN()}, {math.NaN(), 650},
	} {
		power, ok := PowerFrequencyLevel(c.um, c.lightning)
		require.False(t, ok, c)
		require.True(t, math.IsNaN(power), c)
	}
}

func TestRanges(t *testing.T) {
	// IEC 60071-1 (value from memory, H): range I to Um 245 kV, range II above; 252 and 363 kV of another practice (common
	// practice).
	for um, one := range map[float64]bool{12: true, 244.9: true, 245: true, 245 * (1 + 1e-12): true, 245.1: false, 126: true, 252: true, 363: false, 300: false, 800: false} {
		require.Equal(t, one, IsRangeOne(um), um)
		require.Equal(t, !one, IsRangeTwo(um), um)
	}
	require.False(t, IsRangeOne(math.NaN()))
	require.False(t, IsRangeTwo(math.NaN()))
}

func TestLevelsAreTheCallersOwn(t *testing.T) {
	levels, _ := InsulationLevels(245)
	levels[0].LightningKV = 1
	again, _ := InsulationLevels(245)
	require.Equal(t, 650.0, again[0].LightningKV)
}
