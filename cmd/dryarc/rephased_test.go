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

// A row that is completed, parted by phases and joined again is the same thing, with what was decided of it, however often a run is repeated; it is
// cleared when it meets.
func TestRowsThatNameOtherPhases(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	project, out := filepath.Join(dir, "audit.yaml"), filepath.Join(dir, "out")
	put := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666))
	}
	put("audit.yaml", "title: t\nstructures: {file: structures.geojson}\nregister: {file: [assemblies.csv, lines.csv]}\ndecisions: decisions.csv\ncriteria: {default_class: d, deviation_limit_deg: 2}\n")
	put("lines.csv", "Line,Circuits,Phases,System,Nominal voltage (kV),Highest voltage (kV)\nL,1,ABC,earthed,66,72.5\n")
	var places []string
	for i := 1; i <= 3; i++ {
		places = append(places, fmt.Sprintf(`{"type":"Feature","properties":{"Line":"L","Structure":"%d"},"geometry":{"type":"Point","coordinates":[%.3f,52]}}`, i, 18+float64(i)*0.003))
	}
	put("structures.geojson", `{"type":"FeatureCollection","features":[`+strings.Join(places, ",")+`]}`)
	night := func(day, units string, phases ...string) (found map[string]string, said string) {
		rows := "Line,Structure,Phase,Duty,Unit,Units per string\nL,1,ABC,tension,U70BL,8\nL,3,ABC,tension,U70BL,8\n"
		for _, phase := range phases {
			rows += "L,2," + phase + ",suspension,U70BL," + units + "\n"
		}
		put("assemblies.csv", rows)
		_, said = auditSince(t, project, out, day)
		once, err := os.ReadFile(filepath.Join(out, "audit.json"))
		require.NoError(t, err)
		auditSince(t, project, out, day)
		again, err := os.ReadFile(filepath.Join(out, "audit.json"))
		require.NoError(t, err)
		require.Equal(t, string(once), string(again))
		var told struct {
			Exceptions, Cleared []struct {
				ID, Check, Phase, State, Why string
				Decision                     struct{ Status string }
			}
		}
		require.NoError(t, json.Unmarshal(once, &told))
		found = map[string]string{}
		for _, e := range told.Exceptions {
			found[e.Check+" "+e.Phase] = strings.TrimSpace(e.State + " " + e.Decision.Status)
			if day == "2026-03-01" && e.Check == "creepage" {
				put("decisions.csv", "exception,line,structure,check,decision,until,by,reason,decided,ended,was\n"+e.ID+",,,,accept,2026-12-31,N,seen,,,\n")
			}
		}
		for _, e := range told.Cleared {
			found[e.Check+" "+e.Phase] = e.Why
		}
		return found, said
	}
	put("decisions.csv", "exception,line,structure,check,decision,until,by,reason,decided,ended,was\n")
	found, _ := night("2026-03-01", "4", "AB")
	require.Equal(t, map[string]string{"creepage AB": "new", "phase-missing C": "new"}, found)
	found, _ = night("2026-03-01", "4", "AB")
	require.Equal(t, "new in force", found["creepage AB"])
	for _, c := range []struct {
		day, units string
		phases     []string
		want       map[string]string
		says       string
	}{
		{"2026-03-02", "4", []string{"ABC"}, map[string]string{"creepage ABC": "standing in force", "phase-missing C": "meets"}, "since 1 March 2026: 1 cleared"},
		{"2026-03-03", "4", []string{"A", "B", "C"}, map[string]string{"creepage A": "standing in force", "creepage B": "standing in force", "creepage C": "standing in force"}, "since 2 March 2026: nothing new, worse or cleared"},
		{"2026-03-04", "4", []string{"ABC"}, map[string]string{"creepage ABC": "standing in force", "creepage B": "not assessed", "creepage C": "not assessed"}, "2 that cannot be judged as they stand now, though no datum was lost"},
		{"2026-03-05", "8", []string{"ABC"}, map[string]string{"creepage ABC": "meets", "creepage B": "meets", "creepage C": "meets"}, "since 4 March 2026: 3 cleared"},
	} {
		found, said := night(c.day, c.units, c.phases...)
		require.Equal(t, c.want, found, c.day)
		require.Contains(t, said, c.says)
	}
}
