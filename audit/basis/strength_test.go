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

func factors(t *testing.T, name string) InsulatorFactors {
	t.Helper()
	for _, f := range FactorTable() {
		if f.Name == name {
			return f
		}
	}
	t.Fatalf("no factors %q", name)
	return InsulatorFactors{}
}

func TestFactorTable(t *testing.T) {
	// NESC 277 (value from memory, H): 50 % and 40 % of the rated strength.
	require.InDelta(t, 1/0.50, factors(t, "NESC 277").Tension, 1e-12)
	require.InDelta(t, 1/0.40, factors(t, "NESC 277").Cantilever, 1e-12)
	// The rest value from memory, M.
	require.Equal(t, 3.0, factors(t, "GO 95 grade A").Tension)
	require.Equal(t, 2.0, factors(t, "GO 95 grade B").Tension)
	require.Equal(t, 2.0, factors(t, "EN 50341-1").Tension)
	gb := factors(t, "GB 50545")
	require.Equal(t, []float64{2.7, 4.0, 1.8, 1.5}, []float64{gb.Tension, gb.Everyday, gb.BrokenWire, gb.OneStringBroken})
	require.True(t, math.IsNaN(gb.Cantilever))
	// California General Order 95, rule 44.3 (published): replace below 2/3 of the factor.
	require.InDelta(t, 2.0, factors(t, "GO 95 grade A").Tension*InServiceShare, 1e-12)
}

// 120 kN × 50 % = 60 kN: 65 kN on one 120 kN string fails, on a 160 kN string it passes (computed).
func TestOne120StringFails65(t *testing.T) {
	need := RequiredRating(TensionLoad(65, 1, 1), factors(t, "NESC 277").Tension)
	require.Greater(t, need, find(t, "U120B").RatingKN)
	require.LessOrEqual(t, need, find(t, "U160BL").RatingKN)
	require.InDelta(t, 120, RequiredRating(TensionLoad(60, 1, 1), 2), 1e-12)
}

// Two parallel strings of 120 kN hold 240 kN intact and 120 kN with one string broken (computed).
func TestParallelStrings(t *testing.T) {
	require.InDelta(t, 120, TensionLoad(240, 1, 2), 1e-12)
	require.InDelta(t, 120, TensionLoad(120, 1, 1), 1e-12)
	require.InDelta(t, 60, TensionLoad(30, 4, 2), 1e-12)
	require.True(t, math.IsInf(TensionLoad(30, 1, 0), 1))
}

func TestRatedStrength(t *testing.T) {
	// IS 398-2 strand loads (published), 98 % of the aluminium and 85 % of the steel.
	for _, c := range []struct {
		name                       string
		aluminium, steel           int
		aluminiumKN, steelKN, want float64
	}{
		{"Panther", 30, 7, 1.17, 9.29, 89.67}, {"Zebra", 54, 7, 1.29, 10.43, 130.33}, {"Moose", 54, 7, 1.57, 12.85, 159.54},
	} {
		got := RatedStrength(c.aluminium, c.steel, c.aluminiumKN, c.steelKN)
		require.InDelta(t, c.want, got, 0.006, c.name)
		require.InDelta(t, conductor(t, c.name).RatedStrengthKN, got, 0.07, c.name) // the table rounds to 0.1 kN
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

func TestTypicalElasticity(t *testing.T) {
	// Value from memory, M.
	modulus, expansion, ok := TypicalElasticity(30, 7)
	require.True(t, ok)
	require.Equal(t, []float64{80, 17.8}, []float64{modulus, expansion})
	modulus, expansion, ok = TypicalElasticity(54, 7)
	require.True(t, ok)
	require.Equal(t, []float64{69, 19.3}, []float64{modulus, expansion})
	_, _, ok = TypicalElasticity(26, 7)
	require.False(t, ok)
}

func TestIceAndWindPerMetre(t *testing.T) {
	// 10 mm of ice of 900 kg/m³ on 21 mm: π·900·0.010·0.031·9.80665 = 8.596 N/m (computed).
	require.InDelta(t, 8.596, IceWeight(10, 21, IceDensity), 5e-4)
	require.Zero(t, IceWeight(0, 21, IceDensity))
	require.InDelta(t, 8.4, WindLoad(400, 21), 1e-12) // 400 Pa on 21 mm (computed)
}
