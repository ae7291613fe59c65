package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// island is the demo project, in which more is stated than a utility would: each column that a sheet can have and each
// property of a layer is used, and where possible the string meets by what one cell says and falls short without it, or
// the other way round.
func island(t *testing.T) *inputs {
	in := &inputs{project: islandProject, sheets: map[string][][]string{}, layers: map[string]*layer{}}
	workbook, err := os.ReadFile(filepath.Join(demoDir, "assemblies.xlsx"))
	require.NoError(t, err)
	for _, sheet := range demoCells(t, workbook) {
		in.sheets[sheet.name] = evenRows(sheet.rows)
	}
	for _, name := range []string{"structures", "zones", "crossings"} {
		in.layers[name] = readLayer(t, filepath.Join(demoDir, name+".geojson"))
	}
	writeDates(in.sheets["Assemblies"])
	addPoleLine(in)
	stateOfStrings(t, in)
	stateOfLines(t, in)
	declareStructures(t, in)
	in.sheets["Inspections"] = islandInspections()
	in.layers["routes"] = islandRoutes(in)
	addZones(t, in)
	return in
}

const islandProject = `title: the demo project with everything stated
structures: {file: structures.geojson}
routes: {file: routes.geojson}
zones: {file: zones.geojson}
crossings: {file: crossings.geojson}
register: {file: [Assemblies.csv, Lines.csv, Units.csv, Conductors.csv]}
inspections: {file: Inspections.csv}
criteria:
  inspection_confidence: 0.5
  deviation_limit_deg: 2
  position_accuracy_m: 0.5
  default_class: b
  creepage_basis: unified
  creepage_altitude_exponent: 0.5
  altitude_basis: 1000 m
  zone_margin_m: 150
  long_span_m: 700
  span_limit_m: 441.8
  flashover_minimum: GO 64 table 6
  sound_units: {132: 8, 220: 11}
  crossing_rules: {river: double, railway: tension and double, road: double}
  insulator_factor: {basis: NESC 277, tension: 2.0, suspension: 2.0, cantilever: 2.5, compression: 2.0, one_string_broken: 1.5, fitting: 2.5, fitting_one_string_broken: 1.5}
  load_cases:
    - {name: high wind, wind_Pa: 400, tension: maximum}
    - {name: cold, tension: cold, uplift: true}
    - {name: everyday, tension: everyday}
    - {name: ice, ice_mm: 10, ice_density: 900, wind_Pa: 100, temperature_C: -5, tension: calculated}
    - {name: share, wind_Pa: 300, tension: {share: 0.3}}
  broken_conductor: {share: 0.7, fitting: 1.6, factor: {suspension: 1.8, pin: 2, post: 2}, basis: own rule}
`

// islandInspections are of strings that fall short by what was seen of them, and of some that no longer do.
func islandInspections() [][]string {
	return [][]string{
		{"Inspection", "Date", "Method", "Line", "Structure", "Circuit", "Phase", "Side", "String", "Units seen", "Units broken", "Units flashed", "Confidence", "Inspector", "Photo", "Remark", "Longitude", "Latitude"},
		{"KF-01", "2025-09-16", "from the air", "SD-132", "T-010", "1", "A", "", "", "9", "0", "", "0.97", "M. Tarn", "photos/1.jpg", "sound", "", ""},
		{"KF-02", "2025-09-16", "from the air", "SD-132", "T-020", "1", "B", "", "1", "9", "3", "1", "0.93", "M. Tarn", "photos/2.jpg", "three gone", "", ""},
		{"KF-03", "2025-09-16", "from the air", "DF-220", "9/3", "1", "R", "", "", "13", "0", "", "0.3", "M. Tarn", "", "in the sun", "", ""},
		{"KF-04", "2025-09-16", "climbing", "SD-132", "T-038", "2", "B", "back", "", "", "1", "", "1", "O. Lark", "", "", "", ""},
		{"KF-05", "2025-06-16", "climbing", "SD-132", "T-035", "2", "C", "", "", "9", "2", "", "1", "O. Lark", "", "", "-19.8", "41.5"},
	}
}

// evenRows makes all rows as long as the headings.
func evenRows(rows [][]string) [][]string {
	for i := range rows {
		for len(rows[i]) < len(rows[0]) {
			rows[i] = append(rows[i], "")
		}
	}
	return rows
}

// writeDates writes the days that a workbook counts as dates.
func writeDates(rows [][]string) {
	first := time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC)
	for c, heading := range rows[0] {
		if heading != "Installed" && heading != "Inspected" {
			continue
		}
		for _, row := range rows[1:] {
			if days, err := strconv.Atoi(row[c]); err == nil {
				row[c] = first.AddDate(0, 0, days).Format(time.DateOnly)
			}
		}
	}
}

// addPoleLine adds a line of wooden poles that have names in place of numbers, so that only its route orders them.
func addPoleLine(in *inputs) {
	const line = "HB-11"
	poles := []struct{ name, side, duty, unit string }{
		{"Fern", "ahead", "tension", "U70BL"}, {"Alder", "", "pin", "P33-940"}, {"Elm", "", "pin", "P33-940"}, {"Birch", "", "shackle", "SH-1"},
		{"Dale", "", "pin", "P33-940"}, {"Cedar", "back", "tension", "U70BL"},
	}
	sheet := in.sheets["Assemblies"]
	columns := in.columns("Assemblies")
	for i, pole := range poles {
		point := fmt.Sprintf(`{"type":"Point","coordinates":[%.6f,%.6f,%d]}`, -19.80+0.001*float64(i), 41.60+0.0002*float64(i*i%5), 800+i)
		in.layers["structures"].Features = append(in.layers["structures"].Features, &feature{Type: "Feature",
			Properties: map[string]any{"line": line, "structure": pole.name, "attachment_m": 9.0}, Geometry: json.RawMessage(point)})
		row := map[string]string{"Line": line, "Structure": pole.name, "Phase": "ABC", "Side": pole.side, "Duty": pole.duty, "Unit": pole.unit, "Units per string": "1"}
		var cells []string
		for _, column := range columns {
			cells = append(cells, row[column])
		}
		sheet = append(sheet, cells)
	}
	in.sheets["Assemblies"] = sheet
}

// stateOfStrings states what rows may say of their own.
func stateOfStrings(t *testing.T, in *inputs) {
	for _, heading := range []string{"Rating (kN)", "Length (mm)", "Arcing (mm)", "Lightning withstand (kV)", "Switching withstand (kV)", "Wet withstand (kV)", "Wet switching withstand (kV)",
		"Slip load (kN)", "Clamp rating (kN)", "Yoke rating (kN)", "Ball and socket rating (kN)", "Grading rings"} {
		in.addColumn("Assemblies", heading)
	}
	for _, stated := range []struct{ where, column, value string }{
		{"Structure=T-020, Circuit=1", "Creepage", "2200"}, {"Structure=T-020, Circuit=2", "Creepage", "2600"},
		{"Structure=T-019, Circuit=1", "Rating", "5"}, {"Structure=T-019, Circuit=2", "Rating", "40"},
		{"Structure=T-021, Circuit=1", "Rating", "50"}, {"Structure=T-021, Circuit=2", "Rating", "70"},
		{"Structure=T-022, Circuit=1", "Length", "700"}, {"Structure=T-022, Circuit=2", "Length", "1500"},
		{"Structure=T-023, Circuit=1", "Lightning withstand", "600"}, {"Structure=T-023, Circuit=2", "Lightning withstand", "800"},
		{"Structure=T-024, Circuit=1", "Wet withstand", "200"}, {"Structure=T-024, Circuit=2", "Wet withstand", "300"},
		{"Structure=T-033, Circuit=1", "Slip load", "4"}, {"Structure=T-034, Circuit=1", "Slip load", "12"},
		{"Structure=T-030, Circuit=1", "Clamp rating", "5"}, {"Structure=T-031, Circuit=1", "Yoke rating", "6"}, {"Structure=T-032, Circuit=1", "Ball and socket rating", "7"},
		{"Structure=T-025, Circuit=1", "Arcing", "700"}, {"Structure=T-025, Circuit=2", "Arcing", "1300"},
		{"Structure=T-002, Circuit=1", "Arcing", "900"}, {"Structure=T-004, Circuit=1", "Length", "900"},
		{"Line=DF-220, Structure=2/3", "Arcing", "2400"}, {"Line=DF-220, Structure=4/1", "Arcing", "1200"},
		{"Line=DF-220, Structure=3/1", "Arcing", "2200"},
		{"Line=DF-220, Structure=4/3", "Switching withstand", "850"}, {"Line=DF-220, Structure=5/2", "Switching withstand", "600"},
		{"Line=DF-220, Structure=4/3", "Wet switching withstand", "840"}, {"Line=DF-220, Structure=5/2", "Wet switching withstand", "590"},
		{"Line=DF-220, Structure=6/1, Phase=R", "Arrangement", "V"}, {"Line=DF-220, Structure=6/1, Phase=R", "V angle", "100"},
		{"Line=DF-220, Structure=6/1, Phase=R", "Strings", "2"},
		{"Line=DF-220, Structure=14/3, Phase=B", "Unit", "12×U160BL + 1×U210B"},
		{"Line=SD-132, Structure=T-029, Circuit=2", "Defective units", "1"},
		{"Line=DP-33, Structure=12", "Mounting", "horizontal"}, {"Line=DP-33, Structure=33", "Mounting", "upright"},
	} {
		in.state(t, "Assemblies", stated.where, stated.column, stated.value)
	}
	in.addColumn("Units", "Average diameter (mm)")
	in.addColumn("Units", "Wind area (m2)")
	in.sheets["Units"] = slices.DeleteFunc(in.sheets["Units"], func(row []string) bool { return row[0] == "U70BL" }) // of which more is stated here
	in.sheets["Units"] = append(in.sheets["Units"],
		[]string{"U70BL", "cap-and-pin", "glass", "70", "", "", "146", "280", "255", "3.4", "16", "70", "40", "110", "110", "", "yes", "12", "", ""},
		[]string{"SH-1", "shackle", "porcelain", "", "12", "", "100", "220", "80", "1.2", "", "30", "15", "", "", "90", "no", "4", "", ""},
		[]string{"CLR-146", "composite", "silicone", "120", "", "", "1620", "4900", "148", "6.1", "16", "560", "480", "", "", "1380", "yes", "140", "", ""},
		[]string{"CLR-220", "composite", "silicone", "160", "", "", "2340", "7000", "148", "9.5", "20", "", "", "", "", "2100", "yes", "210", "", ""})
	in.state(t, "Units", "Unit=P33-940", "Rating", "3")
	in.state(t, "Units", "Unit=P33-940", "Compression", "2.5")
	in.state(t, "Units", "Unit=LP33-1000", "Rating", "2")
	in.state(t, "Units", "Unit=U160BL", "Average diameter", "325")
	in.state(t, "Units", "Unit=U160BL", "Wind area", "0.03")
	in.state(t, "Units", "Unit=U160BL", "Dry", "75")
	in.state(t, "Units", "Unit=U160BL", "Puncture", "130")
	in.addColumn("Units", "Lightning withstand (kV)")
	in.addColumn("Units", "Wet withstand (kV)")
	in.addColumn("Units", "Wet switching withstand (kV)")
	in.state(t, "Units", "Unit=CLR-146", "Lightning withstand", "650")
	in.state(t, "Units", "Unit=CLR-146", "Wet withstand", "300")
	in.state(t, "Units", "Unit=CLR-146", "Wet switching withstand", "600")
	in.state(t, "Units", "Unit=CLR-220", "Wet switching withstand", "760")
	in.state(t, "Assemblies", "Structure=T-004, Circuit=1", "Unit", "CLR-146")
	in.state(t, "Assemblies", "Structure=T-004, Circuit=1", "Grading rings", "live")
	in.state(t, "Assemblies", "Line=DF-220, Structure=15/2, Circuit=1", "Unit", "CLR-220")
	in.state(t, "Assemblies", "Line=DF-220, Structure=15/2, Circuit=1", "Units per string", "1")
	in.state(t, "Conductors", "Conductor=Panther", "Mass", "0.9")
}

// stateOfLines states what the sheet Lines may say. The line of 220 kV becomes one of range II, by a highest voltage just above 245 kV.
func stateOfLines(t *testing.T, in *inputs) {
	for _, heading := range []string{"Creepage voltage (kV)", "Switching level (kV)", "Capacitance ratio", "Arm length (mm)", "Wall distance (mm)", "Wall lean", "Bracket level (mm)", "Wall side", "Clearance (mm)", "Fittings (mm)", "Slip load (kN)", "Clamp rating (kN)", "Yoke rating (kN)", "Ball and socket rating (kN)", "Superseded figures"} {
		in.addColumn("Lines", heading)
	}
	row := make([]string, len(in.sheets["Lines"][0]))
	row[0] = "HB-11"
	in.sheets["Lines"] = append(in.sheets["Lines"], row)
	for _, stated := range []struct{ line, column, value string }{
		{"HB-11", "Phases", "A,B,C"}, {"HB-11", "Nominal voltage", "11"}, {"HB-11", "Highest voltage", "12"}, {"HB-11", "Conductor", "Dog"},
		{"HB-11", "Maximum tension", "8"}, {"HB-11", "Everyday tension", "5"}, {"HB-11", "Everyday temperature", "15"}, {"HB-11", "Cold tension", "7"},
		{"HB-11", "Deviation limit", "4"}, {"HB-11", "Lightning level", "75"},
		{"HB-11", "Creepage voltage", "12"}, {"DP-33-T1", "Circuits", "2"},
		{"DP-33-T1", "System", "isolated"}, {"DP-33-T1", "Creepage voltage", "36"},
		{"SD-132", "Capacitance ratio", "0.1"}, {"SD-132", "Section limit", "3"}, {"SD-132", "Longest string", "1400"},
		{"DF-220", "Arm length", "3600"}, {"DF-220", "Wall distance", "3500"}, {"DF-220", "Clearance", "700; ice: 1900"}, {"DF-220", "Fittings", "350"},
		{"DF-220", "Bracket level", "300"}, {"DF-220", "Wall side", "left"}, {"SD-132", "Wall lean", "0.05"},
		{"SD-132", "Slip load", "10"}, {"SD-132", "Clamp rating", "71"}, {"SD-132", "Yoke rating", "160"}, {"DF-220", "Yoke rating", "120"}, {"DF-220", "Ball and socket rating", "160"},
		{"SD-132", "Wall distance", "2500"}, {"SD-132", "Clearance", "900"}, {"SD-132", "Fittings", "250"},
		{"HB-11", "Superseded figures", "deviation limit of structures"}, {"DF-220", "Superseded figures", "clearance of structures; tension of load cases"},
		{"DF-220", "Highest voltage", "250"}, {"DF-220", "Lightning level", "950"}, {"DF-220", "Switching level", "750"},
	} {
		in.state(t, "Lines", "Line="+stated.line, stated.column, stated.value)
	}
}

// declareStructures writes the properties that the demo's GIS leaves out.
func declareStructures(t *testing.T, in *inputs) {
	for _, declared := range []struct {
		line, structure, property string
		value                     any
	}{
		{"SD-132", "T-060", "role", "gantry"}, {"SD-132", "T-028", "role", "transposition"}, {"DF-220", "1/1", "role", "terminal"},
		{"DF-220", "18/1", "continues", true}, {"SD-132", "T-001", "continues", false},
		{"SD-132", "T-017", "deviation_limit_deg", 10.0}, {"SD-132", "T-038", "deviation_limit_deg", 3.0}, {"DP-33", "31", "deviation_limit_deg", 10.0},
		{"SD-132", "T-022", "deviation_limit_deg", 1.0},
		{"SD-132", "T-026", "duty", "tension"}, {"SD-132", "T-027", "duty", "tension"}, {"SD-132", "T-030", "duty", "suspension"},
		{"SD-132", "T-050", "conductor_ahead", "Zebra"}, {"SD-132", "T-053", "conductor_ahead", "Panther"},
		{"DP-33", "44", "conductor_ahead", "Dog"}, {"HB-11", "Elm", "deviation_limit_deg", 6.0}, {"DF-220", "5/1", "clearance_mm", 600.0},
		{"SD-132", "T-018", "wall_distance_mm", 1200.0}, {"SD-132", "T-024", "clearance_mm", "2200; cold: 900"}, {"SD-132", "T-034", "clearance_mm", 300.0},
		{"SD-132", "T-030", "wall_lean", 0.4}, {"SD-132", "T-018", "bracket_level_mm", 200.0}, {"DF-220", "6/1", "wall_side", "both"},
		{"SD-132", "T-036", "wall_distance_mm", 4000.0}, {"DF-220", "3/2", "arm_length_mm", 3000.0}, {"DF-220", "4/1", "arm_length_mm", 9000.0},
		{"SD-132", "T-040", "subconductors_ahead", 2.0}, {"SD-132", "T-043", "subconductors_ahead", 1.0},
		{"SD-132", "T-001", "long_span", true}, {"DF-220", "1/3", "long_span", true}, {"DF-220", "11/1", "long_span", true}, {"DF-220", "4/2", "long_span", true},
	} {
		in.declare(t, declared.line, declared.structure, declared.property, declared.value)
	}
	// Two poles were numbered the wrong way round, so that the sequence is needed.
	one, other := in.structure(t, "DP-33-T1", "23/3").Properties, in.structure(t, "DP-33-T1", "23/4").Properties
	one["structure"], other["structure"] = other["structure"], one["structure"]
}

// islandRoutes draws each line from structure to structure, as they stand in the file.
func islandRoutes(in *inputs) *layer {
	routes := &layer{Type: "FeatureCollection"}
	at := map[any][]any{}
	var lines []any
	for _, f := range in.layers["structures"].Features {
		var point struct{ Coordinates []float64 }
		if json.Unmarshal(f.Geometry, &point) != nil {
			continue
		}
		line := f.Properties["line"]
		if at[line] == nil {
			lines = append(lines, line)
		}
		at[line] = append(at[line], point.Coordinates[:2])
	}
	for _, line := range lines {
		course, _ := json.Marshal(map[string]any{"type": "LineString", "coordinates": at[line]})
		routes.Features = append(routes.Features, &feature{Type: "Feature", Properties: map[string]any{"line": line}, Geometry: course})
	}
	return routes
}

// addZones adds zones that state a figure, with a class and without, round three structures each.
func addZones(t *testing.T, in *inputs) {
	for _, zone := range []struct {
		line, structure string
		properties      map[string]any
	}{
		{"DF-220", "11/1", map[string]any{"label": "quarry", "specific_creepage": 33.0, "specific_creepage_base": "Um/√3"}},
		{"SD-132", "T-035", map[string]any{"label": "kiln", "class": "c", "specific_creepage": 34.7, "specific_creepage_base": "Um/√3"}},
		{"DF-220", "14/3", map[string]any{"label": "depot", "class": "c"}},
	} {
		var point struct{ Coordinates []float64 }
		require.NoError(t, json.Unmarshal(in.structure(t, zone.line, zone.structure).Geometry, &point))
		x, y := point.Coordinates[0], point.Coordinates[1]
		const reach = 0.003
		ring, err := json.Marshal(map[string]any{"type": "Polygon", "coordinates": [][][2]float64{{
			{x - reach, y - reach}, {x + reach, y - reach}, {x + reach, y + reach}, {x - reach, y + reach}, {x - reach, y - reach},
		}}})
		require.NoError(t, err)
		in.layers["zones"].Features = append(in.layers["zones"].Features, &feature{Type: "Feature", Properties: zone.properties, Geometry: ring})
	}
}
