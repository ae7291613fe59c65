package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/read"

	"github.com/stretchr/testify/require"
)

// otherZones writes the zones of the island as they might be told in another survey, one class of them unreadable.
func otherZones(t *testing.T, in *inputs, path string) {
	t.Helper()
	content, err := json.Marshal(in.layers["zones"])
	require.NoError(t, err)
	var other layer
	require.NoError(t, json.Unmarshal(content, &other))
	for i, f := range other.Features {
		f.Properties["class"] = map[any]any{"a": "c", "b": "d", "c": "e", "d": "a", "e": "b"}[f.Properties["class"]]
		delete(f.Properties, "specific_creepage")
		delete(f.Properties, "specific_creepage_base")
		if i == 0 {
			f.Properties["class"] = "heavy?"
		}
	}
	content, err = json.Marshal(other)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, content, 0o600))
}

// A scenario with a zones file of its own is an audit of a project with those zones, on its lines, and on no others.
func TestScenarioWithZonesOfItsOwn(t *testing.T) {
	in, folder := island(t), t.TempDir()
	plain := in.project
	in.project += "scenarios: [{name: x, lines: [SD-132], classes: {file: other.geojson}}]\n"
	in.writeAll(t, folder)
	path := filepath.Join(folder, "audit.yaml")
	otherZones(t, in, filepath.Join(folder, "other.geojson"))
	on := func(p *audit.Project, line string, is bool) (list []string) {
		r, err := runProject(p, nil)
		require.NoError(t, err)
		for _, f := range r.findings {
			if (f.line == line) == is {
				list = append(list, fmt.Sprintf("%v %s %v %v %v %v", f.subject, f.check, f.outcome, f.reason, f.observed, f.required))
			}
		}
		slices.Sort(list)
		return list
	}
	p, err := read.ForScope(context.Background(), path)
	require.NoError(t, err)
	require.Len(t, p.Scenarios, 1)
	require.True(t, slices.ContainsFunc(p.Inputs, func(i audit.Input) bool { return i.File == "other.geojson" && i.SHA256 != "" }))
	require.Contains(t, strings.Join(p.Scenarios[0].Notes, " "), `is other.geojson row 1: class "heavy?" is no pollution class`)
	then := p.Under(&p.Scenarios[0])

	require.NoError(t, os.WriteFile(path, []byte(plain), 0o600))
	today, err := read.Project(context.Background(), path)
	require.NoError(t, err)
	in.project = strings.Replace(plain, "file: zones.geojson", "file: other.geojson", 1)
	require.NotEqual(t, plain, in.project)
	require.NoError(t, os.WriteFile(path, []byte(in.project), 0o600))
	files, err := read.Project(context.Background(), path)
	require.NoError(t, err)
	require.Equal(t, on(files, "SD-132", true), on(then.Clone(), "SD-132", true))
	require.NotEqual(t, on(today.Clone(), "SD-132", true), on(files.Clone(), "SD-132", true))
	require.Equal(t, on(today, "SD-132", false), on(then, "SD-132", false))
}

// What a scenario names tells on no audit, and a map that is of somewhere else is no map of its lines.
func TestZonesFileOfAScenarioThatCannotBeUsed(t *testing.T) {
	in, folder := island(t), t.TempDir()
	in.project += "scenarios: [{name: x, lines: [SD-132], classes: {file: other.geojson}}]\n"
	in.writeAll(t, folder)
	path, out := filepath.Join(folder, "audit.yaml"), filepath.Join(folder, "out")
	scope := func() (int, string) {
		var said bytes.Buffer
		code := run(context.Background(), []string{"scope", path, "--out", out, "--as-of", "2026-01-01"}, &said, &said)
		return code, said.String()
	}
	p, err := read.Project(context.Background(), path)
	require.NoError(t, err)
	require.Empty(t, p.Scenarios)
	code, said := scope()
	require.Equal(t, exitInputs, code)
	require.Contains(t, said, "other.geojson")

	far := `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"class":"a"},"geometry":{"type":"Polygon","coordinates":[[[100,10],[101,10],[101,11],[100,10]]]}}]}`
	require.NoError(t, os.WriteFile(filepath.Join(folder, "other.geojson"), []byte(far), 0o600))
	code, said = scope()
	require.Equal(t, exitInputs, code)
	require.Contains(t, said, "has no zone nearer than")

	otherZones(t, in, filepath.Join(folder, "other.geojson"))
	code, said = scope()
	require.Equal(t, exitDone, code, said)
	require.Contains(t, said, "Faults in the zones of other.geojson: ")
}

// A map of a scenario that lies apart from the structures, as in another system than is stated, is doubted as one of today is.
func TestZonesFileOfAScenarioThatLiesApart(t *testing.T) {
	in, folder := island(t), t.TempDir()
	plain := in.project
	in.project += "scenarios: [{name: x, lines: [SD-132], classes: {file: [salt.geojson, apart.geojson]}}]\n"
	in.writeAll(t, folder)
	path := filepath.Join(folder, "audit.yaml")
	const around = `{"type":"Feature","properties":{"class":"?"},"geometry":{"type":"Point","coordinates":[10,45]}}` + "\n" +
		`{"type":"Feature","properties":{"class":"a"},"geometry":{"type":"Polygon","coordinates":[[[%[1]g,%[2]g],[%[3]g,%[2]g],[%[3]g,%[4]g],[%[1]g,%[4]g],[%[1]g,%[2]g]]]}}` + "\n"
	require.NoError(t, os.WriteFile(filepath.Join(folder, "salt.geojson"), fmt.Appendf(nil, around, -180., -90., 180., 90.), 0o600))
	p, err := read.Project(context.Background(), path)
	require.NoError(t, err)
	east := 0.0
	for _, s := range p.Structures.All() {
		east = max(east, s.Lon)
	}
	apart := fmt.Sprintf(`{"type":"Feature","properties":{"class":"e"},"geometry":{"type":"Polygon","coordinates":[[[%g,0],[%g,0],[%g,1],[%g,0]]]}}`, east+3, east+4, east+4, east+3)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "apart.geojson"), []byte(apart), 0o600))

	p, err = read.ForScope(context.Background(), path)
	require.NoError(t, err)
	require.Contains(t, strings.Join(p.Scenarios[0].Notes, " "), "Of the zones of salt.geojson, apart.geojson too: apart.geojson: geometry \"longitude ")
	outcomes := func(p *audit.Project) (count map[audit.Outcome]int) {
		r, err := runProject(p, nil)
		require.NoError(t, err)
		count = map[audit.Outcome]int{}
		for _, f := range r.findings {
			if f.check == "creepage" && f.line == "SD-132" {
				count[f.outcome]++
			}
		}
		return count
	}
	then := outcomes(p.Under(&p.Scenarios[0]))
	require.Zero(t, then[audit.Meets], "what meets for class a may hang in class e")
	require.NotZero(t, then[audit.NotAssessed])

	in.project = strings.Replace(plain, "file: zones.geojson", "file: [salt.geojson, apart.geojson]", 1)
	require.NoError(t, os.WriteFile(path, []byte(in.project), 0o600))
	p, err = read.Project(context.Background(), path)
	require.NoError(t, err)
	require.Equal(t, outcomes(p), then)
}

// Where every class is to be one worse, the structures that no class is worse for are listed.
func TestStructuresThatStayInClassE(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Dir(demoProject))))
	content, err := os.ReadFile(demoProject)
	require.NoError(t, err)
	before, _, found := strings.Cut(string(content), "scenarios:")
	require.True(t, found)
	path, out := filepath.Join(folder, "audit.yaml"), filepath.Join(folder, "out")
	require.NoError(t, os.WriteFile(path, []byte(before+"scenarios: [{name: x, lines: [SD-132], classes: worse by 1}, {name: y, criteria: {default_class: e}, lines: [SD-132], classes: worse by 1}]\n"), 0o600))
	var said bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"scope", path, "--out", out, "--as-of", "2026-01-01"}, &said, &said), said.String())
	content, err = os.ReadFile(filepath.Join(out, "scope.json"))
	require.NoError(t, err)
	var told struct {
		Scenarios []struct {
			Notes []string
			Stays []struct {
				Line       string
				Structures []string
			} `json:"stays_in_class_e"`
		}
	}
	require.NoError(t, json.Unmarshal(content, &told))
	today := assessedProject(t, path)
	n := today.Network
	line := slices.IndexFunc(n.Lines, func(l audit.Line) bool { return n.Project.Symbols.Text(l.Symbol) == "SD-132" })
	for k, s := range told.Scenarios {
		var want []string
		for i := n.Lines[line].First; i < n.Lines[line].End; i++ {
			if at := n.Structure(line, i); at.Class.String() == "e" || k == 1 && at.Zone < 0 {
				want = append(want, n.Number(i))
			}
		}
		require.NotEmpty(t, want)
		require.Len(t, s.Stays, 1)
		require.Equal(t, want, s.Stays[0].Structures)
		require.Contains(t, strings.Join(s.Notes, " "), want[0])
	}
}

// A longest string that was stated for the clearances of another voltage is kept, and said to be.
func TestLimitsOfTodaysVoltageAreNoted(t *testing.T) {
	notes := func(set string) string {
		in, folder := island(t), t.TempDir()
		in.project += "scenarios: [{name: x, lines: [SD-132], set: {" + set + "}}]\n"
		in.writeAll(t, folder)
		p, err := read.ForScope(context.Background(), filepath.Join(folder, "audit.yaml"))
		require.NoError(t, err)
		return strings.Join(p.Scenarios[0].Notes, " ")
	}
	const longest = "still judges here until longest_string_mm is set: 1 ("
	require.Contains(t, notes("nominal_voltage_kV: 220, highest_voltage_kV: 245"), longest)
	require.NotContains(t, notes("highest_voltage_kV: 245, longest_string_mm: 2600"), longest)
	require.NotContains(t, notes("conductor: Zebra"), longest)
}

// A clearance and a swing limit stated for the voltage of today tell nothing of another, be it the line's, of one load case or of a
// structure; those of structures are not known there alone.
func TestClearancesOfTodaysVoltageAreNotKnown(t *testing.T) {
	const left = "Lines whose Clearance went with the voltage that they have, so that nothing is judged by it until clearance_mm is set: 1 ("
	const limit = "Lines whose Swing limit went with the voltage that they have, so that nothing is judged by it until swing_limit_deg is set: 1 ("
	const ofStructures = "Structures whose clearance went with the voltage that their line has, so that no swing is judged there: 2."
	for name, c := range map[string]struct {
		line, column, value, set string
		is                       []string
	}{
		"of the line":       {"DF-220", "Clearance", "900", "highest_voltage_kV: 300, swing_limit_deg: 50", []string{left}},
		"of a load case":    {"DF-220", "Clearance", "ice: 1900", "highest_voltage_kV: 300", []string{left, limit}},
		"set":               {"DF-220", "Clearance", "900", "highest_voltage_kV: 300, clearance_mm: 2500, swing_limit_deg: 50", nil},
		"same voltage":      {"DF-220", "Clearance", "900", "maximum_tension_kN: 60", nil},
		"of a structure":    {"SD-132", "Clearance", "900", "highest_voltage_kV: 170, clearance_mm: 1500, swing_limit_deg: 50", []string{ofStructures}},
		"of both":           {"SD-132", "Clearance", "900", "highest_voltage_kV: 170, swing_limit_deg: 50", []string{left, ofStructures}},
		"limit by its case": {"DF-220", "Swing limit", "ice: 40", "highest_voltage_kV: 300, clearance_mm: 2500", []string{limit}},
	} {
		t.Run(name, func(t *testing.T) {
			in, folder := island(t), t.TempDir()
			in.state(t, "Lines", "Line="+c.line, c.column, c.value)
			in.project += "scenarios: [{name: x, lines: [" + c.line + "], set: {" + c.set + "}}]\n"
			in.writeAll(t, folder)
			p, err := read.ForScope(context.Background(), filepath.Join(folder, "audit.yaml"))
			require.NoError(t, err)
			notes := strings.Join(p.Scenarios[0].Notes, " ")
			for _, note := range []string{left, limit, ofStructures} {
				require.Equal(t, slices.Contains(c.is, note), strings.Contains(notes, note), notes)
			}
			at := slices.IndexFunc(p.Scenarios[0].Sheet, func(row audit.LineRow) bool { return p.Symbols.Text(row.Line) == c.line })
			row := p.Scenarios[0].Sheet[at]
			require.Equal(t, slices.Contains(c.is, left), row.Faulty.Has(audit.CellLength))
			require.Equal(t, slices.Contains(c.is, limit), row.Faulty.Has(audit.CellLimits))
			n, err := audit.Arrange(p.Under(&p.Scenarios[0]))
			require.NoError(t, err)
			superseded := 0
			for k := range n.Lines {
				if p.Symbols.Text(n.Lines[k].Symbol) != c.line {
					continue
				}
				for j := n.Lines[k].First; j < n.Lines[k].End; j++ {
					if n.SupersededAt(k, j).Has(audit.ClearanceSuperseded) {
						superseded++
						then := n.Structure(k, j)
						require.True(t, then.RoomFaulty)
					}
				}
			}
			require.Equal(t, slices.Contains(c.is, ofStructures), superseded == 2)
		})
	}
}

// A swing limit that goes with the voltage takes no other limit of its line along: what nobody asks for is not asked for by a scenario
// either, and a longest string still judges.
func TestSwingLimitOfTodaysVoltageGoesAlone(t *testing.T) {
	for _, longest := range []string{"", "1400"} {
		in, folder := island(t), t.TempDir()
		in.state(t, "Lines", "Line=SD-132", "Swing limit", "40")
		in.state(t, "Lines", "Line=SD-132", "Section limit", "")
		in.state(t, "Lines", "Line=SD-132", "Longest string", longest)
		in.project += "scenarios: [{name: x, lines: [SD-132], set: {highest_voltage_kV: 170}}]\n"
		in.writeAll(t, folder)
		p, err := read.ForScope(context.Background(), filepath.Join(folder, "audit.yaml"))
		require.NoError(t, err)
		n, err := audit.Arrange(p.Under(&p.Scenarios[0]))
		require.NoError(t, err)
		require.NoError(t, audit.Derive(context.Background(), n, 1))
		list, found := checks.All(), map[string]map[string]int{}
		_, err = audit.Assess(context.Background(), n, list, audit.Options{Workers: 1, Each: func(check int, at audit.Location, v audit.Verdict) {
			if p.Symbols.Text(n.Lines[at.Line].Symbol) != "SD-132" || v.Outcome == audit.NotApplicable {
				return
			}
			said := v.Outcome.String()
			if v.Outcome == audit.NotAssessed {
				said = v.Reason.String()
			}
			of := list[check].ID
			if found[of] == nil {
				found[of] = map[string]int{}
			}
			found[of][said]++
		}})
		require.NoError(t, err)
		require.ElementsMatch(t, []string{audit.LineFigureSuperseded.String(), audit.FaultyField.String()}, slices.Collect(maps.Keys(found["swing"]))) // of a unit that nobody states too
		require.Equal(t, []string{audit.SectionLimitNotStated.String()}, slices.Collect(maps.Keys(found["section-length"])))
		require.Equal(t, longest == "", found["string-too-long"][audit.LongestStringNotStated.String()] > 0, found["string-too-long"])
		require.Equal(t, longest != "", found["string-too-long"][audit.FallsShort.String()] > 0, found["string-too-long"])
	}
}

// The map of a scenario that changes classes draws the zones that hold on its lines then: the same with other classes, or those of its file.
func TestMapOfAScenarioDrawsItsZones(t *testing.T) {
	t.Parallel()
	in, folder, out := island(t), t.TempDir(), t.TempDir()
	in.project += "scenarios:\n  - {name: worse, lines: [SD-132], classes: worse by 1}\n  - {name: survey, lines: [SD-132], classes: {file: other.geojson}}\n" +
		"  - {name: as they are, lines: [SD-132], set: {highest_voltage_kV: 245}}\n"
	in.writeAll(t, folder)
	otherZones(t, in, filepath.Join(folder, "other.geojson"))
	var said bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"scope", filepath.Join(folder, "audit.yaml"), "--out", out, "--as-of", "2026-01-01", "--quiet"}, &said, &said), said.String())
	page, err := os.ReadFile(filepath.Join(out, "scope.html"))
	require.NoError(t, err)
	require.Contains(t, string(page), "the map draws zones as they are then on its lines")
	_, data, found := strings.Cut(string(page), `id="audit-data">`)
	require.True(t, found)
	data, _, _ = strings.Cut(data, "</script>")
	type zone struct {
		At, Class int
		Specific  *float64
	}
	var drawn struct {
		Zones      []zone
		ZonesToday int
		Scenarios  []struct{ Zones []zone }
	}
	require.NoError(t, json.Unmarshal([]byte(data), &drawn))
	require.Equal(t, len(in.layers["zones"].Features), drawn.ZonesToday)
	require.Len(t, drawn.Zones, 2*drawn.ZonesToday, "those of the file follow")
	changed := 0
	for _, then := range drawn.Scenarios[0].Zones {
		today := drawn.Zones[then.At]
		if today.Specific == nil && today.Class > 0 && today.Class < 5 {
			require.Equal(t, today.Class+1, then.Class)
			changed++
			continue
		}
		require.Equal(t, today.Class, then.Class)
	}
	require.Positive(t, changed)
	require.Len(t, drawn.Scenarios[0].Zones, drawn.ZonesToday)
	require.Len(t, drawn.Scenarios[1].Zones, drawn.ZonesToday)
	for i, then := range drawn.Scenarios[1].Zones {
		require.GreaterOrEqual(t, then.At, drawn.ZonesToday)
		require.Equal(t, drawn.Zones[then.At].Class, then.Class)
		require.True(t, i == 0 || drawn.Scenarios[1].Zones[i-1].Class <= then.Class, "what asks for more lies above")
	}
	require.Nil(t, drawn.Scenarios[2].Zones, "which leaves classes alone")
}
