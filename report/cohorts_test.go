package report

import (
	"bytes"
	"context"
	"encoding/json"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// What the sheet says of a cohort audit.json says too, and neither says a rate of few units, or one number where only the worst string is known.
func TestCohortsOnTheSheetAndInJSON(t *testing.T) {
	r := fixtureResult(t)
	a := &account{}
	a.cohortsOnce.Do(func() {
		a.cohorts = []audit.Cohort{
			{Make: "=Vell", Type: "U120B", FirstYear: 1990, Class: basis.ClassC, Assemblies: 30, Uncounted: 1, Units: 263, Least: 81, Most: 81},
			{Type: "U120B", Class: basis.ClassD, Assemblies: 5, Units: 60, Unstated: 30, Least: 1, Most: 3},
			{Assemblies: 4, Units: 29},
		}
	})
	rows := cells(t, openBookOf(t, r, a, generous), "Cohorts")
	// 81 of 263 are 307.98 per thousand; 255.3 to 366.2 (Newcombe 1998, as in package basis).
	require.Equal(t, []string{"=Vell", "U120B", "1990–1999", "c", "30", "1", "263", "0", "81", "81"}, rows[1][:10])
	require.Regexp(t, `^307\.98`, rows[1][10])
	require.Regexp(t, `^255\.[23]`, rows[1][11])
	require.Regexp(t, `^366\.2`, rows[1][12])
	require.Equal(t, []string{"not stated", "U120B", "not stated", "d", "5", "0", "60", "30", "1", "3", ""}, rows[2][:11])
	require.Equal(t, "of several strings the worst is known; of the units whose condition is stated", rows[2][13])
	require.Equal(t, []string{"not stated", "not stated", "not stated", "not stated", "4", "0", "29", "0", "0", "0", "", "", "", "fewer than 30: no rate"}, rows[3])

	var b bytes.Buffer
	require.NoError(t, writeAudit(context.Background(), &b, r, a))
	var told struct{ Cohorts []map[string]any }
	require.NoError(t, json.Unmarshal(b.Bytes(), &told))
	require.Len(t, told.Cohorts, 3)
	require.InDelta(t, 307.98, told.Cohorts[0]["defective_per_thousand"], 0.01)
	require.Equal(t, []any{1990.0, 1999.0, "c"}, []any{told.Cohorts[0]["installed_from"], told.Cohorts[0]["installed_to"], told.Cohorts[0]["pollution_class"]})
	require.Nil(t, told.Cohorts[1]["defective_per_thousand"])
	require.NotNil(t, told.Cohorts[1]["per_thousand_high"])
	for _, member := range []string{"make", "type", "installed_from", "pollution_class", "defective_per_thousand", "per_thousand_low", "per_thousand_high"} {
		require.Nil(t, told.Cohorts[2][member], member)
	}
}

func TestCohortsOfTheFixtureAddUp(t *testing.T) {
	r := fixtureResult(t)
	assemblies := 0
	for _, c := range (*account)(nil).cohortsOf(r) {
		assemblies += c.Assemblies
	}
	require.Positive(t, assemblies)
	require.Equal(t, r.Network.RowsPlaced, assemblies)
}
