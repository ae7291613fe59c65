package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Standard levels: IEC 60071-1 (value from memory, H); half and one and a half of them (computed).
func TestPlausibleLightningLevels(t *testing.T) {
	for _, c := range []struct{ um, low, high float64 }{
		{145, 225, 975},
		{245, 325, 1575},
		{420, 525, 2137.5},
		{800, 837.5, 3150},
		{252, 325, 1575},           // between 245 and 300
		{126, 225, 975},            // between 123 and 145
		{7.2, 0, 142.5},            // below all
		{1100, 837.5, math.Inf(1)}, // above all
		{math.NaN(), 0, math.Inf(1)},
	} {
		low, high := PlausibleLightningLevels(c.um)
		require.Equal(t, c.low, low, "Um %g", c.um)
		require.Equal(t, c.high, high, "Um %g", c.um)
	}
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
		lengthMM  float64
		units     int
		spacingMM float64
		want      bool
	}{
		{1600, 9, 146, true}, {146, 9, 146, false}, {657, 9, 146, true}, {656, 9, 146, false}, {3628, 9, 146, true}, {3629, 9, 146, false},
		{900, 1, 146, true}, {math.NaN(), 9, 146, true}, {1, 9, math.NaN(), true}, {1, -1, 146, true},
	} {
		require.Equal(t, c.want, IsLengthOf(c.lengthMM, c.units, c.spacingMM), "%+v", c)
	}
}
