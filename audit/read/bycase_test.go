package read

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

func TestFiguresByLoadCase(t *testing.T) {
	nan := math.NaN()
	const twoWays = "has a number that may be read in two ways, expected plain digits with a point before decimals, such as 12.5 or 1500"
	reader := caseReader{[]string{"high wind", "Still air"}, millimetres, 10, 30_000}
	for cell, c := range map[string]struct {
		rest  float64
		named []audit.CaseFigure
		says  string // of the trouble
	}{
		"1200":                                {1200, nil, ""},
		"47 in":                               {1193.8, nil, ""},
		"high wind: 600; still air: 1500":     {nan, []audit.CaseFigure{{Case: "high wind", Value: 600}, {Case: "Still air", Value: 1500}}, ""},
		"600;STILL-AIR=1.5 m":                 {600, []audit.CaseFigure{{Case: "Still air", Value: 1500}}, ""},
		"high wind: 600\nstill air: 1500":     {nan, []audit.CaseFigure{{Case: "high wind", Value: 600}, {Case: "Still air", Value: 1500}}, ""},
		"0":                                   {nan, nil, "is out of range, expected 10 to 30000 mm"},
		"-600":                                {nan, nil, "is out of range, expected 10 to 30000 mm"},
		"600; still air: 0":                   {nan, nil, "is out of range, expected 10 to 30000 mm"},
		"much":                                {nan, nil, `is not a number, nor numbers by load case such as "high wind: 600; still air: 1500"`},
		"storm: 600":                          {nan, nil, `names the load case "storm", which is none of the criteria's: high wind, Still air`},
		"600; 700":                            {nan, nil, "states two figures of one load case, or two for all others"},
		"high wind: 600; High wind: 700":      {nan, nil, "states two figures of one load case, or two for all others"},
		"high wind:":                          {nan, nil, `is not a number, nor numbers by load case such as "high wind: 600; still air: 1500"`},
		";":                                   {nan, nil, "is not a number"},
		"45,5":                                {nan, nil, "is not a number"}, // which its column reads then
		"high wind: 0,5 m; still air: 1,25 m": {nan, []audit.CaseFigure{{Case: "high wind", Value: 500}, {Case: "Still air", Value: 1250}}, ""},
		"60,5; still air: 20,25":              {60.5, []audit.CaseFigure{{Case: "Still air", Value: 20.25}}, ""},
		"still air: 1,250":                    {nan, nil, twoWays},
		"600; still air: 12.500":              {nan, nil, twoWays},
		"still air: 1.250,5":                  {nan, nil, twoWays},
	} {
		rest, named, trouble := reader.figures(cell, millimetres.units[0])
		if c.says != "" {
			require.NotNil(t, trouble, cell)
			require.Equal(t, c.says, trouble.expected, cell)
		} else {
			require.Nil(t, trouble, cell)
		}
		require.Equal(t, math.IsNaN(c.rest), math.IsNaN(rest), cell)
		if !math.IsNaN(c.rest) {
			require.InDelta(t, c.rest, rest, 1e-9, cell)
		}
		require.Equal(t, c.named, named, cell)
	}
	_, _, trouble := (&caseReader{nil, millimetres, 10, 30_000}).figures("storm: 600", millimetres.units[0])
	require.Equal(t, `names the load case "storm", and the criteria have none`, trouble.expected)
}

// Lines and structures state what strings may swing in by the load cases of the project file, which the reader of layers knows too.
func TestRoomOfLinesAndStructures(t *testing.T) {
	b := newBase()
	b.project += "criteria: {load_cases: [{name: high wind, wind_Pa: 400, tension: maximum}, {name: still air, tension: everyday}]}\n"
	b.structures = strings.Replace(b.structures, `"sequence":2`, `"sequence":2,"arm_length_mm":2600,"wall_distance_mm":2500.0,"wall_lean":0.08,"bracket_level_mm":250,"wall_side":"Right","clearance_mm":"High wind: 600; still air: 1500"`, 1)
	b.structures = strings.Replace(b.structures, `"sequence":3`, `"sequence":3,"Clearance (mm)":700`, 1)
	b.lines = grid{{"Line", "Nominal voltage (kV)", "Swing limit (deg)", "Crossarm length (m)", "Wall distance (m)", "Wall lean", "Bracket level (m)", "Wall side", "Clearance (in)", "Fittings (mm)"},
		{"L1", 110, "60; still air: 20", 2.4, 2.3, 0.1, 0.4, "both", "40; high wind: 20", 300}}
	p := b.mustRead(t)
	require.Empty(t, faultsOf(p))
	l := p.Lines[0]
	require.Equal(t, 60.0, l.SwingLimitDeg)
	require.Equal(t, []audit.CaseFigure{{Case: "still air", Value: 20}}, l.SwingLimitsDeg)
	require.Equal(t, audit.Room{ArmLengthMM: 2400, WallDistanceMM: 2300, WallLean: 0.1, BracketMM: 400, WallSide: audit.WallsOnBothSides, ClearanceMM: 1016, ClearancesMM: []audit.CaseFigure{{Case: "high wind", Value: 508}}}, l.Room)
	require.Equal(t, 300.0, l.FittingsMM)
	require.Zero(t, p.Structures.At(0).Room)
	room := p.Rooms[p.Structures.At(1).Room-1]
	require.Equal(t, []float64{2600, 2500, 0.08, 250}, []float64{room.ArmLengthMM, room.WallDistanceMM, room.WallLean, room.BracketMM})
	require.Equal(t, audit.WallRight, room.WallSide)
	require.Equal(t, "high wind: 600; still air: 1500", audit.CasesInWords(room.ClearanceMM, room.ClearancesMM))
	require.Equal(t, "700", audit.CasesInWords(p.Rooms[p.Structures.At(2).Room-1].ClearanceMM, nil))
}

// A lean or a level of 0 is stated: upright, and level with the attachment.
func TestUprightWallAndLevelBracket(t *testing.T) {
	b := newBase()
	b.lines = grid{{"Line", "Nominal voltage (kV)", "Wall lean", "Bracket level (mm)"}, {"L1", 110, 0, 0}}
	p := b.mustRead(t)
	require.Empty(t, faultsOf(p))
	require.Zero(t, p.Lines[0].Room.WallLean)
	require.Zero(t, p.Lines[0].Room.BracketMM)
}

// A lean is stated in the unit that its heading, the row below or the cell names; of an angle it would be the tangent, which nobody means by the number.
func TestWallLeanGoesByItsUnit(t *testing.T) {
	for heading, of := range map[string]struct{ cell, lean any }{
		"Wall lean": {0.02, 0.02}, "Wall lean (m/m)": {0.02, 0.02}, "Wall lean (%)": {2, 0.02}, "Wall lean, %": {2, 0.02}, "Wall lean %": {2, 0.02},
		"Wall lean (mm/m)": {20, 0.02}, "Wall lean mm/m": {20, 0.02}, "Wall lean (‰)": {20, 0.02}, "Wall lean (cm/m)": {2, 0.02}, " wall_lean ": {"2 %", 0.02},
	} {
		b := newBase()
		b.lines = grid{{"Line", "Nominal voltage (kV)", heading}, {"L1", 110, of.cell}}
		p := b.mustRead(t)
		require.Empty(t, faultsOf(p), heading)
		require.InDelta(t, of.lean, p.Lines[0].Room.WallLean, 1e-15, heading)
	}
	for heading, unit := range map[string]string{"Wall lean (deg)": "deg", "Wall lean (Grad)": "Grad", "Wall lean °": "°", "Wall lean (mm)": "mm"} {
		b := newBase()
		b.lines = grid{{"Line", "Nominal voltage (kV)", heading}, {"L1", 110, 1}}
		_, err := b.read(t)
		requireInputError(t, err, fmt.Sprintf("register.xlsx!Lines: heading %q has the unit %q, expected one of m/m, cm/m, mm/m, %%", heading, unit),
			fmt.Sprintf("write under register in the project file: columns: {Lines: {Wall lean: {from: %q, unit: U}}}, with its unit for U; figures in any other have to be converted in the file", heading))
	}
	for key, value := range map[string]string{"wall_lean": "0.02", "wall_lean_%": "2", "wall_lean_m/m": "0.02"} {
		b := newBase()
		b.project += fmt.Sprintf("scenarios: [{name: one, lines: [L1], set: {%s: %s}}]\n", key, value)
		require.InDelta(t, 0.02, b.mustRead(t).Scenarios[0].Sheet[0].Room.WallLean, 1e-15, key)
	}
	for written, lean := range map[string]float64{`"Wall lean (%)":2`: 0.02, `"wall_lean (mm/m)":20`: 0.02, `"wall_lean":0.02`: 0.02, `"Wall lean %":2`: 0.02} {
		b := newBase()
		b.structures = strings.Replace(b.structures, `"sequence":2`, `"sequence":2,`+written, 1)
		p := b.mustRead(t)
		require.InDelta(t, lean, p.Rooms[p.Structures.At(1).Room-1].WallLean, 1e-15, written)
	}
}

// Criteria of some lines and scenarios have load cases of their own, and a cell may name them: the first spelling counts.
func TestLoadCasesOfSomeLinesAndScenarios(t *testing.T) {
	b := newBase()
	b.project += `criteria: {load_cases: [{name: high wind, wind_Pa: 400, tension: maximum}]}
for: [{lines: [L1], criteria: {load_cases: [{name: Gale, wind_Pa: 700, tension: maximum}, {name: High wind, wind_Pa: 400, tension: maximum}]}}]
scenarios: [{name: one, lines: [L1], set: {clearance_mm: "frost: 600; 500"}, criteria: {load_cases: [{name: frost, tension: cold}]}}]
`
	b.structures = strings.Replace(b.structures, `"sequence":3`, `"sequence":3,"clearance_mm":"frost: 700"`, 1)
	b.lines = grid{{"Line", "Nominal voltage (kV)", "Swing limit (deg)", "Clearance (mm)"}, {"L1", 110, "gale: 60; high wind: 20", "storm: 900"}}
	p := b.mustRead(t)
	require.Equal(t, []string{`unknown-word register.xlsx!Lines!D2: clearance "storm: 900" names the load case "storm", which is none of the criteria's: high wind, Gale, frost`}, faultsOf(p))
	require.Equal(t, []audit.CaseFigure{{Case: "Gale", Value: 60}, {Case: "high wind", Value: 20}}, p.Lines[0].SwingLimitsDeg)
	require.Equal(t, []audit.CaseFigure{{Case: "frost", Value: 700}}, p.Rooms[p.Structures.At(2).Room-1].ClearancesMM)
	then := p.Scenarios[0].Sheet[0].Room
	require.Equal(t, "500; frost: 600", audit.CasesInWords(then.ClearanceMM, then.ClearancesMM))
}

// A figure alone is read with the marks that its column has, as in every column of numbers.
func TestFiguresByLoadCaseWithDecimalCommas(t *testing.T) {
	b := newBase()
	b.lines = grid{{"Line", "Nominal voltage (kV)", "Swing limit (deg)", "Clearance (m)"}, {"L1", 110, "45,5", "1,25"}}
	p := b.mustRead(t)
	require.Empty(t, faultsOf(p))
	require.Equal(t, 45.5, p.Lines[0].SwingLimitDeg)
	require.Equal(t, 1250.0, p.Lines[0].Room.ClearanceMM)
}
