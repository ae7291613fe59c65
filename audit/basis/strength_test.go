package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestTurnPull(t *testing.T) {
	// 2·T·sin(δ/2) with T = 30 kN (computed).
	for deviation, want := range map[float64]float64{0: 0, 2: 1.047, 15: 7.832, 30: 15.529, 60: 30.000, 90: 42.426} {
		require.InDelta(t, want, TurnPull(30, deviation), 5e-4)
		require.Equal(t, TurnPull(30, deviation), TurnPull(30, -deviation))
	}
}

// 120 kN × 50 % = 60 kN: 65 kN on one 120 kN string fails, on a 160 kN string it passes (computed).
func TestOne120StringFails65(t *testing.T) {
	const factor = 1 / 0.50 // NESC 277, 50 % of the rating (value from memory, H)
	need := RequiredRating(TensionLoad(65, 1, 1), factor)
	require.Greater(t, need, find(t, "U120B").RatingKN)
	require.LessOrEqual(t, need, find(t, "U160BL").RatingKN)
	require.InDelta(t, 120, RequiredRating(TensionLoad(60, 1, 1), factor), 1e-12)
}

// Two parallel strings of 120 kN hold 240 kN intact and 120 kN with one string broken (computed).
func TestParallelStrings(t *testing.T) {
	require.InDelta(t, 120, TensionLoad(240, 1, 2), 1e-12)
	require.InDelta(t, 120, TensionLoad(120, 1, 1), 1e-12)
	require.InDelta(t, 60, TensionLoad(30, 4, 2), 1e-12)
	require.True(t, math.IsInf(TensionLoad(30, 1, 0), 1))
}

func TestSharingFactor(t *testing.T) {
	// Statics: one string carries everything there is, whatever the share of the worst of several.
	for strings, want := range map[int]float64{0: 1, 1: 1, 2: 1.2, 3: 1.2} {
		require.Equal(t, want, SharingFactor(strings, 1.2), strings)
	}
}

func TestVLegLoad(t *testing.T) {
	// F1 = R·sin(α + θ)/sin 2α (statics); the figures computed.
	for _, c := range []struct{ transverse, vertical, angle, want float64 }{
		{0, 1000, 90, 1000 / math.Sqrt2},    // a weight on legs at 45° pulls each by 1/√2 of it
		{0, 1000, 120, 1000},                // at 60° to the vertical each leg carries the whole weight
		{500, 1000, 90, 1060.6602},          // (1000 + 500)/√2
		{-500, 1000, 90, 1060.6602},         // to either hand
		{1000, 1000, 90, 1000 * math.Sqrt2}, // along the leg: it carries the resultant alone, and the other nothing
		{999, 1000, 90, 1999 / math.Sqrt2},
		{1001, 1000, 90, math.Hypot(1001, 1000)},  // the other leg is slack
		{1001, -1000, 90, math.Hypot(1001, 1000)}, // uplift, the other leg is slack
		{300, -1000, 90, 1300 / math.Sqrt2},       // both are taut above their attachments
		{0, -1000, 140, 1461.9022},                // 500/cos 70°
	} {
		require.InDelta(t, c.want, VLegLoad(c.transverse, c.vertical, c.angle), 1e-4, c)
	}
}

// The strengths of three conductors follow from the loads of their wires, 98 % of the aluminium and 85 % of the steel
// (IS 398-2, published strand loads).
func TestStrengthFromStrandLoads(t *testing.T) {
	for _, c := range []struct {
		name                       string
		aluminiumKN, steelKN, want float64
	}{{"Panther", 1.17, 9.29, 89.67}, {"Zebra", 1.29, 10.43, 130.33}, {"Moose", 1.57, 12.85, 159.54}} {
		got := conductor(t, c.name)
		fromStrands := 0.98*float64(got.Stranding.Aluminium)*c.aluminiumKN + 0.85*float64(got.Stranding.Steel)*c.steelKN
		require.InDelta(t, c.want, fromStrands, 0.006, c.name)
		require.InDelta(t, fromStrands, got.RatedStrengthKN, 0.07, c.name) // the table rounds to 0.1 kN
	}
}

func conductor(t *testing.T, name string) Conductor {
	t.Helper()
	for _, c := range Conductors() {
		if c.Name == name {
			return c
		}
	}
	t.Fatalf("no conductor %q", name)
	return Conductor{}
}

func TestConductors(t *testing.T) {
	// Tables of ACSR conductors (value from memory, H; strengths of Dog and Lynx published).
	for _, c := range []struct {
		name                               string
		diameterMM, massKgPerM, strengthKN float64
	}{
		{"Dog", 14.15, 0.394, 32.4}, {"Wolf", 18.13, 0.726, 67.3}, {"Lynx", 19.53, 0.844, 78.0}, {"Panther", 21.00, 0.974, 89.67},
		{"Zebra", 28.62, 1.621, 130.3}, {"Moose", 31.77, 2.00, 159.6}, {"Drake", 28.14, 1.628, 140.1},
	} {
		got := conductor(t, c.name)
		require.Equal(t, []float64{c.diameterMM, c.massKgPerM, c.strengthKN},
			[]float64{got.DiameterMM, got.MassKgPerM, got.RatedStrengthKN}, c.name)
		require.True(t, math.IsNaN(got.ModulusGPa), "a user input")
		// Three rings of wires of one diameter measure 7 diameters, four 9 (geometry, computed).
		if s := got.Stranding; s.AluminiumMM == s.SteelMM {
			rings := map[int]float64{30: 7, 54: 9}[s.Aluminium]
			require.InDelta(t, rings*s.AluminiumMM, got.DiameterMM, 0.011, c.name)
		}
	}
	require.InDelta(t, 261.54, conductor(t, "Panther").AreaMM2, 0.005) // 37·π/4·3.00² (computed)
	require.True(t, math.IsNaN(conductor(t, "Drake").AreaMM2))
	require.InDelta(t, 15.965, conductor(t, "Drake").WeightNPerM(), 5e-4) // 1.628·9.80665 (computed)
	require.Equal(t, Published, conductor(t, "Lynx").StrengthClause.Tag)
	require.Equal(t, Memory, conductor(t, "Lynx").Clause.Tag)
}

func TestIceAndWindPerMetre(t *testing.T) {
	// 10 mm of glaze of 900 kg/m³ (density value from memory) on 21 mm: π·900·0.010·0.031·9.80665 = 8.596 N/m (computed).
	require.InDelta(t, 8.596, IceWeight(10, 21, 900), 5e-4)
	require.Zero(t, IceWeight(0, 21, 900))
	require.InDelta(t, 8.4, WindLoad(400, 21), 1e-12) // 400 Pa on 21 mm (computed)
	require.Equal(t, 41.0, IcedDiameterMM(21, 10))
	iced := Conductor{MassKgPerM: 0.974, DiameterMM: 21}
	require.InDelta(t, 9.5517+8.596, iced.IcedWeightNPerM(10, 900), 1e-3) // 0.974·9.80665 and the ice (computed)
	require.Equal(t, iced.WeightNPerM(), iced.IcedWeightNPerM(0, 900))
	require.InDelta(t, 14.8, WindForce(400, 0.037), 1e-12) // 400 Pa on 0.037 m² (computed)
}
