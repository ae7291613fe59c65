package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// demoWith is a copy of the demo project with further criteria.
func demoWith(t *testing.T, criteria string) string {
	t.Helper()
	folder := t.TempDir()
	for _, name := range []string{"audit.yaml", "structures.geojson", "zones.geojson", "crossings.geojson", "places.geojson", "inspections.csv", "assemblies.xlsx"} {
		content, err := os.ReadFile(filepath.Join(filepath.Dir(demoProject), name))
		require.NoError(t, err)
		if name == filepath.Base(demoProject) {
			content = slices.Insert(content, bytes.Index(content, []byte("\n# What is looked at beside")), []byte(criteria)...)
		}
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), content, 0o600))
	}
	return filepath.Join(folder, filepath.Base(demoProject))
}

func runs(t *testing.T, args ...string) string {
	t.Helper()
	var stdout, stderr bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), args, &stdout, &stderr), stderr.String())
	return stdout.String()
}

// A project's own specific creepage is told wherever it decides: in every list of criteria, and beside each figure that
// rests on it in the place of the standard.
func TestOwnSpecificCreepageIsTold(t *testing.T) {
	project := demoWith(t, "  specific_creepage: {base: Um/√3, b: 25}\n")
	require.Contains(t, runs(t, "read", project), "specific_creepage           base: Um/√3, b: 25 mm/kV (stated)\n")

	out := t.TempDir()
	runs(t, "audit", project, "--out", out)
	raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
	require.NoError(t, err)
	var result struct {
		Run struct {
			Criteria    map[string]any
			Assumptions []struct{ Text string }
		}
	}
	require.NoError(t, json.Unmarshal(raw, &result))
	require.Equal(t, map[string]any{"base": "Um/√3", "b": 25.0}, result.Run.Criteria["specific_creepage"])
	for _, assumption := range result.Run.Assumptions {
		require.NotContains(t, assumption.Text, "mm/kV", "what is stated is not assumed")
	}
	page, err := os.ReadFile(filepath.Join(out, "audit.html"))
	require.NoError(t, err)
	require.Regexp(t, `title="specific_creepage">own specific creepage</th><td dir="auto">base: Um/√3, b: 25 mm/kV</td><td>stated<`, string(page))
	var listed []string
	for _, row := range cellsOf(t, filepath.Join(out, "exceptions.xlsx"))["Run"] {
		if len(row) > 3 && row[0] == "specific_creepage" {
			listed = row
		}
	}
	require.Equal(t, []string{"specific_creepage", "base: Um/√3, b: 25", "stated"}, listed[:3])

	const structure = "SD-132"
	explained := runs(t, "explain", project, structure, firstInClassB(t, out, structure))
	require.Regexp(t, `\n  class +b, 25 mm/kV on Um/√3 \(.*the project's own figure\)\n`, explained)
	require.Regexp(t, `\n    RUSCD = 25 mm/kV   \(specific creepage of class b, 25 mm/kV on Um/√3\)   \[the project's own figure\]\n`, explained)
	require.Regexp(t, `\n    L = RUSCD·U·K_ad·K_a = [^\n]*\[the project's own figure\]\n`, explained)
	require.NotRegexp(t, `RUSCD[^\n]*\[IEC`, explained)
	before := runs(t, "explain", demoProject, structure, firstInClassB(t, out, structure))
	require.Regexp(t, `\n    RUSCD = 27.8 mm/kV   \(specific creepage of class b\)   \[IEC TS 60815-1:2008\]\n`, before)
	require.NotRegexp(t, `(RUSCD|class )[^\n]*the project's own figure`, before)

	folder := filepath.Join(t.TempDir(), "mine")
	runs(t, "new", folder)
	template, err := os.ReadFile(filepath.Join(folder, "audit.yaml"))
	require.NoError(t, err)
	require.Contains(t, string(template), "\n  # specific_creepage: {base: Um/√3, d: 44, e: 55}\n")
}

// firstInClassB is the number of the first structure of a line that stands in class b.
func firstInClassB(t *testing.T, out, line string) string {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(out, "structures.geojson"))
	require.NoError(t, err)
	var layer struct {
		Features []struct {
			Properties struct {
				Line, Structure string
				ZoneClass       string `json:"zone_class"`
			}
		}
	}
	require.NoError(t, json.Unmarshal(raw, &layer))
	for _, f := range layer.Features {
		if f.Properties.Line == line && f.Properties.ZoneClass == "b" {
			return f.Properties.Structure
		}
	}
	require.Fail(t, "no structure of the line stands in class b", line)
	return ""
}

// assumptionsOf are what an audit assumes, each with the lines it touches; nil where it touches all.
func assumptionsOf(t *testing.T, project string) map[string][]string {
	t.Helper()
	out := t.TempDir()
	runs(t, "audit", project, "--out", out)
	raw, err := os.ReadFile(filepath.Join(out, "audit.json"))
	require.NoError(t, err)
	var result struct {
		Run struct {
			Assumptions []struct {
				Text  string
				Lines []string
			}
		}
	}
	require.NoError(t, json.Unmarshal(raw, &result))
	lines := map[string][]string{}
	for _, a := range result.Run.Assumptions {
		lines[a.Text] = a.Lines
	}
	return lines
}

// Every default that the demo project leaves in force is an assumption of its result, with the lines it touches.
func TestDefaultsInUseAreAssumed(t *testing.T) {
	defaults := map[string][]string{
		"Suspension assemblies are taken to bear a deviation up to 2° (common practice); nobody stated a limit, so what exceeds it is an advisory.":              {"DF-220", "DP-33-T1", "SD-132"},
		"A line that ends within 0.5 m of a structure of another makes a tee there (a choice of this program).":                                                  nil,
		"Tension assemblies on the through line of a tee are not asked for (common practice), so where there are none it is an advisory.":                        {"DP-33"},
		"A string of discs is taken to withstand 0.9 of its wet flashover (common practice).":                                                                    nil,
		"The dry flashover of an insulator may be 0.75 of its puncture voltage at most (California General Order 64-A, rule 55.3); the project states no share.": {"DP-33", "DP-33-T1"},
		"A span beyond 2000 m, or 500 m on a line of up to 60 kV, is taken for a missing structure (common practice).":                                           nil,
		"Parallel strings are taken to share their load equally (common practice).":                                                                              {"DF-220"},
	}
	have := assumptionsOf(t, demoProject)
	for text, lines := range defaults {
		require.Contains(t, have, text)
		require.Equal(t, lines, have[text], text)
	}
	stated := assumptionsOf(t, demoWith(t, "  deviation_limit_deg: 2\n  tee_tolerance_m: 0.5\n  tension_at_tee: false\n  wet_share: 0.9\n"+
		"  puncture_share: 0.75\n  span_limit_m: 2000\n  unequal_sharing: 1\n"))
	for text := range defaults {
		require.NotContains(t, stated, text)
	}
}

// The default gap factor is assumed where a withstand comes from a gap formula, of lightning impulse too, and nowhere else.
func TestGapFactorIsAssumedWhereItIsUsed(t *testing.T) {
	t.Parallel()
	const text = "The gap factor is 1.25, that of a string in a tower window (value from memory)."
	folder := filepath.Join(t.TempDir(), "mine")
	runs(t, "new", folder)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "lines.csv"), []byte("Line,Nominal voltage (kV),Lightning level (kV)\nL-1,110,550\n"), 0o600))
	project := filepath.Join(folder, "gap.yaml")
	for _, c := range []struct {
		row, criteria string
		assumed       bool
	}{
		{"L-1,2,suspension,U70BL,10,1200,", "{}", true}, // between horns
		{"L-1,2,suspension,U70BL,10,1200,", "{gap_factor: 1.25}", false},
		{"L-1,2,suspension,U70BL,10,1200,600", "{}", false}, // a tested value wins
		{"L-1,2,suspension,U70BL,8,1200,", "{}", false},     // and so does the table of discs
		{"L-1,2,suspension,,,,", "{}", false},
		{"L-1,2,earth wire,,,1200,", "{}", false},
	} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, "assemblies.csv"),
			[]byte("Line,Structure,Duty,Unit,Units per string,Arcing (mm),Lightning withstand (kV)\n"+c.row+"\n"), 0o600))
		require.NoError(t, os.WriteFile(project, []byte("structures: {file: structures.geojson}\nregister: {file: [assemblies.csv, lines.csv]}\ncriteria: "+c.criteria+"\n"), 0o600))
		_, assumed := assumptionsOf(t, project)[text]
		require.Equal(t, c.assumed, assumed, "%s %s", c.row, c.criteria)
	}
}
