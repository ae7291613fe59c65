package basis_test

import (
	"math"
	"testing"

	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

func TestConsequence(t *testing.T) {
	// Published: Common Network Asset Indices Methodology v2.1, financial consequence of a 33 kV tension set, 227 × type factor 2 × access 1.
	require.InDelta(t, 454, basis.Consequence(227, 2, 1), 1e-9)
	require.InDelta(t, 6, basis.Consequence(2, math.NaN(), 3), 1e-12, "computed: what is not known is left out")
}

// Bounds: value from memory of the same methodology's criticality bands.
func TestConsequenceBand(t *testing.T) {
	for ofMean, want := range map[float64]string{0: "low", 0.749: "low", 0.75: "average", 1: "average", 1.25: "high", 1.99: "high", 2: "very high", 40: "very high"} {
		require.Equal(t, want, basis.ConsequenceBand(ofMean), "%g", ofMean)
	}
	require.Empty(t, basis.ConsequenceBand(math.NaN()))
}
