package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestLowVoltage(t *testing.T) {
	// Scope of IEC TS 60815-1:2008, above 1 kV (value from memory).
	for voltage, want := range map[float64]bool{0.23: true, 0.999: true, 1: true, 1 + 1e-12: true, 1.001: false, 11: false} {
		require.Equal(t, want, IsLowVoltage(voltage), voltage)
	}
	require.False(t, IsLowVoltage(math.NaN()))
	require.Equal(t, LowVoltageMaxKV, ShackleMaxKV)
}

// Pins serve up to a nominal 33 kV and 34.5 kV (common practice), whose Um is 36 and 36.5 kV; 35 kV is beyond (Um by
// IEC 60038, value from memory, H).
func TestPinsServeTo34Point5(t *testing.T) {
	for nominal, serves := range map[float64]bool{33: true, 34.5: true, 35: false, 45: false} {
		um, ok := IEC60038.Highest(nominal)
		require.True(t, ok)
		require.Equal(t, serves, um <= PinMaxUmKV, nominal)
	}
}

func TestDeviationFamily(t *testing.T) {
	// Tangent to 2°, light to 15°, medium to 30°, heavy to 60°, then sharp (common practice; IS 802 has the edges 15, 30 and
	// 60, published). Edges belong to the lower family.
	for deviation, want := range map[float64]int{
		0: 0, 1.999: 0, 2: 0, 2 + 1e-10: 0, 2.001: 1, 14.999: 1, 15: 1, 15.001: 2, 30: 2, 30.001: 3, 60: 3, 60.001: 4, 180: 4,
	} {
		for _, signed := range []float64{deviation, -deviation} {
			got, ok := DeviationFamily(signed)
			require.True(t, ok)
			require.Equal(t, want, got, signed)
		}
	}
	_, ok := DeviationFamily(math.NaN())
	require.False(t, ok)
}

func TestSharpTurn(t *testing.T) {
	// Common practice: beyond 120°.
	for deviation, want := range map[float64]bool{119.9: false, 120: false, 120.1: true, 180: true} {
		require.Equal(t, want, IsSharpTurn(deviation), deviation)
		require.Equal(t, want, IsSharpTurn(-deviation), deviation)
	}
	require.False(t, IsSharpTurn(math.NaN()))
}

func TestLikelySpan(t *testing.T) {
	// Common practice: 500 m up to 60 kV, 2000 m above and where the voltage is unknown.
	for nominal, want := range map[float64]float64{0.4: 500, 33: 500, 59.9: 500, 60: 500, 60.1: 2000, 63: 2000, 400: 2000} {
		require.Equal(t, want, LikelySpanM(nominal), nominal)
	}
	require.Equal(t, 2000.0, LikelySpanM(math.NaN()))
}

// Of 1.25 times the nominal voltage, which no Um of IEC 60038 is beyond (value from memory).
func TestBundlesByTheNominalVoltage(t *testing.T) {
	for _, r := range nominalToHighest {
		require.LessOrEqual(t, r.umKV, MostUmShare*r.nominalKV*(1+Tolerance), "%g kV", r.nominalKV)
	}
	for nominal, want := range map[float64]bool{0.4: false, 239: false, 240: true, 287: true, 310: true, math.NaN(): true} {
		require.Equal(t, want, NominalMayHaveBundles(nominal), "%g kV", nominal)
	}
}
