package read

import (
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

// withOwnFigures is a line of which one structure states a clearance and a deviation limit of its own, with load cases in kN.
func withOwnFigures() base {
	b := newBase()
	b.project += "criteria: {load_cases: [{name: high wind, wind_Pa: 400, tension: 20}]}\n"
	b.structures = strings.Replace(b.structures, `"sequence":2`, `"sequence":2,"clearance_mm":700,"deviation_limit_deg":5`, 1)
	return b
}

const (
	supersededOpen    = `superseded register.xlsx!Lines!C2: superseded figures `
	clearanceOpen     = supersededOpen + `"clearance of structures" leaves open what rests on the clearance that structures of the line state for themselves (2), until it is stated anew and the cell does not name it any more`
	limitOpen         = supersededOpen + `"deviation limit of structures" leaves open what rests on the deviation limit that structures of the line state for themselves (2), until it is stated anew and the cell does not name it any more`
	tensionOpen       = supersededOpen + `"tension of load cases" leaves open what rests on the tension that load cases give in kN, until they give that of the conductor of the line and the cell does not name it any more`
	noSupersededWords = `is none of clearance of structures, deviation limit of structures, tension of load cases, slip load of assemblies, or several of them with semicolons between; until it can be read all of them count as superseded`
)

// What a cell of the column names is not judged by, and what it may name where it cannot be read.
func TestSupersededFigures(t *testing.T) {
	const own = audit.ClearanceSuperseded | audit.LimitSuperseded
	for cell, c := range map[string]struct {
		row    audit.Superseded
		faults []string
	}{
		"":                                  {},
		"none":                              {},
		"-":                                 {},
		"clearance of structures":           {audit.ClearanceSuperseded, []string{clearanceOpen}},
		"Deviation-Limit of Structures":     {audit.LimitSuperseded, []string{limitOpen}},
		"deviation_limit_deg, clearance_mm": {own, []string{clearanceOpen, limitOpen}},
		"tension of load cases;":            {audit.TensionSuperseded, []string{tensionOpen}},
		"clearances\nnone":                  {audit.ClearanceSuperseded, []string{clearanceOpen}},
		"oops":                              {audit.AllSuperseded, []string{`unknown-word register.xlsx!Lines!C2: superseded figures "oops" ` + noSupersededWords}},
		"clearance of structures; swing":    {audit.AllSuperseded, []string{`unknown-word register.xlsx!Lines!C2: superseded figures "clearance of structures; swing" ` + noSupersededWords}},
		"?":                                 {audit.AllSuperseded, []string{`missing-value register.xlsx!Lines!C2: superseded figures "?" says that nobody knows it; nothing stands in for it`}},
		"#N/A":                              {audit.AllSuperseded, []string{`unknown-word register.xlsx!Lines!C2: superseded figures "#N/A" ` + noSupersededWords}},
	} {
		t.Run(cell, func(t *testing.T) {
			b := withOwnFigures()
			b.lines = grid{{"Line", "Nominal voltage (kV)", "Superseded figures"}, {"L1", 110, cell}}
			p := b.mustRead(t)
			require.Equal(t, c.row, p.Lines[0].Superseded)
			n, err := audit.Arrange(p)
			require.NoError(t, err)
			require.Equal(t, c.faults, faultsOf(p))
			require.Equal(t, c.row&own, n.SupersededAt(0, 1))
			require.Zero(t, n.SupersededAt(0, 0), "it states nothing")
			s := n.Structure(0, 1)
			require.Equal(t, []bool{c.row.Has(audit.ClearanceSuperseded), c.row.Has(audit.LimitSuperseded)}, []bool{s.RoomFaulty, s.LimitFaulty})
			readable := !p.Lines[0].Faulty.Has(audit.CellDeclared) // of what cannot be read the faults tell
			require.Equal(t, []bool{readable && s.RoomFaulty, readable && s.LimitFaulty}, []bool{s.RoomSuperseded, s.LimitSuperseded})
			require.Equal(t, !c.row.Has(audit.ClearanceSuperseded), s.Room.AsksClearance())
		})
	}
}

// A row that names no line, or one that there is not, may be that of a line without a row; of two rows what either names is superseded.
func TestSupersededFiguresOfOtherRows(t *testing.T) {
	const figures = "clearance of structures"
	heads := []any{"Line", "Nominal voltage (kV)", "Superseded figures"}
	for name, c := range map[string]struct {
		lines grid
		want  audit.Superseded
		fault string
	}{
		"nameless":                 {grid{heads, {nil, 110, figures}}, audit.ClearanceSuperseded, ""},
		"nameless, not readable":   {grid{heads, {nil, 110, "oops"}}, audit.ClearanceSuperseded | audit.LimitSuperseded, ""},
		"nameless, blank":          {grid{heads, {nil, 110, nil}}, 0, ""},
		"of another line":          {grid{heads, {"L7", 110, figures}}, audit.ClearanceSuperseded, ""},
		"beside a row of the line": {grid{heads, {"L1", 110, nil}, {"L7", 110, figures}}, 0, ""},
		"the same line twice": {grid{heads, {"L1", 110, nil}, {"L1", 110, figures}}, audit.ClearanceSuperseded,
			`line "L1" stands in row 2 too, which differs: superseded figures blank there, clearance of structures here; which is right is not known, and nothing is judged by what differs`},
		"twice, with others": {grid{heads, {"L1", 110, "deviation limit"}, {"l1", 110, figures}}, audit.ClearanceSuperseded | audit.LimitSuperseded, "superseded figures deviation limit of structures there, clearance of structures here"},
	} {
		t.Run(name, func(t *testing.T) {
			b := withOwnFigures()
			b.lines = c.lines
			p := b.mustRead(t)
			n, err := audit.Arrange(p)
			require.NoError(t, err)
			require.Equal(t, c.want, n.SupersededAt(0, 1))
			require.Contains(t, strings.Join(faultsOf(p), "\n"), c.fault)
		})
	}
}

// A scenario keeps what the rows of its lines call superseded, adds what goes with what it replaces, of structures where one states it, and may
// say so itself.
func TestScenarioSupersedes(t *testing.T) {
	for name, c := range map[string]struct {
		cell, set, more, slip string
		want                  audit.Superseded
	}{
		"a voltage":                      {set: "nominal_voltage_kV: 220", want: audit.ClearanceSuperseded},
		"the same voltage":               {set: "nominal_voltage_kV: 110"},
		"a tension":                      {set: "maximum_tension_kN: 40", want: audit.LimitSuperseded},
		"a conductor":                    {set: "conductor: Zebra", want: audit.LimitSuperseded | audit.TensionSuperseded},
		"a conductor, where clamps slip": {set: "conductor: Zebra", slip: "12", want: audit.LimitSuperseded | audit.TensionSuperseded | audit.SlipSuperseded},
		"a tension, where clamps slip":   {set: "maximum_tension_kN: 40", slip: "12", want: audit.LimitSuperseded},
		"a conductor and its load cases": {set: "conductor: Zebra", more: ", criteria: {load_cases: [{name: gale, wind_Pa: 400, tension: 30}]}", want: audit.LimitSuperseded},
		"what the row says stays":        {cell: "tension of load cases", set: "nominal_voltage_kV: 220", want: audit.ClearanceSuperseded | audit.TensionSuperseded},
		"what cannot be read too":        {cell: "oops", set: "swing_limit_deg: 40", want: audit.AllSuperseded},
		"said in the scenario":           {cell: "oops", set: "superseded_figures: clearance of structures", want: audit.ClearanceSuperseded},
		"none, but what goes":            {cell: "tension of load cases", set: "superseded_figures: none, nominal_voltage_kV: 220", want: audit.ClearanceSuperseded},
		"none any more":                  {cell: "clearance of structures", set: "superseded_figures: none"},
	} {
		t.Run(name, func(t *testing.T) {
			b := withOwnFigures()
			b.project += "scenarios: [{name: x, lines: [L1], set: {" + c.set + "}" + c.more + "}]\n"
			if c.slip != "" {
				b.assemblies[0], b.assemblies[1] = append(b.assemblies[0], "Slip load (kN)"), append(b.assemblies[1], c.slip)
			}
			b.lines = grid{{"Line", "Nominal voltage (kV)", "Superseded figures"}, {"L1", 110, c.cell}}
			p := b.mustRead(t)
			require.Equal(t, c.want, p.Scenarios[0].Sheet[0].Superseded)
			n, err := audit.Arrange(p.Under(&p.Scenarios[0]))
			require.NoError(t, err)
			require.Equal(t, c.want, n.Lines[0].Row.Superseded)
		})
	}
	b := withOwnFigures() // a line without a row, beside one that names no line
	b.project += "scenarios: [{name: x, lines: [L1], set: {nominal_voltage_kV: 220}}]\n"
	b.lines = grid{{"Line", "Nominal voltage (kV)", "Superseded figures"}, {nil, 110, "deviation limit"}}
	added := b.mustRead(t).Scenarios[0].Sheet[0]
	require.Equal(t, audit.ClearanceSuperseded|audit.LimitSuperseded, added.Superseded)
	require.False(t, added.Faulty.Has(audit.CellDeclared), "what is superseded is known")

	b.project = strings.Replace(b.project, "nominal_voltage_kV: 220", "superseded_figures: swing", 1)
	_, err := b.read(t)
	require.ErrorContains(t, err, `superseded_figures "swing" is none of clearance of structures, deviation limit of structures, tension of load cases`)

	b = withOwnFigures() // where no structure states one nothing is superseded
	b.structures = newBase().structures
	b.project += "scenarios: [{name: x, lines: [L1], set: {nominal_voltage_kV: 220, maximum_tension_kN: 40}}]\n"
	require.Zero(t, b.mustRead(t).Scenarios[0].Sheet[0].Superseded)
}

// The clamps of another conductor and the yoke of another bundle are others: that the ratings that line and assemblies state judge all the same is told.
func TestScenarioTellsOfTheFittingsThatStay(t *testing.T) {
	for name, c := range map[string]struct {
		set   string
		notes []string
	}{
		"another conductor":           {"conductor: Zebra", []string{"Lines whose Clamp rating is stated for the clamps of the conductor that they have, and still judges here until clamp_rating_kN is set: 1 (L1).", "state a clamp rating of their own, which stays: 1."}},
		"another bundle":              {"subconductors: 2", []string{"Lines whose Yoke rating is stated for the yoke of the subconductors that they have, and still judges here until yoke_rating_kN is set: 1 (L1).", "state a yoke rating of their own, which stays: 1."}},
		"another conductor and clamp": {"conductor: Zebra, clamp_rating_kN: 90", []string{"state a clamp rating of their own, which stays: 1."}},
		"another clamp":               {"clamp_rating_kN: 1", []string{"state a clamp rating of their own, which stays: 1."}},
		"another yoke":                {"yoke_rating_kN: 1", []string{"state a yoke rating of their own, which stays: 1."}},
		"another slip load":           {"slip_load_kN: 10", []string{"state a slip load of their own, which stays: 1."}},
		"another tension":             {"maximum_tension_kN: 40", nil},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBase()
			b.project += "scenarios: [{name: x, lines: [L1], set: {" + c.set + "}}]\n"
			b.assemblies[0] = append(b.assemblies[0], "Slip load (kN)", "Clamp rating (kN)", "Yoke rating (kN)")
			b.assemblies[1] = append(b.assemblies[1], 12, 60, 100)
			b.lines = grid{{"Line", "Nominal voltage (kV)", "Clamp rating (kN)", "Yoke rating (kN)"}, {"L1", 110, 62, 130}}
			x := b.mustRead(t).Scenarios[0]
			said := strings.Join(x.Notes, "\n")
			for _, note := range c.notes {
				require.Contains(t, said, note)
			}
			require.Equal(t, len(c.notes) > 0, strings.Contains(said, "rating") || strings.Contains(said, "slip"), said)
		})
	}
}

// What the row of a line itself stated and a scenario takes is not the same as what cannot be read.
func TestScenarioTakesFiguresOfTheLine(t *testing.T) {
	for name, c := range map[string]struct {
		heading, cell, set string
		left               audit.Cell
		taken              bool
	}{
		"a clearance":            {"Clearance (mm)", "1200", "nominal_voltage_kV: 220", audit.CellLength, true},
		"a swing limit":          {"Swing limit (deg)", "40", "nominal_voltage_kV: 220", audit.CellLimits, true},
		"a creepage voltage":     {"Creepage voltage (kV)", "123", "nominal_voltage_kV: 220", audit.CellVoltage, true},
		"a deviation limit":      {"Deviation limit (deg)", "5", "maximum_tension_kN: 40", audit.CellDeviationLimit, true},
		"one that is set anew":   {"Clearance (mm)", "1200", "nominal_voltage_kV: 220, clearance_mm: 1900", audit.CellLength, false},
		"one that stays":         {"Clearance (mm)", "1200", "maximum_tension_kN: 40", audit.CellLength, false},
		"one that is not stated": {"Clearance (mm)", "", "nominal_voltage_kV: 220", audit.CellLength, false},
		"one that is not read":   {"Clearance (mm)", "oops", "nominal_voltage_kV: 220", audit.CellLength, false},
	} {
		t.Run(name, func(t *testing.T) {
			b := withOwnFigures()
			b.project += "scenarios: [{name: x, lines: [L1], set: {" + c.set + "}}]\n"
			b.lines = grid{{"Line", "Nominal voltage (kV)", c.heading}, {"L1", 110, c.cell}}
			row := b.mustRead(t).Scenarios[0].Sheet[0]
			require.Equal(t, c.taken, row.Set.Left.Has(c.left))
			require.Equal(t, c.taken || c.cell == "oops", row.Faulty.Has(c.left))
		})
	}
}
