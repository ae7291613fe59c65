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

// A row that is completed, parted by phases and joined again is the same thing, with what was decided of the phases that it had then, however often a
// run is repeated; it is cleared when it meets.
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
		{"2026-03-02", "4", []string{"ABC"}, map[string]string{"creepage ABC": "standing lapsed", "phase-missing C": "meets"}, "since 1 March 2026: 1 cleared"},
		{"2026-03-03", "4", []string{"A", "B", "C"}, map[string]string{"creepage A": "standing in force", "creepage B": "standing in force", "creepage C": "standing lapsed"}, "since 2 March 2026: nothing new, worse or cleared"},
		{"2026-03-04", "4", []string{"ABC"}, map[string]string{"creepage ABC": "standing lapsed", "creepage B": "not assessed", "creepage C": "not assessed"}, "2 that cannot be judged as they stand now, though no datum was lost"},
		{"2026-03-05", "8", []string{"ABC"}, map[string]string{"creepage ABC": "meets", "creepage B": "meets", "creepage C": "meets"}, "since 4 March 2026: 3 cleared"},
	} {
		found, said := night(c.day, c.units, c.phases...)
		require.Equal(t, c.want, found, c.day)
		require.Contains(t, said, c.says)
	}
}

// A tension assembly whose sides are parted among rows or joined in one is the same thing. What was found of it rests on what was counted on the
// side where that hangs, and is not cleared where that is lost or that side is all that is registered still.
func TestRowsThatNameOtherSides(t *testing.T) {
	t.Parallel()
	const (
		broken  = "K2,2026-05-10,A,back,10,2\n"
		mended  = "K3,2026-05-20,A,back,10,0\n"
		counted = "inspection K2 of 2026-05-10 counted defective units there, and is not in the inputs as it was; nothing later is known of the string"
		blank   = "Defective units: blank now, and something was stated there"
	)
	for _, c := range []struct{ name, then, seenThen, now, seenNow, want string }{
		{"parted", "both 0", broken, "back 0,ahead 0", broken, "back standing"},
		{"parted, and the inspection lost", "both 0", broken, "back 0,ahead 0", "", "both not assessed " + counted},
		{"parted, the other row first", "both 0", broken, "ahead 0,back 0", "", "both not assessed " + counted},
		{"parted, and seen since", "both 0", broken, "ahead 0,back 0", mended, "both does not apply no defective unit"},
		{"parted, and the count lost", "both 3", "", "back ,ahead ", "", "both not assessed " + blank},
		{"parted, and the count of one lost", "both 3", "", "back 0,ahead ", "", "both not assessed " + blank},
		{"joined", "back 0,ahead 0", broken, "both 0", broken, "both standing"},
		{"joined, and the inspection lost", "back 0,ahead 0", broken, "both 0", "", "back not assessed " + counted},
		{"joined, and seen since", "back 0,ahead 0", broken, "both 0", mended, "back does not apply no defective unit"},
		{"joined, and the count lost", "back 3,ahead 0", "", "both ", "", "back not assessed " + blank},
		{"one side alone, and the inspection lost", "both 0", broken, "back 0", "", "both not assessed it was of A,B,C, and no row there is of A,B,C ahead now"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			project, out := filepath.Join(dir, "audit.yaml"), filepath.Join(dir, "out")
			put := func(name, text string) {
				require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
			}
			put("audit.yaml", "structures: {file: structures.csv}\nregister: {file: [assemblies.csv, lines.csv]}\ninspections: {file: inspections.csv}\ncriteria: {default_class: b, sound_units: {132: 9}}\n")
			put("lines.csv", "Line,Circuits,Phases,Nominal voltage (kV)\nL,1,ABC,132\n")
			put("structures.csv", "line,structure,Sequence,Longitude,Latitude\nL,1,1,10,50\nL,2,2,10.003,50\nL,3,3,10.006,50\n")
			night := func(day, rows, seen string) (found string) {
				register := "Line,Structure,Phase,Duty,Unit,Units per string,Strings,Side,Defective units,Installed,Inspected\n"
				for row := range strings.SplitSeq("1 ahead 0,3 back 0,2 "+strings.ReplaceAll(rows, ",", ",2 "), ",") {
					of := strings.Split(row, " ")
					register += fmt.Sprintf("L,%s,ABC,tension,U120B,10,1,%s,%s,2001,2020-01-01\n", of[0], of[1], of[2])
				}
				put("assemblies.csv", register)
				inspections := "Line,Structure,Inspection,Date,Phase,Side,Units seen,Units broken\nL,1,K1,2026-05-01,A,ahead,10,0\n"
				for line := range strings.Lines(seen) {
					inspections += "L,2," + line
				}
				put("inspections.csv", inspections)
				auditSince(t, project, out, day)
				raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
				require.NoError(t, err)
				var told struct {
					Exceptions, Cleared []struct{ Check, Side, State, Why, Detail string }
				}
				require.NoError(t, json.Unmarshal(raw, &told))
				var all []string
				for _, e := range told.Exceptions {
					if e.Check == "sound-units" {
						all = append(all, e.Side+" "+e.State)
					}
				}
				for _, e := range told.Cleared {
					if e.Check == "sound-units" {
						all = append(all, e.Side+" "+e.Why+" "+e.Detail)
					}
				}
				return strings.Join(all, "; ")
			}
			require.Contains(t, night("2026-06-01", c.then, c.seenThen), " new")
			require.Equal(t, c.want, night("2026-06-15", c.now, c.seenNow))
		})
	}
}
