package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The pairs lie between the ends of the levels of their Um, rise, and hold each lightning level that Um has. 300, 550 and 800 kV from memory, H.
func TestSwitchingPairsHoldTheLevelsOfUm(t *testing.T) {
	for um, switching := range map[float64][]float64{300: {750, 850}, 362: {850, 950}, 420: {850, 950, 1050}, 550: {950, 1050, 1175}, 800: {1300, 1425, 1550}} {
		pairs, ok := SwitchingPairs(um)
		require.True(t, ok)
		levels, ok := LightningLevels(um)
		require.True(t, ok)
		var found []float64
		held := map[float64]bool{}
		for _, p := range pairs {
			found = append(found, p.SwitchingKV)
			for _, kV := range p.LightningsKV {
				require.Contains(t, levels, kV, "Um %g", um)
				require.Greater(t, kV, p.SwitchingKV)
				require.Equal(t, StandardPair, LevelPair(um, kV, p.SwitchingKV))
				held[kV] = true
			}
		}
		require.Equal(t, switching, found, "Um %g", um)
		require.Len(t, held, len(levels), "Um %g", um)
	}
	for _, um := range []float64{245, 252, 363, 1100, 1200, math.NaN()} {
		_, ok := SwitchingPairs(um)
		require.False(t, ok, um)
	}
}

func TestLevelPair(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		um, lightning, switching float64
		want                     PairStanding
	}{
		{245, 1050, nan, StandardPair}, {245, 900, nan, NoSuchPair}, {36, 200, nan, NationalAddition}, {72.5, 350, nan, NationalAddition}, {36, 350, nan, NoSuchPair},
		{362, 1175, 950, StandardPair}, {362, 1175, 850, NoSuchPair}, {420, 1425, 1175, PairNotKnown}, {550, 1425, 1175, StandardPair}, {800, 1675, 1550, NoSuchPair},
		{1100, 2400, 1800, NoPairsKnown}, {121, 550, nan, NoPairsKnown}, {169, 750, nan, NoPairsKnown}, {242, 900, nan, NoPairsKnown}, {nan, 550, nan, NoPairsKnown},
	} {
		require.Equal(t, c.want, LevelPair(c.um, c.lightning, c.switching), "%+v", c)
	}
}

func TestSourcesOfPairs(t *testing.T) {
	for um, want := range map[float64]Clause{12: InsulationLevelsSeen, 145: InsulationLevelsSeen, 362: InsulationLevelsSeen, 420: InsulationLevelsSeen, 100: InsulationLevelsSource,
		123: InsulationLevelsSource, 245: InsulationLevelsSource, 300: InsulationLevelsSource, 550: InsulationLevelsSource, 800: InsulationLevelsSource} {
		require.Equal(t, want, LevelPairSource(um), "Um %g", um)
	}
	require.Equal(t, "145/70, 170/70, by national addition 200", LevelPairsInWords(36))
	require.Empty(t, LevelPairsInWords(1100))
}
