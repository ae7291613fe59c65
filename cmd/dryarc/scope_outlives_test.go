package main

import (
	"context"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/read"

	"github.com/stretchr/testify/require"
)

// What went with a voltage, a neutral, a conductor or a load earns nothing where a scenario sets another and not that, and the scenario
// says so; what it sets judges.
func TestScenarioThatLacksADatumMeetsNothingByIt(t *testing.T) {
	t.Parallel()
	const givenCase, givenNote = "[{name: high wind, wind_Pa: 400, tension: 30}]", "Lines whose load cases give a tension in kN, which went with the conductor that they have, so that nothing is judged by it until its criteria state load_cases: 1 (SD-132)."
	given := [2]string{"load_cases", givenCase}
	levels := []string{"lightning-withstand", "wet-withstand"}
	limited, turns := map[string]string{"Deviation limit": "10"}, []string{"tension-at-deviation"}
	const limitNote = "Lines whose Deviation limit went with the conductors and tensions that they have, so that nothing is judged by it until deviation_limit_deg is set: 1 (SD-132)."
	for name, c := range map[string]struct {
		state map[string]string // of the line's row
		today [2]string         // a criterion of the project
		set   string
		more  string   // of the scenario
		by    []string // checks that judge by what is lacking
		stays []string
		note  string
		not   string // what the notes do not say
	}{
		"a voltage without the highest":         {set: "nominal_voltage_kV: 220", by: append(levels, "creepage"), stays: []string{"strength"}, note: "until lightning_level_kV is set: 1 (SD-132)."},
		"a voltage without a level":             {set: "nominal_voltage_kV: 138, highest_voltage_kV: 170", by: levels, stays: []string{"creepage", "strength"}, note: "until lightning_level_kV is set: 1 (SD-132)."},
		"a highest voltage without a level":     {set: "highest_voltage_kV: 170", by: levels, stays: []string{"creepage", "strength"}, note: "until lightning_level_kV is set: 1 (SD-132)."},
		"a highest voltage without a nominal":   {set: "highest_voltage_kV: 170", by: []string{"units-for-voltage"}, note: "until nominal_voltage_kV is set: 1 (SD-132)."},
		"a nominal voltage without a highest":   {state: map[string]string{"Highest voltage": "145"}, set: "nominal_voltage_kV: 140, lightning_level_kV: 550", by: []string{"creepage"}, stays: []string{"strength"}, note: "Lines whose Highest voltage went with the voltage that they have, so that nothing is judged by it until highest_voltage_kV is set: 1 (SD-132)."},
		"a nominal voltage in no table":         {state: map[string]string{"Highest voltage": ""}, set: "nominal_voltage_kV: 140, lightning_level_kV: 550", by: []string{"creepage"}, note: "Lines whose highest voltage is not known, since IEC 60038 has none for 140 kV, so that nothing is judged by it until highest_voltage_kV is set: 1 (SD-132)."},
		"the highest voltage of a table":        {state: map[string]string{"Highest voltage": "145"}, set: "nominal_voltage_kV: 220, lightning_level_kV: 550", note: "Lines whose Highest voltage went with the voltage that they have, so that 245 kV, of IEC 60038 for the nominal one, is taken until highest_voltage_kV is set: 1 (SD-132).", not: "is not known"},
		"a table where none was stated":         {state: map[string]string{"Highest voltage": ""}, set: "nominal_voltage_kV: 220, lightning_level_kV: 550", note: "Lines that state no highest voltage, so that 245 kV, of IEC 60038 for the nominal one, is taken until highest_voltage_kV is set: 1 (SD-132).", not: "is not known"},
		"the nominal voltage that it has":       {state: map[string]string{"Highest voltage": ""}, set: "nominal_voltage_kV: 132, lightning_level_kV: 550", stays: []string{"creepage"}, not: "highest voltage"},
		"a table that the scenario chooses":     {state: map[string]string{"Highest voltage": "145"}, set: "nominal_voltage_kV: 220, lightning_level_kV: 550", more: ", criteria: {voltages: north american}", by: []string{"creepage"}, note: "since RUS Bulletin 1724E-200 has none for 220 kV"},
		"the highest voltage that stood in":     {state: map[string]string{"Highest voltage": "", "Lightning level": "qqq"}, set: "highest_voltage_kV: 145", stays: []string{"units-for-voltage"}, not: "went with"},
		"one that may be another":               {state: map[string]string{"Highest voltage": "qqq"}, set: "highest_voltage_kV: 145", by: []string{"units-for-voltage"}, note: "until nominal_voltage_kV is set: 1 (SD-132)."},
		"both voltages":                         {set: "nominal_voltage_kV: 110, highest_voltage_kV: 123", stays: []string{"units-for-voltage"}, not: "Nominal"},
		"a voltage without a swing limit":       {state: map[string]string{"Clearance": ""}, set: "nominal_voltage_kV: 138, highest_voltage_kV: 170", by: []string{"swing"}, note: "until swing_limit_deg is set: 1 (SD-132)."},
		"a voltage, and a clearance alone":      {set: "nominal_voltage_kV: 138, highest_voltage_kV: 170, clearance_mm: 500", by: []string{"swing"}, note: "until swing_limit_deg is set: 1 (SD-132)."},
		"a voltage and a swing limit":           {state: map[string]string{"Clearance": ""}, set: "nominal_voltage_kV: 138, highest_voltage_kV: 170, swing_limit_deg: 70", stays: []string{"swing"}, note: "Structures whose clearance went with the voltage that their line has, so that no swing is judged there: 2."},
		"a neutral without a creepage voltage":  {state: map[string]string{"Creepage voltage": "84"}, set: "system: isolated", by: []string{"creepage"}, stays: levels, note: "Lines whose Creepage voltage went with the system that they have, so that nothing is judged by it until creepage_voltage_kV is set: 1 (SD-132)."},
		"a neutral and a creepage voltage":      {state: map[string]string{"Creepage voltage": "84"}, set: "system: isolated, creepage_voltage_kV: 90", stays: []string{"creepage"}, not: "went with"},
		"a conductor without its tensions":      {set: "conductor: Zebra", by: []string{"strength"}, stays: []string{"creepage", "lightning-withstand"}, note: "until maximum_tension_kN is set: 1 (SD-132)."},
		"a conductor, and load cases in kN":     {today: given, set: "conductor: Zebra, maximum_tension_kN: 40", by: []string{"strength", "swing"}, stays: []string{"creepage"}, note: givenNote},
		"a conductor and load cases of its own": {today: given, set: "conductor: Zebra", more: ", criteria: {load_cases: " + givenCase + "}", stays: []string{"strength", "swing"}, not: "load cases give"},
		"another tension, and load cases in kN": {today: given, set: "maximum_tension_kN: 40", stays: []string{"strength", "swing"}, not: "load cases give"},
		"a conductor without a limit":           {state: limited, set: "conductor: Zebra, maximum_tension_kN: 40", by: turns, note: limitNote},
		"a conductor and a limit as criterion":  {state: limited, set: "conductor: Zebra, maximum_tension_kN: 40", more: ", criteria: {deviation_limit_deg: 8}", by: turns, note: "so that nothing is judged by it until set states deviation_limit_deg, since the criterion of that name is for lines that state none: 1 (SD-132)."},
		"a tension without a limit":             {state: limited, set: "maximum_tension_kN: 40", by: turns, note: limitNote},
		"the one conductor that stood in":       {state: map[string]string{"Deviation limit": "10", "Subconductors": ""}, set: "subconductors: 1", stays: turns, not: "went with"},
		"one conductor of a bundle":             {state: map[string]string{"Deviation limit": "10", "Subconductors": "2"}, set: "subconductors: 1", by: turns, note: limitNote},
		"a clearance, and those of structures":  {set: "clearance_mm: 300", note: "Structures of its lines that state a clearance of their own, which stays: 2."},
		"a wall, and those of structures":       {set: "wall_distance_mm: 2500", note: "Structures of its lines that state a wall distance of their own, which stays: "},
		"another voltage leaves no clearance":   {set: "nominal_voltage_kV: 138, highest_voltage_kV: 170, clearance_mm: 500", note: "Structures whose clearance went with", not: "a clearance of their own"},
		"a bundle without a limit":              {state: limited, set: "subconductors: 2", by: turns, note: limitNote},
		"a conductor and a limit":               {state: limited, set: "conductor: Zebra, deviation_limit_deg: 8", stays: turns, note: "Structures whose deviation limit went with the conductors and tensions that their line has, so that nothing is judged by it: 3.", not: "Lines whose Deviation limit"},
		"a limit of the project":                {set: "conductor: Zebra", stays: turns, not: "Lines whose Deviation limit"},
		"another voltage has the same limit":    {state: limited, set: "nominal_voltage_kV: 138, highest_voltage_kV: 170", stays: turns, not: "eviation limit"},
		"the same voltage asks for nothing":     {set: "nominal_voltage_kV: 132, swing_limit_deg: 60", stays: []string{"creepage", "lightning-withstand", "strength", "units-for-voltage"}, not: "went with"},
		"a conductor that is written otherwise": {set: "conductor: PANTHER", stays: []string{"creepage", "lightning-withstand", "strength"}, not: "went with"},
	} {
		t.Run(name, func(t *testing.T) {
			in, folder := island(t), t.TempDir()
			for heading, value := range c.state {
				in.state(t, "Lines", "Line=SD-132", heading, value)
			}
			for _, structure := range []string{"T-050", "T-053"} { // what has a conductor of its own keeps it, and its tensions
				delete(in.structure(t, "SD-132", structure).Properties, "conductor_ahead")
			}
			if c.today[0] != "" {
				in.project = replaceCriteria(in.project, [][2]string{c.today})
			}
			in.project += "scenarios: [{name: x, lines: [SD-132], set: {" + c.set + "}" + c.more + "}]\n"
			in.writeAll(t, folder)
			project, err := read.Project(context.Background(), filepath.Join(folder, "audit.yaml"))
			require.NoError(t, err)
			pristine := project.Pristine()
			notes := strings.Join(pristine.Scenarios[0].Notes, " ")
			today, then := meetsOn(t, project, "SD-132"), meetsOn(t, pristine.Under(&pristine.Scenarios[0]), "SD-132")
			for _, check := range c.by {
				require.Positive(t, today[check], check)
				require.Zero(t, then[check], check)
			}
			for _, check := range c.stays {
				require.Positive(t, today[check], check)
				require.Positive(t, then[check], check)
			}
			if c.not != "" {
				require.NotContains(t, notes, c.not)
			}
			require.Contains(t, notes, c.note)
		})
	}
}

// meetsOn is how often each check is met on a line.
func meetsOn(t *testing.T, p *audit.Project, line string) map[string]int {
	t.Helper()
	r, err := runProject(p, nil)
	require.NoError(t, err)
	count := map[string]int{}
	for _, f := range r.findings {
		if f.line == line && f.outcome == audit.Meets {
			count[f.check]++
		}
	}
	return count
}
