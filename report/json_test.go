package report

import (
	"bytes"
	"context"
	"encoding/json"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

func auditJSON(t *testing.T, r *audit.Result) (text string, decoded map[string]any) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, JSON(context.Background(), &b, r, nil, nil, nil))
	require.NoError(t, json.Unmarshal(b.Bytes(), &decoded))
	return b.String(), decoded
}

func members(t *testing.T, value any) (names []string) {
	t.Helper()
	object, ok := value.(map[string]any)
	require.True(t, ok, "%v", value)
	for name := range object {
		names = append(names, name)
	}
	return names
}

func element(t *testing.T, decoded map[string]any, list string, at int) map[string]any {
	t.Helper()
	elements, ok := decoded[list].([]any)
	require.True(t, ok, list)
	require.Greater(t, len(elements), at, list)
	return elements[at].(map[string]any)
}

// The members are those that the programs which read audit.json were promised.
func TestAuditJSONHasItsMembers(t *testing.T) {
	_, decoded := auditJSON(t, fixtureResult(t))
	require.ElementsMatch(t, []string{"run", "coverage", "lines", "cohorts", "fault_counts", "faults", "exceptions", "cleared", "jobs"}, members(t, decoded))
	require.ElementsMatch(t, []string{"schema", "id", "version", "as_of", "title", "caution", "inputs", "criteria", "assumptions", "lines",
		"rows_read", "rows_placed", "rows_left_out", "rows_passed_over", "structures", "outputs", "rules", "since", "changes", "decisions", "summary", "suspects", "jobs"}, members(t, decoded["run"]))
	require.ElementsMatch(t, []string{"check", "meets", "falls_short", "not_applicable", "not_assessed", "not_asked", "reasons"}, members(t, element(t, decoded, "coverage", 0)))
	require.ElementsMatch(t, []string{"line", "name", "structures", "length_km", "ordering", "highest_voltage_kV", "circuits", "assemblies",
		"assessed", "exceptions", "verdicts"}, members(t, element(t, decoded, "lines", 0)))
	require.ElementsMatch(t, []string{"kind", "file", "sheet", "row", "column", "value", "message", "weight"}, members(t, element(t, decoded, "faults", 0)))
	require.ElementsMatch(t, []string{"id", "check", "severity", "line", "structure", "structure_to", "circuit", "phase", "side", "observed", "required",
		"measure", "margin", "reason", "remedy", "state", "first_seen", "rests_on", "at", "position"}, members(t, element(t, decoded, "exceptions", 0)))
}

func TestAuditJSONSaysWhatWasFound(t *testing.T) {
	r := fixtureResult(t)
	text, decoded := auditJSON(t, r)

	// 9 units of 295 mm make 2655 mm of the 2700 mm that the invented check wants: 1.67 % too little (computed).
	first := element(t, decoded, "exceptions", 0)
	require.InDelta(t, 2655.0/2700-1, first["margin"], 1e-12)
	require.Equal(t, r.ExceptionIDs()[0], first["id"])
	delete(first, "margin")
	delete(first, "id")
	require.Equal(t, map[string]any{"check": "short-string", "severity": "shortfall", "line": awkwardLine, "structure": formulaText,
		"structure_to": "", "circuit": "1", "phase": "R", "side": "", "observed": 2655.0, "required": 2700.0, "measure": "mm",
		"reason": "9 × U120B is short of 2700 mm.", "remedy": "Add units.", "state": "new", "first_seen": r.Run.AsOf, "rests_on": "row:und here:g", "position": []any{-179.998, -17.001},
		"at": map[string]any{"file": "register.xlsx", "sheet": "Assemblies", "row": 8.0}}, first)
	require.Equal(t, "A,B,C", element(t, decoded, "exceptions", 1)["phase"])

	last := element(t, decoded, "exceptions", len(r.Exceptions)-1)
	require.Equal(t, r.ExceptionIDs()[len(r.Exceptions)-1], last["id"])
	delete(last, "id")
	require.Equal(t, map[string]any{"check": "turns", "severity": "advisory", "line": "N-1", "structure": "004", "structure_to": "", "circuit": "",
		"phase": "", "side": "", "observed": "angle", "required": "tangent", "measure": "", "margin": nil, "reason": "It turns.",
		"remedy": "=1+1 Look at it.", "state": "new", "stated": "Highest voltage", "first_seen": r.Run.AsOf, "rests_on": "here:g structure/003:g structure/005:g hanging/1:u", "position": []any{5.012, 60.1234568}, "at": map[string]any{"file": "structures.geojson", "sheet": "", "row": 4.0}}, last)

	require.Equal(t, map[string]any{"check": "short-string", "meets": 2.0, "falls_short": 4.0, "not_applicable": 0.0, "not_assessed": 1.0, "not_asked": 0.0,
		"reasons": []any{map[string]any{"outcome": "not assessed", "reason": "units per string not stated", "count": 1.0}}},
		element(t, decoded, "coverage", 0))
	awkward := element(t, decoded, "lines", 0)
	require.Equal(t, awkwardLine, awkward["line"])
	require.Nil(t, awkward["highest_voltage_kV"])
	require.Equal(t, map[string]any{"shortfall": 1.0, "advisory": 0.0, "note": 0.0}, awkward["exceptions"])
	run := decoded["run"].(map[string]any)
	require.Equal(t, []any{8.0, 7.0, 1.0}, []any{run["rows_read"], run["rows_placed"], run["rows_left_out"]})
	require.Nil(t, run["lines"])
	require.Equal(t, r.Run.ID, run["id"])
	require.Len(t, decoded["faults"], r.Project.Faults.Total())
	require.Contains(t, text, `"line":"+N-2 <b>&\"é\""`, "nothing is escaped that need not be")
	for _, exception := range r.Exceptions {
		require.Contains(t, text, "\n  {\"check\":\""+r.Checks[exception.Check].ID+"\"", "one element a line")
	}
}

// TestRepeatedRowsAreNotCounted holds that a row which repeats another is counted among those left out, and nowhere else.
func TestRepeatedRowsAreNotCounted(t *testing.T) {
	p := fixture(t)
	p.RowsRead++
	repeated := p.Assemblies.At(0)
	repeated.Source.Row = 99
	p.Assemblies.Append(repeated)
	r := assessed(t, p, 1)
	_, decoded := auditJSON(t, r)
	run := decoded["run"].(map[string]any)
	require.Equal(t, []any{9.0, 7.0, 2.0}, []any{run["rows_read"], run["rows_placed"], run["rows_left_out"]})
	require.Equal(t, []any{1.0, 6.0}, []any{element(t, decoded, "lines", 0)["assemblies"], element(t, decoded, "lines", 1)["assemblies"]})
	require.Equal(t, 7, scopeOf(r).assemblies)
}

func TestEmptyListsAreLists(t *testing.T) {
	r := fixtureResult(t)
	r.Exceptions, r.Project.Faults, r.Run.Assumptions, r.Project.Inputs = nil, audit.Faults{}, nil, nil
	text, decoded := auditJSON(t, r)
	require.Equal(t, []any{}, decoded["exceptions"])
	require.Equal(t, []any{}, decoded["faults"])
	require.Equal(t, []any{}, decoded["fault_counts"])
	require.NotContains(t, text, `"inputs":null`)
	require.NotContains(t, text, `"assumptions":null`)
	var b bytes.Buffer
	require.NoError(t, writeExceptions(context.Background(), &b, r, nil))
	require.NoError(t, json.Unmarshal(b.Bytes(), &decoded))
	require.Equal(t, []any{}, decoded["features"])
}

func TestJSONIsTheSameForAnyNumberOfWorkers(t *testing.T) {
	one, two := assessed(t, fixture(t), 1), assessed(t, fixture(t), 2)
	for _, o := range outputs(alone)[1:] {
		var a, b bytes.Buffer
		require.NoError(t, o.write(context.Background(), &a, one))
		require.NoError(t, o.write(context.Background(), &b, two))
		require.Equal(t, a.String(), b.String(), o.name)
	}
}

func TestTextThatIsNoUTF8IsMadeSo(t *testing.T) {
	r := fixtureResult(t)
	r.Exceptions[0].Verdict.Sentence = "a\xffb"
	_, decoded := auditJSON(t, r)
	require.Equal(t, "a\uFFFDb", element(t, decoded, "exceptions", 0)["reason"])
}

func features(t *testing.T, write func(context.Context, *bytes.Buffer) error) []map[string]any {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write(context.Background(), &b))
	var decoded struct {
		Type, Run string
		Features  []map[string]any
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &decoded))
	require.Equal(t, "FeatureCollection", decoded.Type)
	require.NotEmpty(t, decoded.Run)
	return decoded.Features
}

func TestStructuresGeoJSON(t *testing.T) {
	r := fixtureResult(t)
	found := features(t, func(ctx context.Context, b *bytes.Buffer) error { return writeStructures(ctx, b, r, nil) })
	require.Len(t, found, 8)
	first := found[0]["properties"].(map[string]any)
	require.ElementsMatch(t, []string{"line", "structure", "chainage_m", "span_back_m", "span_ahead_m", "deviation_deg", "role", "family", "requires",
		"zone_class", "ground_m", "exceptions", "wind_span_m", "weight_span_cold_m", "crosses", "doubtful", "severity", "findings", "work_rank", "remedy"}, members(t, first))
	require.Equal(t, "-1", first["structure"])
	require.Nil(t, first["span_back_m"])
	require.Nil(t, first["ground_m"])
	require.Nil(t, first["deviation_deg"])
	require.Nil(t, first["weight_span_cold_m"])
	require.Equal(t, []any{}, first["crosses"])
	require.Equal(t, first["span_ahead_m"].(float64)/2, first["wind_span_m"], "half of the one span at a line end")
	require.Equal(t, "tension", first["requires"])
	require.Equal(t, "c", first["zone_class"])

	turn := found[5]["properties"].(map[string]any)
	require.Equal(t, "004", turn["structure"])
	require.Equal(t, "angle", turn["role"])
	require.Less(t, turn["deviation_deg"], 0.0, "it turns left")
	require.Equal(t, 2.0, turn["exceptions"])
	require.Equal(t, []any{2.0, nil, nil}, []any{turn["findings"], turn["work_rank"], turn["remedy"]})
	require.Equal(t, map[string]any{"type": "Point", "coordinates": []any{5.012, 60.123456789}}, found[5]["geometry"])

	var b bytes.Buffer
	require.NoError(t, writeStructures(context.Background(), &b, r, nil))
	require.Regexp(t, `"deviation_deg":-\d+\.\d{9,}[,}]`, b.String())
	require.Regexp(t, `"span_ahead_m":\d+\.\d{4}[,}]`, b.String())
}

// What a line that was not chosen lacks is not known, which is not the same as none.
func TestLinesNotChosenHaveNoCount(t *testing.T) {
	n, err := audit.Arrange(fixture(t))
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 1))
	r, err := audit.Assess(context.Background(), n, fixtureChecks(), audit.Options{AsOf: "2026-03-31", Lines: []string{"N-1"}})
	require.NoError(t, err)
	found := features(t, func(ctx context.Context, b *bytes.Buffer) error { return writeStructures(ctx, b, r, nil) })
	require.Nil(t, found[0]["properties"].(map[string]any)["exceptions"])
	require.Nil(t, found[0]["properties"].(map[string]any)["findings"])
	require.Equal(t, 0.0, found[2]["properties"].(map[string]any)["exceptions"])
	require.Equal(t, 0.0, found[2]["properties"].(map[string]any)["findings"])
	_, decoded := auditJSON(t, r)
	require.Equal(t, false, element(t, decoded, "lines", 0)["assessed"])
	require.Equal(t, []any{"N-1"}, decoded["run"].(map[string]any)["lines"])
}

func TestExceptionsGeoJSON(t *testing.T) {
	r := fixtureResult(t)
	span := r.Exceptions[len(r.Exceptions)-1]
	span.To = span.Structure + 2
	whole := span
	whole.Structure, whole.To = -1, -1
	across := r.Exceptions[0]
	across.Structure, across.To = 0, 1
	r.Exceptions = append(r.Exceptions[:1], span, whole, across)

	found := features(t, func(ctx context.Context, b *bytes.Buffer) error { return writeExceptions(ctx, b, r, nil) })
	kinds := make([]string, len(found))
	for i, f := range found {
		kinds[i] = f["geometry"].(map[string]any)["type"].(string)
	}
	require.Equal(t, []string{"Point", "LineString", "LineString", "MultiLineString"}, kinds)
	require.Len(t, found[1]["geometry"].(map[string]any)["coordinates"], 3)
	require.Len(t, found[2]["geometry"].(map[string]any)["coordinates"], 6)
	require.Equal(t, "006", found[1]["properties"].(map[string]any)["structure_to"])
	require.Equal(t, "", found[2]["properties"].(map[string]any)["structure"])
	require.Equal(t, map[string]any{"file": "register.xlsx", "sheet": "Lines", "row": 2.0}, found[2]["properties"].(map[string]any)["at"])

	// Half way between −17° and −17.001°, as both ends are 0.002° from the meridian (computed).
	parts := found[3]["geometry"].(map[string]any)["coordinates"].([]any)
	require.Len(t, parts, 2)
	for i, side := range []float64{180, -180} {
		meridian := parts[i].([]any)[1-i].([]any)
		require.Equal(t, side, meridian[0])
		require.InDelta(t, -17.0005, meridian[1], 1e-9)
	}
}

// A check that the project asks for on one line is asked for, whatever others lack.
func TestNotAskedIsOfNoLine(t *testing.T) {
	r := fixtureResult(t)
	reasons := []audit.ReasonCount{{Outcome: audit.NotAssessed, Reason: audit.NoLoadCases, Count: 3}}
	r.Coverage[0] = audit.Coverage{NotAssessed: 3, NotAsked: 3, Reasons: reasons}
	r.Coverage[1] = audit.Coverage{FallsShort: 1, NotAssessed: 3, NotAsked: 3, Reasons: reasons}
	require.Equal(t, []string{r.Checks[0].ID + " (load_cases and insulator_factor)"}, notAsked(r))
}

func TestSummaryIsShort(t *testing.T) {
	var b strings.Builder
	r := fixtureResult(t)
	Summary(&b, r, nil, nil, "out")
	require.LessOrEqual(t, strings.Count(b.String(), "\n"), 15)
	for _, want := range []string{"2 lines, 8 structures", "8 rows read = 7 placed + 1 left out", "4 shortfalls, 1 advisory, 0 notes",
		"4  short-string", "units per string not stated (1)", "2 faults", r.Run.ID, "screening only"} {
		require.Contains(t, b.String(), want)
	}
	require.NotContains(t, b.String(), "risk")
	Summary(&b, r, nil, nil, "out", riskName)
	require.Contains(t, b.String(), "\nrisk: The project states no figures under risk, so nothing is ranked")
}
