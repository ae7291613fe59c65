package basis

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// caseRow is one row of a reference table by column name; an empty cell is NaN.
type caseRow map[string]string

func (r caseRow) number(t *testing.T, column string) float64 {
	t.Helper()
	text, ok := r[column]
	require.True(t, ok, "no column %q", column)
	if text == "" {
		return math.NaN()
	}
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}

// cases reads a reference table of the Andes case, which was computed by code that shares nothing with this package
// (computed: table look-up and bisection). It skips the test where DRYARC_CASES is not set.
func cases(t *testing.T, name string) []caseRow {
	t.Helper()
	folder := os.Getenv("DRYARC_CASES")
	if folder == "" {
		t.Skip("DRYARC_CASES is not set: reference tables not compared")
	}
	file, err := os.Open(filepath.Join(folder, "andes", name))
	require.NoError(t, err)
	defer file.Close()
	records, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	rows := make([]caseRow, 0, len(records))
	for _, record := range records[1:] {
		row := caseRow{}
		for i, column := range records[0] {
			row[column] = record[i]
		}
		rows = append(rows, row)
	}
	require.Len(t, rows, 300)
	return rows
}

func TestAndesWithstand(t *testing.T) {
	beyond := 0
	for _, r := range cases(t, "expected_withstand.csv") {
		where := r["line"] + " " + r["structure"]
		spacingMM := r.number(t, "spacing_mm")
		got, ok := LightningWithstand(int(r.number(t, "units")), spacingMM, StandardDiameterMM)
		require.True(t, ok, where)
		require.InEpsilon(t, r.number(t, "withstand_kV"), got, 1e-6, where)
		for _, b := range []struct {
			basis           AltitudeBasis
			required, units string
		}{
			{SeaLevel, "required_sea_level_kV", "units_required_sea_level"},
			{Rated1000, "required_1000m_kV", "units_required_1000m"},
		} {
			ka, extrapolated, err := AltitudeFactor(b.basis, r.number(t, "ground_m"), LightningExponent)
			require.NoError(t, err)
			require.Equal(t, r.number(t, "ground_m") > 2000, extrapolated)
			need := ka * r.number(t, "lightning_level_kV")
			require.InEpsilon(t, r.number(t, b.required), need, 1e-6, where)
			n, ok := fewestDiscs(need, spacingMM, lightningOf)
			if r[b.units] == "" { // the reference found no string within the table
				require.False(t, ok, where)
				beyond++
				continue
			}
			require.True(t, ok, where)
			require.Equal(t, r.number(t, b.units), float64(n), where)
		}
	}
	require.Positive(t, beyond)
}

func TestAndesLoads(t *testing.T) {
	const weightNPerM, diameterMM, windPa, maximumKN, coldKN, unitKg = 0.974 * Gravity, 21.0, 400.0, 30.0, 24.0, 5.0
	// The reference prints 4 decimals from angles of 6: a force near zero agrees to 0.001 N, not to a relative figure.
	equal := func(t *testing.T, want, got float64, where string) {
		t.Helper()
		require.InDelta(t, want, got, math.Max(1e-5*math.Abs(want), 1e-3), where)
	}
	for _, r := range cases(t, "expected_loads.csv") {
		where := r["line"] + " " + r["structure"]
		back, ahead := r.number(t, "span_back_m"), r.number(t, "span_ahead_m")
		h1, h2, h3 := r.number(t, "ground_back_m"), r.number(t, "ground_m"), r.number(t, "ground_ahead_m")
		wind := WindSpan(back, ahead)
		weight := WeightSpan(back, ahead, h1, h2, h3, CatenaryConstant(maximumKN, weightNPerM))
		cold := WeightSpan(back, ahead, h1, h2, h3, CatenaryConstant(coldKN, weightNPerM))
		require.InDelta(t, r.number(t, "wind_span_m"), wind, 1e-3, where)
		require.InDelta(t, r.number(t, "weight_span_max_m"), weight, 1e-3, where)
		require.InDelta(t, r.number(t, "weight_span_cold_m"), cold, 1e-3, where)

		s := SwingCase{TensionKN: maximumKN, DeviationDeg: r.number(t, "deviation_deg"), WindSpanM: wind, WeightSpanM: weight,
			WindPa: windPa, DiameterMM: diameterMM, WeightNPerM: weightNPerM,
			StringWeightN: r.number(t, "units") * unitKg * Gravity, Subconductors: 1}
		equal(t, r.number(t, "wind_N"), s.WindN(), where)
		equal(t, r.number(t, "turn_N"), s.TurnN(), where)
		equal(t, r.number(t, "vertical_N"), s.VerticalN(), where)
		equal(t, r.number(t, "resultant_N"), s.ResultantN(), where)
		require.InEpsilon(t, r.number(t, "swing_deg"), s.AngleDeg(), 1e-5, where)
	}
}
