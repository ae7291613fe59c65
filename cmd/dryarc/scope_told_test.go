package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A scenario tells the faults that an audit of files in which it is written would find, and that it changes nothing where it does not: on the
// terminal, in the workbook, in scope.json and beside the sheet Lines that goes with it.
func TestScenarioTellsWhatItBringsAndThatItChangesNothing(t *testing.T) {
	t.Parallel()
	const brings, nothing = "A fault that it brings (matters): ", "It changes nothing: "
	const casesToday = "{name: High wind, wind_Pa: 500, tension: maximum}, {name: ice, ice_mm: 15, ice_density: 900, temperature_C: -5, tension: calculated}, {name: cold, tension: cold, uplift: true}, {name: mean, tension: {share: 0.2}}"
	const holds, class = "what it sets and states is what holds already", "no structure of its lines comes into another class"
	for name, c := range map[string]struct {
		lines  string // of the sheet, in place of that of the hamlet
		change string
		says   []string
		not    string
	}{
		"a nominal above the highest":  {change: "set: {nominal_voltage_kV: 220}", says: []string{"Lines whose Highest voltage went with the voltage that they have"}, not: brings}, // which goes
		"both, of which one is wrong":  {change: "set: {nominal_voltage_kV: 220, highest_voltage_kV: 145}", says: []string{brings + `audit.yaml line 5, as the scenario sets it for lines.csv row 2: highest voltage "145" is below the nominal voltage 220.`}, not: nothing},
		"a highest that is no more":    {change: "set: {nominal_voltage_kV: 145, highest_voltage_kV: 145}", says: []string{brings + `audit.yaml line 5, as the scenario sets it for lines.csv row 2: highest voltage "145" is implausible`}, not: nothing},
		"an implausible clearance":     {change: "set: {clearance_mm: 10}", says: []string{brings + `audit.yaml line 5, as the scenario sets it for lines.csv row 2: clearance "10" mm is implausible`}, not: nothing},
		"an implausible level":         {change: "set: {lightning_level_kV: 5000}", says: []string{brings + `audit.yaml line 5, as the scenario sets it for lines.csv row 2: lightning level "5000" is implausible`}, not: nothing},
		"a load case in another unit":  {lines: "Line,Nominal voltage (kV),Conductor\nL1,132,Lynx\n", change: "criteria: {load_cases: [{name: gale, tension: 300}]}", says: []string{brings + `audit.yaml line 5: load case tension "300" kN of load case "gale" is implausible`}, not: "lines.csv row"},
		"a line without a row":         {lines: "Line,Nominal voltage (kV)\n", change: "set: {nominal_voltage_kV: 220, highest_voltage_kV: 145}", says: []string{brings + `audit.yaml line 5, as the scenario sets it for a line without a row in the sheet Lines: highest voltage "145" is below`}, not: nothing},
		"a fault of today is not new":  {lines: "Line,Nominal voltage (kV),Highest voltage (kV)\nL1,220,145\n", change: "set: {section_limit_km: 3}", not: "A fault"},
		"a fault of today that stays":  {lines: "Line,Nominal voltage (kV),Highest voltage (kV),Lightning level (kV)\nL1,132,145,5000\n", change: "set: {section_limit_km: 3}", not: "A fault"},
		"the same figure":              {change: "set: {lightning_level_kV: 550}", says: []string{nothing + holds + "."}, not: class},
		"the same conductor":           {lines: "Line,Nominal voltage (kV),Conductor\nL1,132,zebra\n", change: "set: {conductor: Zebra}", says: []string{nothing + holds + "."}},
		"another conductor":            {lines: "Line,Nominal voltage (kV),Conductor\nL1,132,zebra\n", change: "set: {conductor: Moose}", not: nothing},
		"the same criterion":           {change: "criteria: {default_class: c}", says: []string{nothing + holds + "."}, not: class},
		"a class that stays":           {change: "classes: {c: c}", says: []string{nothing + class + "."}, not: holds},
		"a class that is not there":    {change: "set: {system: earthed}, classes: {d: e}", says: []string{nothing + holds + ", and " + class + "."}},
		"a class that is there":        {change: "classes: {c: d}", not: nothing},
		"another figure":               {change: "set: {lightning_level_kV: 650}", not: nothing},
		"a figure that nobody is told": {change: "set: {section_limit_km: 3}", not: nothing},
		"figures of risk":              {change: "criteria: {risk: {lightning: {mean_kV: 700}}, height_accuracy_m: 1}", says: []string{"No verdict rests on height_accuracy_m, risk, and scenarios rank no risk and tell of no standard errors"}},
		"a criterion":                  {change: "criteria: {long_span_m: 3000}", not: nothing},
		"another wind alone": {change: "criteria: {load_cases: [{name: high wind, wind_Pa: 800, tension: maximum}, {name: ice, ice_mm: 15, ice_density: 900, temperature_C: -5, tension: calculated}]}", not: nothing, says: []string{
			"Load cases that have other figures today: High wind (wind 500 Pa; tension maximum).", "Load cases of today that its criteria do not have, so that nothing is looked at in them: cold, mean."}},
		"the same load cases": {change: "criteria: {load_cases: [" + casesToday + "]}", says: []string{nothing + holds + "."}, not: "Load cases"},
	} {
		t.Run(name, func(t *testing.T) {
			files := hamlet()
			if c.lines != "" {
				files["lines.csv"] = c.lines
			}
			files["assemblies.csv"] = "Line,Structure,Circuit,Phase,Side,Duty,Unit,Units per string,Strings\nL1,1,1,\"A,B,C\",both,tension,U120B,10,1\n"
			files["audit.yaml"] = strings.Replace(files["audit.yaml"], "criteria: {default_class: d}", c.change, 1)
			files["audit.yaml"] = strings.Replace(files["audit.yaml"], "creepage_basis: unified", "creepage_basis: unified, load_cases: ["+casesToday+"]", 1)
			out, ended, said := scopeOfFiles(t, files, "--also", "lines")
			require.Equal(t, exitDone, ended, said)
			content, err := os.ReadFile(filepath.Join(out, "scope.json"))
			require.NoError(t, err)
			var told struct{ Scenarios []struct{ Notes []string } }
			require.NoError(t, json.Unmarshal(content, &told))
			for _, text := range []string{said, strings.Join(told.Scenarios[0].Notes, "\n"), textOfSheet(t, filepath.Join(out, "scope.xlsx"), "Scenarios"), textOfSheet(t, filepath.Join(out, "scope-lines.xlsx"), "Notes")} {
				for _, note := range c.says {
					require.Equal(t, 1, strings.Count(text, note), text)
				}
				if c.not != "" {
					require.NotContains(t, text, c.not)
				}
			}
		})
	}
}

// Load cases that the criteria of a scenario do not have, and that a clearance, a swing limit or the broken conductor names, are among its notes.
func TestScenarioWithOtherLoadCases(t *testing.T) {
	t.Parallel()
	const named = "broken_conductor: {share: 0.7, factor: 2, case: storm, basis: own}, load_cases: [{name: storm, wind_Pa: 500, tension: maximum}, {name: calm, tension: everyday}]"
	for name, c := range map[string]struct{ cases, says string }{
		"others": {"{name: calm, tension: everyday}", `Its criteria do not have the load case \"storm\"; what goes by what names it is not assessed: clearances (structures: 4), swing limits (lines: 1), the criterion broken_conductor.`},
		"more":   {"{name: ice, wind_Pa: 100, tension: maximum}, {name: Calm, tension: everyday}, {name: Storm, wind_Pa: 500, tension: maximum}", ""},
	} {
		t.Run(name, func(t *testing.T) {
			files := hamlet()
			files["lines.csv"] = "Line,Nominal voltage (kV),Clearance (mm),Swing limit (deg)\nL1,132,storm: 600; calm: 1500,storm: 60; calm: 30\n"
			files["assemblies.csv"] = "Line,Structure,Circuit,Phase,Side,Duty,Unit,Units per string,Strings\nL1,1,1,\"A,B,C\",both,tension,U120B,10,1\n"
			files["audit.yaml"] = strings.Replace(files["audit.yaml"], "creepage_basis: unified", named, 1)
			files["audit.yaml"] = strings.Replace(files["audit.yaml"], "criteria: {default_class: d}", "criteria: {load_cases: ["+c.cases+"]}", 1)
			out, ended, said := scopeOfFiles(t, files)
			require.Equal(t, exitDone, ended, said)
			content, err := os.ReadFile(filepath.Join(out, "scope.json"))
			require.NoError(t, err)
			require.Equal(t, c.says != "", strings.Contains(string(content), "do not have the load case"))
			require.Contains(t, string(content), c.says)
		})
	}
}

// What a scenario only took is not called faulty, and the sentence of its line counts the verdicts that are missed for it.
func TestScenarioSaysWhichVerdictsItTakes(t *testing.T) {
	t.Parallel()
	files := hamlet()
	files["lines.csv"] = "Line,Nominal voltage (kV),Conductor,Deviation limit (deg),Lightning level (kV)\nL1,132,zebra,5,650\n"
	files["assemblies.csv"] = "Line,Structure,Circuit,Phase,Side,Duty,Unit,Units per string,Strings\nL1,2,1,\"A,B,C\",,suspension,U120B,10,1\n"
	files["audit.yaml"] = strings.Replace(files["audit.yaml"], "criteria: {default_class: d}", "set: {nominal_voltage_kV: 220, conductor: Moose}", 1)
	out, ended, said := scopeOfFiles(t, files)
	require.Equal(t, exitDone, ended, said)
	require.Contains(t, said, " of them since the figure that they go by went with what the scenario replaces (tension at deviation), and ")
	require.Contains(t, said, "asked for today")
	coverage := textOfSheet(t, filepath.Join(out, "scope.xlsx"), "Coverage")
	require.Contains(t, coverage, "what the line stated went with what the scenario replaces (voltage, neutral, conductor or load), and the scenario states nothing in its place")
	require.NotContains(t, coverage, "a field it needs is faulty")
}

// A text that no line has is refused once, and where that may be why, with by what lines are chosen.
func TestNoLineHasWhatRowsOfAssembliesHave(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct{ ofLine, ofAssembly, says string }{
		"rows of Assemblies have it": {"", "East", `no line has one of "East" as District; rows of the sheet Assemblies have, but lines are chosen by their row of the sheet Lines, or where that has none by their structures` + "\n"},
		"the line has another too":   {"West", "East", `no line has one of "East" as District; rows of the sheet Assemblies have, but`},
		"no line has any":            {"", "West", `no line has one of "East" as District; lines are chosen by their row of the sheet Lines or by their structures, and none of these has any` + "\n"},
		"the line has another":       {"Easst", "West", `no line has one of "East" as District` + "\n"},
	} {
		t.Run(name, func(t *testing.T) {
			files := hamlet()
			files["lines.csv"] = "Line,Nominal voltage (kV),District\nL1,132," + c.ofLine + "\n"
			files["assemblies.csv"] = "Line,Structure,Circuit,Phase,Side,Duty,Unit,Units per string,Strings,District\nL1,1,1,\"A,B,C\",both,tension,U120B,10,1," + c.ofAssembly + "\n"
			files["audit.yaml"] = strings.NewReplacer("lines.csv]}", "lines.csv], carry: [District]}", "lines: [L1]", "lines: {District: East}").Replace(files["audit.yaml"])
			_, ended, said := scopeOfFiles(t, files)
			require.Equal(t, exitUsage, ended, said)
			require.Equal(t, 1, strings.Count(said, "no line has one of"))
			require.Contains(t, said, c.says)
		})
	}
}

// What a scenario itself assumes stands in the workbook as it does in scope.json, without what today's result assumes of the same lines.
func TestWorkbookTellsWhatAScenarioAssumes(t *testing.T) {
	t.Parallel()
	const um = "The highest voltage for equipment is taken from IEC 60038 for the nominal voltage"
	const own = `Assumptions of scenario "up" that are not among those above`
	for name, c := range map[string]struct {
		lines, set string
		says, own  bool
	}{
		"of no line today":        {"L1,132,145\nL2,132,145\n", "nominal_voltage_kV: 220", true, true},
		"of another line today":   {"L1,132,145\nL2,132,\n", "nominal_voltage_kV: 220", true, true},
		"of the same line today":  {"L1,132,\nL2,132,145\n", "nominal_voltage_kV: 220, highest_voltage_kV: 245", false, false},
		"of the same line always": {"L1,132,\nL2,132,145\n", "nominal_voltage_kV: 110", true, false},
	} {
		t.Run(name, func(t *testing.T) {
			files := hamlet()
			files["towers.csv"] += "L2,1,77.100,12.9,100\nL2,2,77.103,12.9,100\n"
			files["lines.csv"] = "Line,Nominal voltage (kV),Highest voltage (kV)\n" + c.lines
			files["assemblies.csv"] = "Line,Structure,Circuit,Phase,Side,Duty,Unit,Units per string,Strings\nL1,1,1,\"A,B,C\",both,tension,U120B,10,1\n"
			files["audit.yaml"] = strings.Replace(files["audit.yaml"], "{name: d, lines: [L1], criteria: {default_class: d}}", "{name: up, lines: [L1], set: {"+c.set+"}}", 1)
			out, ended, said := scopeOfFiles(t, files)
			require.Equal(t, exitDone, ended, said)
			content, err := os.ReadFile(filepath.Join(out, "scope.json"))
			require.NoError(t, err)
			var told struct {
				Scenarios []struct{ Assumptions []struct{ Text string } }
			}
			require.NoError(t, json.Unmarshal(content, &told))
			require.Equal(t, c.says, slices.ContainsFunc(told.Scenarios[0].Assumptions, func(a struct{ Text string }) bool { return strings.HasPrefix(a.Text, um) }))
			_, ofScenario, _ := strings.Cut(textOfSheet(t, filepath.Join(out, "scope.xlsx"), "Run"), own)
			require.Equal(t, c.own, strings.Contains(ofScenario, um+" (value from memory).\n\n\nLine L1"), ofScenario)
		})
	}
}
