package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestSpecificCreepage(t *testing.T) {
	// IEC TS 60815-1:2008 and IEC 815:1986 (published); 12.7 is 22.0/√3 (computed).
	for _, c := range []struct {
		class               Class
		letter, name, level string
		unified, levels1986 float64
	}{
		{ClassA, "a", "very light", "", 22.0, 12.7},
		{ClassB, "b", "light", "I", 27.8, 16},
		{ClassC, "c", "medium", "II", 34.7, 20},
		{ClassD, "d", "heavy", "III", 43.3, 25},
		{ClassE, "e", "very heavy", "IV", 53.7, 31},
	} {
		require.Equal(t, c.letter, c.class.String())
		require.Equal(t, c.name, c.class.Name())
		require.Equal(t, c.level, c.class.Level1986())
		got, ok := SpecificCreepage(Unified, c.class)
		require.True(t, ok)
		require.Equal(t, c.unified, got)
		got, ok = SpecificCreepage(Levels1986, c.class)
		require.True(t, ok)
		require.Equal(t, c.levels1986, got)
		// The two systems differ by up to 0.3 % (computed).
		require.InEpsilon(t, c.unified/math.Sqrt(3), c.levels1986, 0.0035)
	}
	require.InDelta(t, 12.7, 22.0/math.Sqrt(3), 0.005)
}

func TestClassWithoutAFigure(t *testing.T) {
	for _, c := range []Class{ClassUnknown, ClassF, Class(99)} {
		_, ok := UnifiedSpecificCreepage(c)
		require.False(t, ok, c)
		_, ok = SpecificCreepage1986(c)
		require.False(t, ok, c)
		require.Equal(t, c, c.Worse())
	}
	require.Equal(t, "unknown", ClassUnknown.String())
	require.Equal(t, "unknown", Class(99).String())
	require.Equal(t, "f", ClassF.String())
}

func TestParseClass(t *testing.T) {
	for text, want := range map[string]Class{
		"a": ClassA, " B ": ClassB, "C": ClassC, "d": ClassD, "E": ClassE, "f": ClassF,
		"very light": ClassA, "Light": ClassB, "MEDIUM": ClassC, "heavy": ClassD, "Very-Heavy": ClassE, "very_heavy": ClassE,
		"Moderate": ClassC, "Very Heavily Polluted": ClassE, "Lightly polluted": ClassB, "Muy pesado": ClassE, "Medio (II)": ClassC, "Muy fuerte (IV)": ClassE,
		"ligera": ClassB, "Nível médio": ClassC, "muito leve": ClassA, "très fort": ClassE, "faible": ClassB, "Sehr stark": ClassE, "mittel": ClassC, "tre\u0300s faible": ClassA,
		"I": ClassB, "ii": ClassC, "III": ClassD, "iv": ClassE, "level II": ClassC, "class d": ClassD, "SPS class e": ClassE,
	} {
		got, ok := ParseClass(text)
		require.True(t, ok, text)
		require.Equal(t, want, got, text)
	}
	for _, text := range []string{"", " ", "g", "V", "0", "1", "class", "level", "unknown", "very", "aa", "heavy metal", "-", "muy", "medio a fuerte", "fort moyen", "sehr", "Zona C", "alto"} {
		got, ok := ParseClass(text)
		require.False(t, ok, text)
		require.Equal(t, ClassUnknown, got, text)
	}
}

func TestWorseIsOneClass(t *testing.T) {
	require.Equal(t, ClassB, ClassA.Worse())
	require.Equal(t, ClassE, ClassD.Worse())
	require.Equal(t, ClassE, ClassE.Worse())
}

func TestWorseClassNeverLowersCreepage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		class := Class(rapid.IntRange(int(ClassA), int(ClassE)).Draw(t, "class"))
		basis := CreepageBasis(rapid.IntRange(0, 1).Draw(t, "basis"))
		voltageKV := rapid.Float64Range(1, 700).Draw(t, "phase to earth kV")
		here, ok := SpecificCreepage(basis, class)
		require.True(t, ok)
		worse, ok := SpecificCreepage(basis, class.Worse())
		require.True(t, ok)
		need, needWorse := RequiredCreepage(basis, here, voltageKV, 1, 1), RequiredCreepage(basis, worse, voltageKV, 1, 1)
		if class < ClassE {
			require.Greater(t, needWorse, need)
		} else {
			require.Equal(t, need, needWorse)
		}
	})
}

// A class in doubt is none: read as certain it would earn a verdict that nobody has a right to.
func TestDoubtfulClassesAreNone(t *testing.T) {
	for _, text := range []string{"b?", "II?", ">b", "> b", "~b", "c+", "b*", "≥ c", "± d"} {
		_, ok := ParseClass(text)
		require.False(t, ok, text)
	}
}
