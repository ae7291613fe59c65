package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestAltitudeFactor(t *testing.T) {
	for _, c := range []struct {
		source       string
		basis        AltitudeBasis
		altitudeM, m float64
		want         float64
		extrapolated bool
	}{
		{"IEC 60071-2 formula, computed", SeaLevel, 2000, 1, 1.2781, false},
		{"IEC 62271-1, published 1.13", Rated1000, 2000, 1, 1.1305, false},
		{"IEC 62271-1, published: 1 up to 1000 m", Rated1000, 500, 1, 1, false},
		{"IEC 62271-1, published: 1 up to 1000 m", Rated1000, 1000, 1, 1, false},
		{"computed: exp(0.75·1000/8150)", Rated1000, 2000, 0.75, 1.0964, false},
		{"computed: exp(3000/8150)", SeaLevel, 3000, 1, 1.4450, true},
		{"computed: no correction", SeaLevel, 4000, 0, 1, true},
		{"computed: either side of the edge", Rated1000, 1001, 1, 1.0001227, false},
		{"computed: either side of sea level", SeaLevel, 1, 1, 1.0001227, false},
		{"IEC 60071-2, published: the data end at 2000 m", SeaLevel, 2000.1, 1, 1.27815, true},
		{"never below 1", SeaLevel, 0, 1, 1, false},
		{"never below 1", SeaLevel, -400, 1, 1, false},
		{"never below 1", Rated1000, -400, 1, 1, false},
	} {
		got, extrapolated, err := AltitudeFactor(c.basis, c.altitudeM, c.m)
		require.NoError(t, err, c.source)
		require.InDelta(t, c.want, got, 5e-5, c.source)
		require.Equal(t, c.extrapolated, extrapolated, c.source)
	}
}

func TestAltitudeOutOfRange(t *testing.T) {
	for _, c := range []struct{ altitudeM, m float64 }{
		{-501, 1}, {9001, 1}, {math.NaN(), 1}, {500, -0.1}, {500, 1.1}, {500, math.NaN()},
	} {
		_, _, err := AltitudeFactor(SeaLevel, c.altitudeM, c.m)
		var out *OutOfRange
		require.ErrorAs(t, err, &out, c)
	}
}

func TestHighGround(t *testing.T) {
	// Common practice: above 1500 m.
	for altitude, want := range map[float64]bool{1499.9: false, 1500: false, 1500.1: true, -400: false} {
		require.Equal(t, want, IsHighGround(altitude), altitude)
	}
	require.False(t, IsHighGround(math.NaN()))
}

func TestAltitudeNeverLowers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		basis := AltitudeBasis(rapid.IntRange(0, 1).Draw(t, "basis"))
		m := rapid.Float64Range(0, 1).Draw(t, "m")
		low := rapid.Float64Range(-500, 9000).Draw(t, "low")
		high := rapid.Float64Range(low, 9000).Draw(t, "high")
		a, _, err := AltitudeFactor(basis, low, m)
		require.NoError(t, err)
		b, _, err := AltitudeFactor(basis, high, m)
		require.NoError(t, err)
		require.GreaterOrEqual(t, b, a)
		require.GreaterOrEqual(t, a, 1.0)
		sea, _, _ := AltitudeFactor(SeaLevel, low, m)
		require.GreaterOrEqual(t, sea, a)
	})
}

func TestAltitudeBasisText(t *testing.T) {
	for _, b := range []AltitudeBasis{SeaLevel, Rated1000} {
		got, ok := ParseAltitudeBasis(b.String())
		require.True(t, ok)
		require.Equal(t, b, got)
	}
	require.Equal(t, "sea level", SeaLevel.String())
	require.Equal(t, "1000 m", Rated1000.String())
	_, ok := ParseAltitudeBasis("")
	require.False(t, ok)
	require.Equal(t, "IEC 60071-2:2018, clause 6.2.2", SeaLevel.Source().String())
	require.Equal(t, "IEC 62271-1", Rated1000.Source().String())
}
