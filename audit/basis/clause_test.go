package basis

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestClauseText(t *testing.T) {
	for want, c := range map[string]Clause{
		"common practice":                                       CommonPractice,
		"computed":                                              Arithmetic,
		"the project's own figure":                              OwnFigure,
		"a choice of this program":                              ProgramChoice,
		"IEC 60071-2:2018, clause 6.2.2":                        AltitudeFromSeaLevel,
		"IEC 60038 (value from memory)":                         HighestVoltageSource,
		"RUS Bulletin 1724E-200, chapter 7 (value from memory)": SwingSource,
	} {
		require.Equal(t, want, c.String())
		require.False(t, c.IsZero())
	}
	require.True(t, Clause{}.IsZero())
	require.Empty(t, Clause{}.String())
}

func TestOutOfRangeNamesValueAndRange(t *testing.T) {
	for want, e := range map[string]*OutOfRange{
		"altitude: 9500 m is out of range, expected -500 to 9000 m":       {"altitude", 9500, -500, 9000, "m"},
		"altitude exponent: unknown is out of range, expected 0 to 1":     {"altitude exponent", math.NaN(), 0, 1, ""},
		"modulus: 0 GPa is out of range, expected above 0 GPa":            {"modulus", 0, AboveZero, Finite, "GPa"},
		"expansion: -1 1e-6/K is out of range, expected 0 1e-6/K or more": {"expansion", -1, 0, Finite, "1e-6/K"},
	} {
		require.EqualError(t, e, want)
	}
}
