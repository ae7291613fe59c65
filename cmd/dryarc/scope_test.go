package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/checks"
	"dryarc/audit/read"
	"dryarc/audit/remedy"

	"github.com/stretchr/testify/require"
)

// scopeOut is what the tests read of scope.json.
type scopeOut struct {
	Run struct {
		ID      string `json:"id"`
		Caution string `json:"caution"`
		Outputs []struct {
			File string `json:"file"`
		} `json:"outputs"`
	} `json:"run"`
	Scenarios []struct {
		Name    string   `json:"name"`
		Lines   []string `json:"lines"`
		InWords []string `json:"in_words"`
		Sums    []struct {
			Units     int `json:"units_to_fit"`
			Fewer     int `json:"units_fewer_by"`
			AfterLook int `json:"units_after_look"`
			SetsLook  int `json:"sets_after_look"`
		} `json:"sums"`
		Assumptions []struct{ Text string }
		Exceptions  []struct {
			ID, Check, Line, Structure string
			Beside                     bool
		} `json:"exceptions"`
		New    []string `json:"new"`
		Mended []string `json:"mended"`
		Jobs   []struct {
			Structure string `json:"structure"`
		} `json:"jobs"`
		Coverage []struct {
			Line, Check string
			Beside      bool
			Today, Then struct {
				Meets       int `json:"meets"`
				FallsShort  int `json:"falls_short"`
				NotAssessed int `json:"not_assessed"`
				NotAsked    int `json:"not_asked"`
			}
			New    int `json:"new"`
			Mended int `json:"mended"`
		} `json:"coverage"`
		Material []struct {
			Item, Unit         string
			Fit, Remove, Reuse int
			Stocked            bool
			Fewer              int `json:"fit_fewer_by"`
			AfterLook          int `json:"fit_after_look"`
			Uncounted          int `json:"remove_not_known_at"`
		} `json:"material"`
		Stopped []struct {
			Line, Limit string
			Structures  []string
			Percent     float64
		} `json:"stopped"`
	} `json:"scenarios"`
}

func scopeOf(t *testing.T, folder string) (out scopeOut) {
	t.Helper()
	content, err := os.ReadFile(filepath.Join(folder, "scope.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(content, &out))
	return out
}

// The scenarios of the demo, as their outputs tell them: the sums hold, and an audit of the demo is what it was without them.
func TestScopeOfTheDemo(t *testing.T) {
	folder := t.TempDir()
	var said bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"scope", demoProject, "--out", folder, "--as-of", "2026-01-01"}, &said, &said), said.String())
	out := scopeOf(t, folder)
	require.Len(t, out.Scenarios, 2)
	require.Contains(t, out.Run.Caution, "screening")
	require.Contains(t, said.String(), out.Scenarios[1].InWords[0])
	today := assessedProject(t, demoProject)
	before := map[string]bool{}
	for _, id := range today.ExceptionIDs() {
		before[id] = true
	}
	for _, s := range out.Scenarios {
		require.NotEmpty(t, s.New, s.Name)
		require.NotEmpty(t, s.Jobs, s.Name)
		require.Contains(t, s.Lines[0], s.Name[:2])
		then := map[string]bool{}
		for _, e := range s.Exceptions {
			then[e.ID] = true
			require.Equal(t, !before[e.ID], slices.Contains(s.New, e.ID), "%s %s", e.Check, e.Structure)
		}
		for _, id := range s.Mended {
			require.True(t, before[id] && !then[id], id)
		}
		newly, short := 0, 0
		for _, c := range s.Coverage {
			newly, short = newly+c.New, short+c.Then.FallsShort
			require.Equal(t, c.Then.FallsShort-c.New, c.Today.FallsShort-c.Mended, "%s %s", c.Line, c.Check)
		}
		require.Equal(t, len(s.New), newly)
		require.Equal(t, len(s.Exceptions), short)
		for _, m := range s.Material {
			require.LessOrEqual(t, m.Reuse, min(m.Fit, m.Remove))
		}
		for _, x := range s.Stopped {
			require.NotEmpty(t, x.Structures)
			require.NotNil(t, checks.ByID(x.Limit), "%s: a limit of the demo has the name of a check", x.Limit)
			require.True(t, x.Percent > 0 && x.Percent <= 100.0001, x.Limit)
		}
	}
	// What hangs in the salt belt is bought longer; strings of 220 kV have no room on the shore alone.
	bought := map[string]int{}
	for _, s := range out.Scenarios {
		for _, m := range s.Material {
			if !m.Stocked {
				bought[m.Unit] += m.Fit
			}
		}
	}
	for _, unit := range []string{"P33-1180", "LP33-1180", "U120BP"} {
		require.Positive(t, bought[unit], unit)
	}
	require.Empty(t, out.Scenarios[0].Stopped)
	require.Equal(t, "string-too-long", out.Scenarios[1].Stopped[0].Limit)
	require.Equal(t, []string{"T-001", "T-002", "T-003", "T-004", "T-005", "T-006"}, out.Scenarios[1].Stopped[0].Structures)
	require.Contains(t, out.Scenarios[1].Assumptions[0].Text, `Nominal voltage (kV) is 220 on these lines (the project's own figure, by scenario "SD-132 to 220 kV")`)
	said.Reset()
	require.Equal(t, exitDone, run(context.Background(), []string{"verify", folder}, &said, &said), said.String())
	require.Contains(t, said.String(), out.Run.ID)

	without := filepath.Join(t.TempDir(), "audit.yaml")
	content, err := os.ReadFile(demoProject)
	require.NoError(t, err)
	plain, _, found := strings.Cut(string(content), "# What is looked at beside")
	require.True(t, found)
	require.NoError(t, os.CopyFS(filepath.Dir(without), os.DirFS(filepath.Dir(demoProject))))
	require.NoError(t, os.WriteFile(without, []byte(plain), 0o600))
	require.Equal(t, today.Run.ID, assessedProject(t, without).Run.ID)
}

// The same run writes the same bytes, with any number of workers.
func TestScopeIsTheSameAgain(t *testing.T) {
	first, second := t.TempDir(), t.TempDir()
	for folder, workers := range map[string]string{first: "1", second: "4"} {
		var said bytes.Buffer
		require.Equal(t, exitDone, run(context.Background(), []string{"scope", demoProject, "--out", folder, "--as-of", "2026-01-01", "--workers", workers, "--quiet"}, &said, &said), said.String())
	}
	for _, name := range []string{"scope.json", "scope.geojson", "scope.html", "scope.xlsx"} {
		a, err := os.ReadFile(filepath.Join(first, name))
		require.NoError(t, err)
		b, err := os.ReadFile(filepath.Join(second, name))
		require.NoError(t, err)
		require.True(t, bytes.Equal(a, b), name)
	}
}

// The register of a scenario audits as the scenario with its remedies done.
func TestRegisterOfAScenario(t *testing.T) {
	const name = "SD-132 to 220 kV"
	out := t.TempDir()
	var said bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"scope", demoProject, "--scenario", name, "--also", "register,lines", "--out", out, "--as-of", "2026-01-01"}, &said, &said), said.String())
	content, err := os.ReadFile(demoProject)
	require.NoError(t, err)
	folder := t.TempDir()
	require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Dir(demoProject))))
	path := filepath.Join(folder, "after.yaml")
	require.NoError(t, os.WriteFile(path, []byte(strings.Replace(string(content), "file: assemblies.xlsx", "file: "+filepath.Join(out, "scope-register.xlsx"), 1)), 0o600))
	after := assessedProject(t, path)

	project, err := read.Project(context.Background(), demoProject)
	require.NoError(t, err)
	then := assessed(t, project.Under(&project.Scenarios[1]))
	jobs, err := remedy.Search(context.Background(), then, remedy.Options{Workers: 2, Buy: true})
	require.NoError(t, err)
	jobs = slices.DeleteFunc(jobs, func(j remedy.Job) bool {
		return then.Project.Symbols.Text(then.Network.Lines[j.Line].Symbol) != "SD-132"
	})
	done := assessed(t, remedy.Apply(then.Project, jobs))
	want, got := done.ExceptionIDs(), after.ExceptionIDs()
	require.NotEmpty(t, want)
	require.ElementsMatch(t, want, got)

	// The sheet Lines alone takes the place of that of the register.
	lines := filepath.Join(folder, "lines.yaml")
	sheet := "file: " + filepath.Join(out, "scope-lines.xlsx")
	require.NoError(t, os.WriteFile(lines, []byte(strings.Replace(string(content), "register:\n  file: assemblies.xlsx",
		"register:\n  - {"+sheet+", sheets: {Lines: Lines}}\n  - {file: assemblies.xlsx, sheets: {Lines: ignore}}", 1)), 0o600))
	require.ElementsMatch(t, then.ExceptionIDs(), assessedProject(t, lines).ExceptionIDs())
}

// A register that would be read otherwise than it is written is refused before anything is judged.
func TestRegisterOfAScenarioIsRefused(t *testing.T) {
	in, folder := island(t), t.TempDir()
	in.project += "words: {Unit: {GR-33: SH-1, SH-1: U70BL}}\nscenarios: [{name: x, classes: worse by 1}]\n"
	in.writeAll(t, folder)
	var said bytes.Buffer
	require.Equal(t, exitOutputs, run(context.Background(), []string{"scope", filepath.Join(folder, "audit.yaml"), "--also", "register", "--out", filepath.Join(folder, "out")}, &said, &said))
	require.Contains(t, said.String(), "or leave out register")
	require.NoDirExists(t, filepath.Join(folder, "out"))
}

// Headroom needs no scenarios, and is of the lines as they stand with them too.
func TestHeadroomWithAndWithoutScenarios(t *testing.T) {
	t.Parallel()
	in, folder := island(t), t.TempDir()
	out := filepath.Join(folder, "out")
	curves := func(project string, args ...string) (list []any) {
		in.project = project
		in.writeAll(t, folder)
		var said bytes.Buffer
		args = append([]string{"scope", filepath.Join(folder, "audit.yaml"), "--headroom", "--out", out, "--as-of", "2026-01-01"}, args...)
		require.Equal(t, exitDone, run(context.Background(), args, &said, &said), said.String())
		content, err := os.ReadFile(filepath.Join(out, "scope.json"))
		require.NoError(t, err)
		var told struct{ Headroom []any }
		require.NoError(t, json.Unmarshal(content, &told))
		require.NotEmpty(t, told.Headroom)
		said.Reset()
		require.Equal(t, exitDone, run(context.Background(), []string{"verify", out}, &said, &said), said.String())
		return told.Headroom
	}
	plain := in.project
	without := curves(plain, "--workers", "1")
	require.Equal(t, without, curves(plain+"scenarios: [{name: x, classes: worse by 1}]\n", "--workers", "3"))
	var said bytes.Buffer
	require.Equal(t, exitUsage, run(context.Background(), []string{"scope", filepath.Join(folder, "audit.yaml"), "--headroom", "--scenario", "y", "--out", out}, &said, &said))
	in.project = plain
	in.writeAll(t, folder)
	said.Reset()
	require.Equal(t, exitUsage, run(context.Background(), []string{"scope", filepath.Join(folder, "audit.yaml"), "--out", out}, &said, &said))
	require.Contains(t, said.String(), "or --headroom to look at the lines as they stand")
	said.Reset()
	require.Equal(t, exitUsage, run(context.Background(), []string{"scope", filepath.Join(folder, "audit.yaml"), "--headroom", "--also", "lines", "--out", out}, &said, &said))
	require.Contains(t, said.String(), "--also is of one scenario, and there are 0")
}

// The headroom of a scenario is that of a project in whose files the same was written, on the lines that it is about.
func TestHeadroomOfAScenarioIsThatOfItsFiles(t *testing.T) {
	told := func(files map[string]string) (today, then []any) {
		files["lines.csv"] += "L2,132,145,550,1,earthed\n"
		files["towers.csv"] += "L2,1,76.100,12.7,100\nL2,2,76.103,12.7,100\n"
		files["assemblies.csv"] = "Line,Structure,Circuit,Phase,Side,Duty,Unit,Units per string,Strings\nL1,1,1,\"A,B,C\",both,tension,U120B,14,1\nL1,4,1,\"A,B,C\",both,tension,U120B,14,1\n" +
			"L1,2,1,\"A,B,C\",,suspension,U120B,10,1\nL1,3,1,\"A,B,C\",,suspension,U120B,13,1\nL2,1,1,\"A,B,C\",,suspension,U120B,10,1\nL2,2,1,\"A,B,C\",,suspension,U120B,11,1\n"
		out, ended, said := scopeOfFiles(t, files, "--headroom")
		require.Equal(t, exitDone, ended, said)
		content, err := os.ReadFile(filepath.Join(out, "scope.json"))
		require.NoError(t, err)
		var told struct {
			Headroom  []any
			Scenarios []struct{ Headroom []any }
		}
		require.NoError(t, json.Unmarshal(content, &told))
		if len(told.Scenarios) > 0 {
			then = told.Scenarios[0].Headroom
			require.Contains(t, textOfSheet(t, filepath.Join(out, "scope.xlsx"), "Headroom"), "\nbigger\nL1\n")
			require.NotContains(t, textOfSheet(t, filepath.Join(out, "scope.xlsx"), "Headroom"), "\nbigger\nL2\n")
		}
		return told.Headroom, then
	}
	files := hamlet()
	files["audit.yaml"] = strings.Replace(files["audit.yaml"], "{name: d, lines: [L1], criteria: {default_class: d}}", "{name: bigger, lines: [L1], criteria: {default_class: b}, set: {highest_voltage_kV: 170, nominal_voltage_kV: 150, lightning_level_kV: 650}}", 1)
	today, then := told(files)
	files = hamlet()
	files["audit.yaml"], _, _ = strings.Cut(strings.Replace(files["audit.yaml"], "default_class: c", "default_class: b", 1), "scenarios:")
	files["lines.csv"] = strings.Replace(files["lines.csv"], "L1,132,145,550", "L1,150,170,650", 1)
	written, _ := told(files)
	written = slices.DeleteFunc(written, func(c any) bool { return c.(map[string]any)["line"] != "L1" })
	require.NotEmpty(t, written)
	require.Equal(t, written, then)
	require.NotEqual(t, today[:len(then)], then)
}

// A scenario that there is not is refused with the nearest name.
func TestUnknownScenarioIsRefused(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	var said bytes.Buffer
	require.Equal(t, exitUsage, run(context.Background(), []string{"scope", demoProject, "--scenario", "SD-132 to 200 kV", "--out", out}, &said, &said))
	require.Contains(t, said.String(), `--scenario "SD-132 to 200 kV" is no scenario of the project file, expected "DP-33 in the salt belt", "SD-132 to 220 kV"`)
	require.Contains(t, said.String(), `did you mean "SD-132 to 220 kV"?`)
	require.NoDirExists(t, out)
}

// A line that has two rows has what a scenario sets in both.
func TestScenarioSetsEveryRowOfALine(t *testing.T) {
	in, folder := island(t), t.TempDir()
	at := slices.IndexFunc(in.sheets["Lines"], func(row []string) bool { return row[0] == "SD-132" })
	in.sheets["Lines"] = append(in.sheets["Lines"], slices.Clone(in.sheets["Lines"][at]))
	in.project += "scenarios: [{name: x, lines: [SD-132], set: {highest_voltage_kV: 170}}]\n"
	in.writeAll(t, folder)
	project, err := read.Project(context.Background(), filepath.Join(folder, "audit.yaml"))
	require.NoError(t, err)
	r := assessed(t, project.Under(&project.Scenarios[0]))
	line := slices.IndexFunc(r.Network.Lines, func(l audit.Line) bool { return project.Symbols.Text(l.Symbol) == "SD-132" })
	require.Equal(t, 170.0, r.Network.Lines[line].HighestKV)
}

// What a scenario sets names the scenario in the derivation, and nothing else does.
func TestWhatIsSetNamesItsScenario(t *testing.T) {
	project, err := read.Project(context.Background(), demoProject)
	require.NoError(t, err)
	pristine := project.Pristine()
	sources := func(p *audit.Project) map[string]string {
		r, found := assessed(t, p), map[string]string{}
		line := slices.IndexFunc(r.Network.Lines, func(l audit.Line) bool { return p.Symbols.Text(l.Symbol) == "SD-132" })
		for _, beyond := range []int{20, 21} { // a tension structure and one of suspension
			for _, d := range audit.Explain(r.Network, r.Checks, line, r.Network.Lines[line].First+beyond) {
				for _, step := range d.Trace.Steps {
					found[d.Check.ID+" "+step.Symbol] = step.Clause.String()
				}
			}
		}
		return found
	}
	today, then := sources(project), sources(pristine.Under(&project.Scenarios[1]))
	for _, step := range []string{"creepage U_m", "lightning-withstand U_level", "strength T", "swing φ_lim"} {
		require.NotContains(t, today[step], "scenario", step)
		require.Contains(t, then[step], `scenario "SD-132 to 220 kV"`, step)
	}
	named := 0
	for step, clause := range today {
		require.NotContains(t, clause, "scenario", step)
	}
	for step, clause := range then {
		if strings.Contains(clause, "scenario") {
			named++
			require.Contains(t, []string{"U_m", "U_level", "T", "φ_lim", "L_max"}, step[strings.LastIndex(step, " ")+1:], "what is not set names no scenario")
		}
	}
	require.GreaterOrEqual(t, named, 4)
}

func assessed(t *testing.T, p *audit.Project) *audit.Result {
	t.Helper()
	n, err := audit.Arrange(p)
	require.NoError(t, err)
	require.NoError(t, audit.Derive(context.Background(), n, 2))
	r, err := audit.Assess(context.Background(), n, checks.All(), audit.Options{Workers: 2, Version: version, AsOf: "2026-01-01"})
	require.NoError(t, err)
	return r
}

// What the project file says of lines that it does not know, or in columns that there are not, is an error with the nearest name.
func TestScenariosThatAreRefused(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct{ text, says, hint string }{
		"an unknown line":     {"scenarios: [{name: x, lines: [SD-123], classes: worse by 1}]", `line "SD-123" is no line of the structures`, `did you mean "SD-132"?`},
		"an unknown column":   {"scenarios: [{name: x, set: {nominal_volts_kV: 220}}]", `"nominal_volts_kV" is no column of the sheet Lines`, `did you mean "nominal_voltage_kV"?`},
		"no unit":             {"scenarios: [{name: x, set: {nominal_voltage: 220}}]", "nominal_voltage names no unit", `did you mean "nominal_voltage_kV"?`},
		"no number":           {"scenarios: [{name: x, set: {nominal_voltage_kV: high}}]", `nominal_voltage_kV "high" is not a number`, ""},
		"out of range":        {"scenarios: [{name: x, set: {nominal_voltage_kV: 22000}}]", "is out of range", ""},
		"a conductor":         {"scenarios: [{name: x, set: {conductor: Zebar}}]", `"Zebar" is no conductor`, `did you mean "Zebra"?`},
		"a column twice":      {"scenarios: [{name: x, set: {longest_string_m: 1.4, longest_string_mm: 2000}}]", "Longest string is set twice, as longest_string_m and as longest_string_mm", "set each column once"},
		"a column again":      {"scenarios: [{name: x, set: {lightning_level_kV: 550, Lightning_Level_kV: 900}}]", "Lightning level is set twice", ""},
		"a key of set twice":  {"scenarios: [{name: x, set: {system: earthed, system: isolated}}]", `"system" already defined`, ""},
		"a criterion twice":   {"scenarios: [{name: x, criteria: {default_class: c, default_class: d}}]", `"default_class" already defined`, ""},
		"a case of criteria":  {"scenarios: [{name: x, criteria: {default_class: c, Default_class: d}}]", `unknown key "Default_class"`, `did you mean "default_class"?`},
		"one of for twice":    {"for: [{lines: [SD-132], criteria: {default_class: c, default_class: d}}]", `"default_class" already defined`, ""},
		"a key":               {"scenarios: [{name: x, line: [SD-132], classes: worse by 1}]", `unknown key "line"`, `did you mean "lines"?`},
		"classes":             {"scenarios: [{name: x, classes: worse by 3}]", `classes "worse by 3" is not known`, ""},
		"a class":             {"scenarios: [{name: x, classes: {b: q}}]", `"q" is no pollution class`, ""},
		"nothing":             {"scenarios: [{name: x, lines: [SD-132]}]", `scenario "x" changes nothing`, ""},
		"a name twice":        {"scenarios: [{name: x, classes: worse by 1}, {name: X, classes: worse by 1}]", `scenario "X" stands there twice`, ""},
		"what is not carried": {"scenarios: [{name: x, lines: {district: north}, classes: worse by 1}]", `"district" is no heading or property that is carried`, ""},
		"criteria of none":    {"for: [{criteria: {default_class: c}}]", "an entry of for names no lines", ""},
		"a criterion":         {"for: [{lines: [SD-132], criteria: {default_klass: c}}]", `unknown key "default_klass"`, `did you mean "default_class"?`},
		"priority":            {"for: [{lines: [SD-132], criteria: {priority: {base: 2}}}]", "priority holds for all lines", ""},
		"years of cohorts":    {"for: [{lines: [SD-132], criteria: {cohort_years: 5}}]", "cohort_years holds for all lines, since a cohort is of all lines", ""},
		"accuracy of levels":  {"for: [{lines: [SD-132], criteria: {terrain_accuracy_m: 5}}]", "audit.yaml:30:36: terrain_accuracy_m holds for all lines, since it is of rasters", "state it under the criteria of the project, which stand beside for and scenarios, or accuracy_m in the entry under terrain that names the raster"},
		"accuracy, scenario":  {"scenarios: [{name: x, criteria: {terrain_accuracy_m: 5}}]", "terrain_accuracy_m holds for all lines, since it is of rasters", "state it under the criteria of the project, which stand beside for and scenarios, or accuracy_m in the entry under terrain that names the raster"},
		"a line of for":       {"for: [{lines: [DP-333], criteria: {default_class: c}}]", `line "DP-333" is no line`, `did you mean "DP-33"?`},
	} {
		t.Run(name, func(t *testing.T) {
			in, folder := island(t), t.TempDir()
			in.project += c.text + "\n"
			in.writeAll(t, folder)
			var said bytes.Buffer
			require.Equal(t, exitUsage, run(context.Background(), []string{"scope", filepath.Join(folder, "audit.yaml"), "--out", filepath.Join(folder, "out")}, &said, &said))
			require.Contains(t, said.String(), c.says)
			require.Contains(t, said.String(), "audit.yaml:")
			require.Contains(t, said.String(), c.hint)
			require.NoDirExists(t, filepath.Join(folder, "out"))
		})
	}
}

// Lines are chosen by what their rows or their structures carry.
func TestLinesChosenByWhatTheyCarry(t *testing.T) {
	in, folder := island(t), t.TempDir()
	in.addColumn("Lines", "District")
	in.state(t, "Lines", "Line=SD-132", "District", "North")
	for _, f := range in.layers["structures"].Features {
		f.Properties["area"] = map[bool]string{true: "coast", false: "hills"}[f.Properties["line"] == "DP-33"]
	}
	in.project = strings.Replace(in.project, "register: {file: [Assemblies.csv, Lines.csv, Units.csv, Conductors.csv]}", "register:\n  - {file: [Assemblies.csv, Units.csv, Conductors.csv]}\n  - {file: Lines.csv, carry: [District]}", 1)
	in.project = strings.Replace(in.project, "structures: {file: structures.geojson}", "structures: {file: structures.geojson, carry: [area]}", 1)
	in.project += "scenarios:\n  - {name: a, lines: {district: north}, classes: worse by 1}\n  - {name: b, lines: {area: [coast]}, classes: worse by 1}\n"
	in.writeAll(t, folder)
	p, err := read.Project(context.Background(), filepath.Join(folder, "audit.yaml"))
	require.NoError(t, err)
	for i, want := range []string{"SD-132", "DP-33"} {
		require.Len(t, p.Scenarios[i].Lines, 1)
		require.Equal(t, want, p.Symbols.Text(p.Scenarios[i].Lines[0]))
	}
}

// What prints criteria says where others hold.
func TestCriteriaOfLinesAreTold(t *testing.T) {
	t.Parallel()
	in, folder := island(t), t.TempDir()
	in.project += "for:\n  - {lines: [SD-132], criteria: {default_class: d, long_span_m: 512}}\n"
	in.writeAll(t, folder)
	path, out := filepath.Join(folder, "audit.yaml"), filepath.Join(folder, "out")
	var said bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"audit", path, "--out", out, "--as-of", "2026-01-01"}, &said, &said), said.String())
	content, err := os.ReadFile(filepath.Join(out, "audit.json"))
	require.NoError(t, err)
	var told struct {
		Run struct {
			Criteria        map[string]any
			CriteriaOfLines []struct {
				Lines    []string
				Criteria map[string]any
			} `json:"criteria_of_lines"`
			Assumptions []struct {
				Text  string
				Lines []string
			}
		}
	}
	require.NoError(t, json.Unmarshal(content, &told))
	require.Equal(t, "b", told.Run.Criteria["default_class"])
	require.Len(t, told.Run.CriteriaOfLines, 1)
	require.Equal(t, []string{"SD-132"}, told.Run.CriteriaOfLines[0].Lines)
	require.Equal(t, map[string]any{"default_class": "d", "long_span_m": 512.0}, told.Run.CriteriaOfLines[0].Criteria)
	require.True(t, slices.ContainsFunc(told.Run.Assumptions, func(a struct {
		Text  string
		Lines []string
	}) bool {
		return strings.Contains(a.Text, "long_span_m is 512 metres on these lines") && slices.Equal(a.Lines, []string{"SD-132"})
	}))
	for _, args := range [][]string{{"read", path}, {"explain", path, "SD-132", "T-030"}} {
		said.Reset()
		require.Equal(t, exitDone, run(context.Background(), args, &said, &said))
		if args[0] == "read" {
			require.Contains(t, said.String(), "on line SD-132:\n  default_class  d (the project file, for these lines)")
		}
	}
}

// A line that is none of a scenario's, but was judged again beside one, is marked: without it exceptions and verdicts are as many as the sums and the sentences
// say.
func TestLinesBesideAScenarioAreMarked(t *testing.T) {
	folder := t.TempDir()
	var said bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"scope", demoProject, "--out", folder, "--as-of", "2026-01-01"}, &said, &said), said.String())
	beside := 0
	for _, s := range scopeOf(t, folder).Scenarios {
		exceptions, short, lacking := 0, 0, 0
		for _, e := range s.Exceptions {
			require.Equal(t, !slices.Contains(s.Lines, e.Line), e.Beside, "%s %s", e.Line, e.ID)
			if e.Beside {
				beside++
			} else {
				exceptions++
			}
		}
		for _, c := range s.Coverage {
			require.Equal(t, !slices.Contains(s.Lines, c.Line), c.Beside, c.Line)
			if !c.Beside {
				short, lacking = short+c.Then.FallsShort, lacking+c.Then.NotAssessed-c.Then.NotAsked
			}
		}
		require.Equal(t, short, exceptions, s.Name)
		told := 0
		for _, sentence := range s.InWords {
			told += numberIn(t, sentence, `([\d\x{202F}]+) verdicts? could not be judged`)
		}
		require.Equal(t, told, lacking, s.Name)
	}
	require.Positive(t, beside, "there is such a line in the demo")
}

// A line without a stated voltage has no share to read, and the outputs say what is missing.
func TestHeadroomOfALineWithoutVoltageSaysWhatIsMissing(t *testing.T) {
	in, folder, out := island(t), t.TempDir(), t.TempDir()
	for _, column := range []string{"Nominal voltage", "Highest voltage", "Lightning level"} {
		in.state(t, "Lines", "Line=SD-132", column, "")
	}
	in.writeAll(t, folder)
	var said bytes.Buffer
	require.Equal(t, exitDone, run(context.Background(), []string{"scope", filepath.Join(folder, "audit.yaml"), "--headroom", "--out", out, "--as-of", "2026-01-01", "--quiet"}, &said, &said), said.String())
	content, err := os.ReadFile(filepath.Join(out, "scope.json"))
	require.NoError(t, err)
	var told struct {
		Headroom []struct {
			Line, Check, Quantity string
			Counted               int
			NotAssessed           int            `json:"not_assessed"`
			Since                 map[string]int `json:"not_assessed_since"`
		}
	}
	require.NoError(t, json.Unmarshal(content, &told))
	without := 0
	for _, c := range told.Headroom {
		sum := 0
		for _, n := range c.Since {
			sum += n
		}
		require.Equal(t, c.NotAssessed, sum, "%v", c)
		if c.Line == "SD-132" && c.Check == "creepage" && c.Quantity == "highest voltage" {
			require.Zero(t, c.Counted)
			require.Positive(t, c.Since["voltage of the line not stated"], "%v", c)
			without++
		}
	}
	require.Positive(t, without)
	page, err := os.ReadFile(filepath.Join(out, "scope.html"))
	require.NoError(t, err)
	require.Contains(t, string(page), "Not assessed: voltage of the line not stated at ")
	require.Contains(t, textOfSheet(t, filepath.Join(out, "scope.xlsx"), "Headroom"), "\nvoltage of the line not stated at ")
}
