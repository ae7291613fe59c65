package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// A layer of crossings that was emptied stops the run. What fell short at a crossing is not cleared by another that has none, and comes back with
// it as it was; where one crossing of several is gone, the reason says which.
func TestCrossingsAreLostAndFound(t *testing.T) {
	t.Parallel()
	feature := func(kind, lon string) string {
		return fmt.Sprintf(`{"type":"Feature","properties":{"kind":%q},"geometry":{"type":"LineString","coordinates":[[%s,49.99],[%s,50.01]]}}`, kind, lon, lon)
	}
	road, river := feature("road, wide", "10.0045"), feature("river", "10.0105")
	folder := t.TempDir()
	put := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o666))
	}
	structures, rows := "", "Line,Structure,Circuit,Phase,Side,Duty,Unit,Units per string\n"
	for i, side := range []string{"ahead", "", "", "", "", "back"} {
		structures += fmt.Sprintf(`{"type":"Feature","properties":{"line":"F1","structure":"%d","sequence":%d},"geometry":{"type":"Point","coordinates":[%.3f,50]}}`+"\n", i+1, i+1, 10+0.003*float64(i))
		rows += fmt.Sprintf("F1,%d,1,ABC,%s,%s,U70BL,12\n", i+1, side, map[bool]string{true: "suspension", false: "tension"}[side == ""])
	}
	put("structures.geojson", structures)
	put("Assemblies.csv", rows)
	put("Lines.csv", "Line,Circuits,Phases,Nominal voltage (kV)\nF1,1,\"A,B,C\",132\n")
	layer := func(name, crossings string) {
		put(name, `{"type":"FeatureCollection","features":[`+crossings+`]}`)
		put("audit.yaml", "title: Crossings\nstructures: {file: structures.geojson}\nregister: [{file: Assemblies.csv}, {file: Lines.csv}]\ncrossings: {file: "+name+"}\n"+
			"criteria: {default_class: c, crossing_rules: {\"road, wide\": double, river: double}}\n")
	}
	type said struct {
		told
		Run      struct{ Since *struct{ Remarks []string } }
		Coverage []struct {
			Check         string
			Meets         int
			NotApplicable int `json:"not_applicable"`
			NotAssessed   int `json:"not_assessed"`
		}
	}
	night := func(day, crossings string) (s said) {
		layer(map[bool]string{true: "none.geojson", false: "crossings.geojson"}[crossings == ""], crossings)
		code, stderr := auditSince(t, filepath.Join(folder, "audit.yaml"), filepath.Join(folder, "out"), day)
		require.Equal(t, exitDone, code, stderr)
		raw, err := os.ReadFile(filepath.Join(folder, "out", "audit.json"))
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(raw, &s))
		return s
	}
	require.Len(t, night("2026-01-01", road+","+river).Exceptions, 4)

	layer("crossings.geojson", "")
	code, stderr := auditSince(t, filepath.Join(folder, "audit.yaml"), filepath.Join(folder, "out"), "2026-01-02")
	require.Equal(t, exitInputs, code, stderr)
	require.Contains(t, stderr, "crossings.geojson: holds no crossings, though it had some in the run as of 2026-01-01, named under crossings")

	for range 2 {
		emptied := night("2026-01-02", "")
		require.Empty(t, emptied.Exceptions)
		require.Len(t, emptied.Cleared, 4)
		for _, c := range emptied.Cleared {
			require.Equal(t, "not assessed", c.Why)
			require.Regexp(t, `the crossing "(road, wide|river)" at its spans is not in the inputs any more, nor is any other`, c.Detail)
		}
		require.Contains(t, emptied.Run.Since.Remarks[0], "the crossings of the inputs are none, and there were some")
	}
	emptied := night("2026-01-03", "")
	require.Len(t, emptied.Cleared, 4, "as long as there are none")

	for _, c := range emptied.Coverage {
		if c.Check == "double-at-crossing" {
			require.Equal(t, []int{0, 0}, []int{c.Meets, c.NotApplicable}, "of a layer without any nothing is known")
			require.Positive(t, c.NotAssessed)
		}
	}

	again := night("2026-01-04", road+","+river)
	require.Empty(t, again.Cleared)
	for _, e := range again.Exceptions {
		require.Equal(t, []string{"standing", "2026-01-01"}, []string{e.State, e.First})
	}

	fewer := night("2026-01-05", river)
	require.Len(t, fewer.Exceptions, 2)
	require.Len(t, fewer.Cleared, 2)
	require.Empty(t, fewer.Run.Since.Remarks)
	for _, c := range fewer.Cleared {
		require.Equal(t, []string{"does not apply", `the crossing "road, wide" at its spans is not in the inputs any more`}, []string{c.Why, c.Detail})
	}
}
