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
