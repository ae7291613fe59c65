package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// andesCase returns the folder of the real case, whose answer key was made by other code (GeographicLib 2.0, GEOS).
func andesCase(t *testing.T) string {
	t.Helper()
	cases := os.Getenv("DRYARC_CASES")
	if cases == "" {
		require.NotEqual(t, "true", os.Getenv("CI"), "DRYARC_CASES must be set under CI")
		t.Skip("DRYARC_CASES is not set, the real case is skipped")
	}
	return filepath.Join(cases, "andes")
}

// auditJSON is what the tests read of audit.json.
type auditJSON struct {
	Exceptions []exceptionJSON
	Coverage   []struct {
		Check         string
		Meets         int
		FallsShort    int `json:"falls_short"`
		NotApplicable int `json:"not_applicable"`
		NotAssessed   int `json:"not_assessed"`
		Reasons       []struct {
			Outcome, Reason string
			Count           int
		}
	}
	Faults []struct {
		Kind, File, Sheet, Key, Column, Value, Message string
		Row                                            int
		OtherRows                                      []int `json:"other_rows"`
	}
	Lines []json.RawMessage
	Run   struct {
		ID          string
		RowsRead    int `json:"rows_read"`
		RowsPlaced  int `json:"rows_placed"`
		RowsLeftOut int `json:"rows_left_out"`
	}
}

// auditInto runs `dryarc audit` and returns its audit.json.
func auditInto(t *testing.T, project, out string, flags ...string) auditJSON {
	t.Helper()
	var stdout, stderr bytes.Buffer
	args := append([]string{"audit", project, "--out", out, "--as-of", "2026-01-01"}, flags...)
	require.Equal(t, exitDone, run(context.Background(), args, &stdout, &stderr), stderr.String())
	require.Empty(t, stdout.String())
	return readAuditJSON(t, out)
}

// exceptionJSON is what they read of an exception.
type exceptionJSON struct {
	ID                                                     string `json:"id"`
	Check, Severity, Line, Structure, Circuit, Phase, Side string
	StructureTo                                            string `json:"structure_to"`
	Observed, Required                                     any
	Margin                                                 *float64
	Reason                                                 string
}

// worstOfFindings are the first exceptions of each finding: those of one place and circuit that differ in phase, side and figures.
func worstOfFindings(result auditJSON) (worst []exceptionJSON) {
	seen := map[[8]string]bool{}
	word := func(value any) string {
		text, _ := value.(string)
		return text
	}
	for _, e := range result.Exceptions {
		key := [8]string{e.Check, e.Severity, e.Line, e.Structure, e.StructureTo, e.Circuit, word(e.Observed), word(e.Required)}
		if !seen[key] {
			worst = append(worst, e)
		}
		seen[key] = true
	}
	return worst
}

func readAuditJSON(t *testing.T, out string) auditJSON {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
	require.NoError(t, err)
	var result auditJSON
	require.NoError(t, json.Unmarshal(raw, &result))
	return result
}

func readCSV(t *testing.T, file string) (rows []map[string]string) {
	t.Helper()
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	for _, record := range all[1:] {
		row := map[string]string{}
		for i, heading := range all[0] {
			row[heading] = record[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// keysOf lists the exceptions of the checks that an answer key names.
func keysOf(result auditJSON, named map[string]bool) (keys []string) {
	for _, e := range result.Exceptions {
		if named[e.Check] {
			keys = append(keys, strings.Join([]string{e.Check, e.Line, e.Structure, e.Circuit, e.Phase, e.Side}, "|"))
		}
	}
	slices.Sort(keys)
	return keys
}

func answerKey(t *testing.T, file string) (keys []string, named map[string]bool) {
	t.Helper()
	named = map[string]bool{}
	for _, row := range readCSV(t, file) {
		named[row["what"]] = true
		keys = append(keys, strings.Join([]string{row["what"], row["line"], row["structure"], row["circuit"], row["phase"], row["side"]}, "|"))
	}
	slices.Sort(keys)
	return keys, named
}

func TestAndes(t *testing.T) {
	t.Parallel()
	folder := andesCase(t)
	out := t.TempDir()
	result := auditInto(t, filepath.Join(folder, "audit.yaml"), out)

	t.Run("exceptions", func(t *testing.T) {
		want, named := answerKey(t, filepath.Join(folder, "expected.csv"))
		require.Equal(t, want, keysOf(result, named))
	})
	t.Run("faults", func(t *testing.T) { requireAndesFaults(t, folder, result) })
	t.Run("rows", func(t *testing.T) {
		require.Equal(t, 59221, result.Run.RowsRead)
		require.Equal(t, 6+7, result.Run.RowsLeftOut)
		require.Equal(t, result.Run.RowsRead, result.Run.RowsPlaced+result.Run.RowsLeftOut)
		require.Len(t, result.Lines, 303)
	})
	t.Run("voltage unknown", func(t *testing.T) {
		for _, c := range result.Coverage {
			if c.Check == "creepage" {
				stated := 0
				for _, r := range c.Reasons {
					if r.Reason == "voltage of the line not stated" {
						stated = r.Count
					}
				}
				require.Positive(t, stated)
			}
		}
	})
	t.Run("every verdict that is not assessed has its reason", func(t *testing.T) { requireReasons(t, result) })
	t.Run("geometry", func(t *testing.T) { requireAndesGeometry(t, folder, out) })
}

func requireReasons(t *testing.T, result auditJSON) {
	t.Helper()
	for _, c := range result.Coverage {
		with := 0
		for _, r := range c.Reasons {
			require.NotEmpty(t, r.Reason, c.Check)
			if r.Outcome == "not assessed" {
				with += r.Count
			}
		}
		require.Equal(t, c.NotAssessed, with, c.Check)
	}
}

// andesFaultKinds are the kinds of fault by the words of the answer key.
var andesFaultKinds = map[string]string{
	"unknown unit": "unknown-unit", "not a number": "not-a-number", "out of range": "out-of-range",
	"no such structure": "no-such-structure", "duplicate": "duplicate-row",
}

func requireAndesFaults(t *testing.T, folder string, result auditJSON) {
	var want, got []string
	for _, row := range readCSV(t, filepath.Join(folder, "expected_faults.csv")) {
		kind, known := andesFaultKinds[row["fault"]]
		require.True(t, known, row["fault"])
		want = append(want, kind+" "+row["sheet"]+" "+row["row"])
	}
	for _, f := range result.Faults {
		if f.File == "assemblies.xlsx" {
			for _, row := range append([]int{f.Row}, f.OtherRows...) {
				got = append(got, f.Kind+" "+f.Sheet+" "+strconv.Itoa(row))
			}
		}
	}
	slices.Sort(want)
	slices.Sort(got)
	require.Equal(t, want, got)
}

// structuresLayer is what the tests read of structures.geojson.
type structuresLayer struct {
	Features []struct {
		Properties struct {
			Line, Structure, Role string
			ChainageM             float64  `json:"chainage_m"`
			SpanBackM             *float64 `json:"span_back_m"`
			SpanAheadM            *float64 `json:"span_ahead_m"`
			DeviationDeg          *float64 `json:"deviation_deg"`
			ZoneClass             *string  `json:"zone_class"`
		}
	}
}

func requireAndesGeometry(t *testing.T, folder, out string) {
	raw, err := os.ReadFile(filepath.Join(out, "structures.geojson"))
	require.NoError(t, err)
	var layer structuresLayer
	require.NoError(t, json.Unmarshal(raw, &layer))
	oracle := map[string]map[string]string{}
	for _, row := range readCSV(t, filepath.Join(folder, "oracle.csv")) {
		oracle[row["line"]+"|"+row["structure"]] = row
	}
	require.Len(t, layer.Features, 20166)
	require.Len(t, oracle, 20166)
	terminals, tees := 0, 0
	for _, f := range layer.Features {
		p := f.Properties
		key := p.Line + "|" + p.Structure
		want, ok := oracle[key]
		if !ok {
			require.Fail(t, "no such structure", key)
		}
		requireNear(t, key, want["span_back_m"], p.SpanBackM, 0.002)
		requireNear(t, key, want["span_ahead_m"], p.SpanAheadM, 0.002)
		requireNear(t, key, want["chainage_m"], &p.ChainageM, 0.002)
		requireNear(t, key, want["deviation_deg"], p.DeviationDeg, 2e-6)
		if (want["terminal"] == "1") != (p.Role == "terminal") || (want["tee"] == "1") != (p.Role == "tee") {
			require.Fail(t, "another role", "%s: %s", key, p.Role)
		}
		zone := want["mapped_zone"]
		if zone == "" {
			zone = "b" // the project's default class
		}
		if p.ZoneClass == nil || zone != *p.ZoneClass {
			require.Fail(t, "another zone class", key)
		}
		switch p.Role {
		case "terminal":
			terminals++
		case "tee":
			tees++
		}
	}
	require.Equal(t, 606, terminals)
	require.Equal(t, 40, tees)
}

func requireNear(t *testing.T, key, want string, got *float64, tolerance float64) {
	t.Helper()
	figure, err := strconv.ParseFloat(want, 64)
	switch {
	case want == "" && got == nil:
	case want == "" || got == nil || err != nil || math.Abs(figure-*got) > tolerance:
		require.Fail(t, "another figure", "%s: want %q, got %v", key, want, got)
	}
}
