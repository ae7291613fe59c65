package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is accepted of a crossing is not accepted of another that comes beside it or in its place, and is in force again where that alone is left; the
// sentence names all that is crossed.
func TestDecisionsOnCrossingsOfOtherKinds(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	put := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600))
	}
	structures, rows := "line,structure,Sequence,Longitude,Latitude\n", "Line,Structure,Phase,Side,Duty,Unit,Units per string\n"
	for i, side := range []string{"ahead", "", "", "back"} {
		structures += fmt.Sprintf("F,%d,%d,%.3f,50\n", i+1, i+1, 10+0.003*float64(i))
		rows += fmt.Sprintf("F,%d,ABC,%s,%s,U70BL,12\n", i+1, side, map[bool]string{true: "suspension", false: "tension"}[side == ""])
	}
	put("structures.csv", structures)
	put("assemblies.csv", rows)
	put("lines.csv", "Line,Circuits,Phases,Nominal voltage (kV)\nF,1,ABC,132\n")
	put("audit.yaml", "structures: {file: structures.csv}\nregister: {file: [assemblies.csv, lines.csv]}\ncrossings: {file: crossings.geojson}\ndecisions: decisions.csv\n"+
		"criteria: {default_class: b, crossing_rules: {river: tension and double, railway: tension and double, road: double}}\n")
	night := func(day string, kinds ...string) (told []string) {
		var crossings []string
		for _, kind := range kinds {
			crossings = append(crossings, fmt.Sprintf(`{"type":"Feature","properties":{"kind":%q},"geometry":{"type":"LineString","coordinates":[[10.0045,49.99],[10.0045,50.01]]}}`, kind))
		}
		put("crossings.geojson", `{"type":"FeatureCollection","features":[`+strings.Join(crossings, ",")+`]}`)
		_, said := auditSince(t, filepath.Join(folder, "audit.yaml"), filepath.Join(folder, "out"), day)
		raw, err := os.ReadFile(filepath.Join(folder, "out", "audit.json"))
		require.NoError(t, err, said)
		var r struct {
			Exceptions []struct {
				Check, Structure, Reason string
				Decision                 struct{ Status string }
			}
		}
		require.NoError(t, json.Unmarshal(raw, &r))
		for _, e := range r.Exceptions {
			if e.Structure == "2" {
				_, crosses, _ := strings.Cut(e.Reason, "crosses a ")
				crosses, _, _ = strings.Cut(crosses, ";")
				told = append(told, e.Check+" "+e.Decision.Status+": "+crosses)
			}
		}
		return told
	}
	put("decisions.csv", "exception,line,structure,check,decision,until,by,reason,decided,ended,was\n,F,2,double-at-crossing,accept,2026-12-31,N,seen,,,\n,F,2,tension-at-crossing,accept,2026-12-31,N,seen,,,\n")
	both := func(status, double, tension string) []string {
		return []string{"tension-at-crossing " + status + ": " + tension, "double-at-crossing " + status + ": " + double}
	}
	for _, c := range []struct {
		day   string
		kinds []string
		want  []string
	}{
		{"2026-03-01", []string{"river"}, both("in force", "river", "river")},
		{"2026-03-02", []string{"river", "railway"}, both("lapsed", "river and a railway", "river and a railway")},
		{"2026-03-03", []string{"railway"}, both("lapsed", "railway", "railway")},
		{"2026-03-04", []string{"river"}, both("in force", "river", "river")},
		{"2026-03-05", []string{"road", "river"}, []string{"tension-at-crossing in force: river", "double-at-crossing lapsed: road and a river"}},
	} {
		require.ElementsMatch(t, c.want, night(c.day, c.kinds...), c.day)
	}
}
