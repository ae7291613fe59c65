package report

import (
	"bytes"
	"context"
	"encoding/json"
	"regexp"
	"strings"
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
			{Make: "=Vell", Type: "U120B", FirstYear: 1990, LastYear: 1999, Class: basis.ClassC, Assemblies: 30, Uncounted: 1, Units: 263, Least: 81, Most: 81},
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

// The page has the figures of the sheet in its rows, which need no scripts, and of more cohorts than it has room for those with the most units.
func TestCohortsOnThePage(t *testing.T) {
	r := fixtureResult(t)
	cohorts := []audit.Cohort{
		{Make: "<b>Vell", Type: "U120B", FirstYear: 1990, LastYear: 1999, Class: basis.ClassC, Assemblies: 30, Uncounted: 1, Units: 1263, Unstated: 1000, Least: 81, Most: 81},
		{Type: "U120B", FirstYear: 2004, LastYear: 2004, Assemblies: 5, Units: 60, Unstated: 30, Least: 1, Most: 3},
		{Assemblies: 4, Units: 29},
	}
	page := func(limits pageLimits) string {
		a := &account{}
		a.cohortsOnce.Do(func() { a.cohorts = cohorts })
		var b bytes.Buffer
		require.NoError(t, writeHTML(context.Background(), &b, r, a, limits))
		_, section, found := strings.Cut(scripted.ReplaceAllString(b.String(), ""), `id="cohorts-heading"`)
		require.True(t, found)
		require.Contains(t, b.String(), `href="#cohorts-heading"`)
		section, _, _ = strings.Cut(section, "</section>")
		return section
	}
	rows := func(section string) (rows [][]string) {
		for _, row := range regexp.MustCompile(`(?s)<tr>(<th scope="row".*?)</tr>`).FindAllStringSubmatch(section, -1) {
			var cells []string
			for _, cell := range regexp.MustCompile(`(?s)<t[hd]( [^>]*)?>(.*?)</t[hd]>`).FindAllStringSubmatch(row[1], -1) {
				cells = append(cells, regexp.MustCompile(`<[^>]*>`).ReplaceAllString(cell[2], ""))
			}
			rows = append(rows, cells)
		}
		return rows
	}
	whole := page(pageLimits{structures: 100, exceptions: 30, rows: 10, zonePositions: 100, text: 300})
	require.Equal(t, [][]string{
		{"&lt;b&gt;Vell", "U120B", "1990–1999", "c", "1\u202f263 + 1 assembly not counted", "263", "81", "308.0", "255.3 to 366.2"},
		{"not stated", "U120B", "2004", "not stated", "60", "30", "1 to 3", "33.3 to 100.0", "5.9 to 256.2"},
		{"not stated", "not stated", "not stated", "not stated", "29", "29", "0", "fewer than 30: no rate", ""},
	}, rows(whole))
	require.Contains(t, whole, `role="status">3 cohorts<`)
	for _, remark := range cohortRemarks(r.Network.RowsLeftOut) {
		require.Contains(t, whole, remark)
	}

	few := page(pageLimits{structures: 100, exceptions: 30, rows: 2, zonePositions: 100, text: 300})
	require.Equal(t, rows(whole)[:2], rows(few))
	require.Contains(t, few, "the 2 with the most units of 3 cohorts; audit.json has all")

	var b bytes.Buffer
	a := &account{}
	a.cohortsOnce.Do(func() {})
	require.NoError(t, writePage(context.Background(), &b, r, a))
	require.NotContains(t, scripted.ReplaceAllString(b.String(), ""), "ohorts", "where nothing is placed nothing is said of cohorts")
}
