package read

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// TestWordsAreTheirOwn holds every spelling that is written in messages against the vocabulary it belongs to, and
// keeps the further spellings from taking the meaning of another.
func TestWordsAreTheirOwn(t *testing.T) {
	duties := newWords(audit.DutyWords(), moreDutyWords()...)
	for _, s := range audit.DutyWords() {
		got, ok := duties.find(s.Text)
		require.True(t, ok)
		require.Equal(t, s.Value, got, s.Text)
	}
	for text, want := range map[string]audit.Duty{"STRAIN": audit.Tension, "Earth-Wire": audit.EarthWire, "earth_wire": audit.EarthWire, "Dead End": audit.Tension} {
		got, ok := duties.find(text)
		require.True(t, ok, text)
		require.Equal(t, want, got, text)
	}
	_, ok := duties.find("anchor bolt")
	require.False(t, ok)
	for _, text := range []string{"suspension", "suspension", "tension", "", "suspension"} { // as rows have them, one after the other
		got, ok := duties.find(text)
		require.Equal(t, text != "", ok)
		require.Equal(t, map[string]audit.Duty{"suspension": audit.Suspension, "tension": audit.Tension}[text], got, text)
	}
}

func TestParseNumber(t *testing.T) {
	for text, want := range map[string]float64{"7": 7, "-4": -4, "+1.5": 1.5, "1e3": 1000, ".5": 0.5, "1.": 1} {
		got, ok := parseNumber(text)
		require.True(t, ok, text)
		require.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "-", "twelve", "1,5", "1 000", "0x10", "1_000", "NaN", "Inf", "1e999", "7 mm", "1.2.3"} {
		_, ok := parseNumber(text)
		require.False(t, ok, text)
	}
}

func TestTidyNumber(t *testing.T) {
	for text, want := range map[string]string{
		"1.1000000000000001": "1.1", "12.300000000000001": "12.3", "1.1": "1.1", "7.0": "7.0", "12345678901234567890": "12345678901234567890", "1234567890123456.5": "1234567890123456.5",
		"tower no. 12 of the north": "tower no. 12 of the north", "0.1000000000000000055": "0.1",
	} {
		require.Equal(t, want, tidyNumber(text), text)
	}
}

func TestHeadingParts(t *testing.T) {
	for heading, want := range map[string][2]string{
		"Creepage (mm)": {"Creepage ", "mm"}, "Creepage [in]": {"Creepage ", "in"}, "Line": {"Line", ""}, "Creepage (mm": {"Creepage ", "mm"},
		"Defective (worst string) units": {"Defective  units", "worst string"}, "(": {"", ""}, ")(": {")", ""},
	} {
		outside, inside := inBrackets(heading)
		require.Equal(t, want, [2]string{outside, inside}, heading)
	}
}

// TestMeasuresAreTheirOwn finds every unit by each of its names, so that no name stands for two units of a measure,
// and holds the first unit to be the one the audit keeps.
func TestMeasuresAreTheirOwn(t *testing.T) {
	for _, m := range []*measure{millimetres, kilonewtons, kilovolts, kilograms, degrees, kilometres, celsius, squareMetres,
		squareMillimetres, kilogramsPerMetre, gigapascals, millionthsPerKelvin} {
		require.Equal(t, m.name, m.units[0].names[0])
		require.Equal(t, 1.0, m.units[0].factor)
		require.Zero(t, m.units[0].offset)
		for _, u := range m.units {
			for _, name := range u.names {
				found, ok := m.find(" " + name)
				require.True(t, ok)
				require.Equal(t, u.factor, found.factor, "%s of %s", name, m.name)
			}
		}
	}
}
