package read

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

func TestProjectFileKeys(t *testing.T) {
	f, problem := parseProjectFile([]byte(`
title: Every key
structures:
  file: [a.geojson, b.geojson]
  properties: {line: line_id, structure: tower_no, sequence: seq, ground_m: {from: z, unit: ft}, attachment_m: h, duty: kind,
    role: role, continues: more, conductor_ahead: wire, deviation_limit_deg: limit}
routes: {file: routes.geojson, properties: {line: name}}
crossings: {file: [rivers.geojson, rails.geojson], properties: {kind: what}}
zones:
  file: zones.geojson
  properties: {class: sps, label: name, specific_creepage: mm_per_kV, specific_creepage_base: on}
  specific_creepage_base: phase-to-phase
register:
  file: [one.xlsx, poles.csv]
  columns: {Assemblies: {Structure: Pole no., Creepage: {from: Leak, unit: in}}, Lines: {Line: Feeder}}
  sheets: {poles.csv: assemblies}
criteria:
  deviation_limit_deg: 2
  pin_deviation_limit_deg: 10.5
  position_accuracy_m: 0
  tee_tolerance_m: 1
  tension_at_tee: true
  default_class: medium
  creepage_basis: 1986
  specific_creepage: {e: 35, base: Um, f: 41}
  creepage_altitude_exponent: 0.5
  altitude_basis: sea level
  switching_exponent: 0.8
  gap_factor: 1.3
  wet_share: 0.85
  puncture_share: 0.8
  sound_units: {110: 5, 69.5: 3}
  zone_margin_m: 500
  span_limit_m: 1500
  route_tolerance_m: 20
  long_span_m: 800
  crossing_rules: {river: double, Railway: tension and double, "other line": tension}
  insulator_factor: {basis: own rule, tension: 2, suspension: 2.5, cantilever: 3, compression: 3.5, one_string_broken: 1.5}
  load_cases:
    - {name: high wind, wind_Pa: 400, tension: maximum, load_factor: 1.3, load_factor_basis: own rule}
    - {name: ice, ice_mm: 12.5, ice_density: 900, temperature_C: -5, tension: calculated}
    - {name: cold, tension: cold, uplift: true}
    - {name: own, tension: 31.5}
    - {name: share, tension: {share: 0.4}}
  unequal_sharing: 1.2
  combined_loads: each
  voltages: North American
  arcing_distance: string length less hardware
  flashover_minimum: GO 64 table 6
`))
	require.Nil(t, problem)
	require.Equal(t, []string{"a.geojson", "b.geojson"}, f.structures.files)
	require.Equal(t, property{name: "line_id", stated: true, in: unitOfMeasure{factor: 1}}, f.structures.line)
	require.Equal(t, property{name: "limit", stated: true, measure: degrees, in: unitOfMeasure{factor: 1}}, f.structures.deviationLimitDeg)
	require.Equal(t, property{name: "sps", stated: true, in: unitOfMeasure{factor: 1}}, f.zones.class)
	require.Equal(t, property{name: "mm_per_kV", stated: true, measure: millimetresPerKilovolt, in: unitOfMeasure{factor: 1}}, f.zones.specificCreepage)
	require.Equal(t, []string{"one.xlsx", "poles.csv"}, f.register.files())
	require.Equal(t, "Pole no.", f.register.entries[0].columns["Assemblies"]["Structure"].name)
	require.Equal(t, 25.4, f.register.entries[0].columns["Assemblies"]["Creepage"].in.factor)
	require.Equal(t, "Feeder", f.register.entries[0].columns["Lines"]["Line"].name)
	require.Equal(t, []sheetUse{{name: "poles.csv", kind: "Assemblies"}}, f.register.entries[0].sheets)
	require.Equal(t, "z", f.structures.groundM.name)
	require.Equal(t, 0.3048, f.structures.groundM.in.factor)
	require.Equal(t, "name", f.routes.line.name)
	require.Equal(t, []string{"rivers.geojson", "rails.geojson"}, f.crossings.files)
	require.Equal(t, "what", f.crossings.kind.name)
	c := f.criteria
	require.Equal(t, audit.Stated(2), c.DeviationLimitDeg, "a default that is stated counts as stated")
	require.Equal(t, audit.Stated(10.5), c.PinDeviationLimitDeg)
	require.Equal(t, audit.Stated(0), c.PositionAccuracyM)
	require.Equal(t, audit.Stated(1), c.TeeToleranceM)
	require.True(t, c.TensionAtTee)
	require.Equal(t, basis.ClassC, c.DefaultClass)
	require.Equal(t, basis.Levels1986, c.CreepageBasis)
	require.True(t, c.CreepageBasisStated)
	require.Equal(t, basis.PerPhaseToPhase, f.zones.base)
	require.Equal(t, "on", f.zones.creepageBase.name)
	require.Equal(t, 35.0, c.SpecificCreepage(basis.ClassE))
	require.Equal(t, 41.0, c.SpecificCreepage(basis.ClassF))
	require.Equal(t, audit.Stated(0.5), c.CreepageAltitudeExponent)
	require.Equal(t, basis.SeaLevel, c.AltitudeBasis)
	require.True(t, c.AltitudeBasisStated)
	require.Equal(t, []audit.Number{audit.Stated(0.8), audit.Stated(1.3), audit.Stated(0.85), audit.Stated(0.8), audit.Stated(500), audit.Stated(1500),
		audit.Stated(20), audit.Stated(800), audit.Stated(1.2)},
		[]audit.Number{c.SwitchingExponent, c.GapFactor, c.WetShare, c.PunctureShare, c.ZoneMarginM, c.SpanLimitM, c.RouteToleranceM, c.LongSpanM, c.UnequalSharing})
	require.Equal(t, []audit.SoundUnitsRule{{NominalKV: 110, Units: 5}, {NominalKV: 69.5, Units: 3}}, c.SoundUnits)
	require.Equal(t, []audit.CrossingRule{{Kind: "river", Double: true}, {Kind: "Railway", Double: true, Tension: true}, {Kind: "other line", Tension: true}}, c.CrossingRules)
	require.Equal(t, audit.InsulatorFactor{Basis: "own rule", Tension: 2, Suspension: 2.5, Cantilever: 3, Compression: 3.5, OneStringBroken: 1.5}, c.InsulatorFactor)
	require.Equal(t, audit.EachUtilisation, c.CombinedLoads)
	require.True(t, c.CombinedLoadsStated)
	require.Equal(t, basis.NorthAmerican, c.Voltages)
	require.True(t, c.VoltagesStated)
	require.Equal(t, audit.ArcingOverUnits, c.ArcingDistance)
	require.Equal(t, basis.GO64Table6, c.FlashoverMinimum)
	require.Len(t, c.LoadCases, 5)
	wind, ice, cold, own, share := c.LoadCases[0], c.LoadCases[1], c.LoadCases[2], c.LoadCases[3], c.LoadCases[4]
	require.Equal(t, []float64{400, 1.3}, []float64{wind.WindPa, wind.Factor})
	require.Equal(t, "own rule", wind.FactorBasis)
	require.Equal(t, audit.MaximumTension, wind.From)
	require.False(t, wind.TemperatureC.Known())
	require.Equal(t, []float64{12.5, 900, -5, 1}, []float64{ice.IceMM, ice.IceDensityKgPerM3, ice.TemperatureC.Value, ice.Factor})
	require.Equal(t, audit.CalculatedTension, ice.From)
	require.True(t, cold.Uplift)
	require.Equal(t, audit.ColdTension, cold.From)
	require.Equal(t, audit.GivenTension, own.From)
	require.Equal(t, 31.5, own.TensionKN)
	require.Equal(t, audit.ShareOfStrength, share.From)
	require.Equal(t, 0.4, share.Share)
}

func TestProjectFileDefaults(t *testing.T) {
	f, problem := parseProjectFile([]byte("\xef\xbb\xbfstructures:\r\n  file: s.geojson\r\ncriteria:\r\nzones:\r\n"))
	require.Nil(t, problem)
	require.Equal(t, called("line"), f.structures.line)
	require.False(t, f.criteria.DeviationLimitDeg.Stated)
	require.False(t, f.criteria.PositionAccuracyM.Known())
	require.Equal(t, basis.ClassUnknown, f.criteria.DefaultClass)
	require.Empty(t, f.zones.files)
}

// TestEscapesThatAreMeant: escapes are read in double quotes, and stand for themselves elsewhere.
func TestEscapesThatAreMeant(t *testing.T) {
	f, problem := parseProjectFile([]byte("structures: {file: [\"gr\\u00f6\\xdfe\\\\x.geojson\", 'C:\\Users\\x.geojson']}\ntitle: \"a\\nb\"\n"))
	require.Nil(t, problem)
	require.Equal(t, []string{`größe\x.geojson`, `C:\Users\x.geojson`}, f.structures.files)
	require.Equal(t, "a\nb", f.title)
}

func TestProjectFileErrors(t *testing.T) {
	const s = "structures: {file: s.geojson}\n"
	const loads = s + "criteria:\n  load_cases:\n"
	for name, c := range map[string]struct{ text, message, hint string }{
		"unknown key": {s + "criteria:\n  specific_creepage: {g: 60}\n",
			`p.yaml:3:23: unknown key "g" in specific_creepage, expected one of "base", "a", "b", "c", "d", "e", "f"`, "README.md lists the keys and what they mean"},
		"unknown key, one near": {s + "structures: {}\nzones: {fiel: x}\n", `p.yaml:2:1: is no valid YAML: mapping key "structures" already defined at [1:1]`, yamlHint},
		"a file twice":          {"structures: {file: [s.geojson, t.geojson, s.geojson]}\n", `p.yaml:1:43: file names "s.geojson" twice`, "name each file once"},
		"misspelt key":          {s + "zones: {fiel: x}\n", `p.yaml:2:9: unknown key "fiel" in zones, expected one of "file", "without", "database", "query", "layer", "crs", "encoding", "properties", "specific_creepage_base", "only"`, `did you mean "file"?`},
		"unknown section": {s + "assemblies: {file: x}\n",
			`p.yaml:2:1: unknown key "assemblies", expected one of "title", "structures", "routes", "zones", "crossings", "places", "terrain", "register", "inspections", "words", "decisions", "write", "largest_unpacked_gb", "criteria", "for", "scenarios"`,
			"README.md lists the keys and what they mean"},
		"unknown key in a flow mapping": {"structures: {file: s, propertis: {line: l}}\n",
			`p.yaml:1:23: unknown key "propertis" in structures, expected one of "file", "without", "database", "query", "layer", "crs", "encoding", "decimal", "properties", "fixed", "only", "carry"`, `did you mean "properties"?`},
		"no structures": {"title: x\n", `p.yaml: names neither structures nor routes, expected the key structures with a file`, "structures: {file: structures.geojson}"},
		"empty":         {"", `p.yaml: names neither structures nor routes, expected the key structures with a file`, "structures: {file: structures.geojson}"},
		"a word for a number": {s + "criteria: {position_accuracy_m: good}\n",
			`p.yaml:2:33: position_accuracy_m "good" is not a number`, numberHint},
		"a decimal comma": {s + "criteria:\n  tee_tolerance_m: 0,5\n", `p.yaml:3:20: tee_tolerance_m "0,5" is not a number`, numberHint},
		"a text for a number": {s + "criteria:\n  tee_tolerance_m: \"0.5\"\n",
			`p.yaml:3:20: tee_tolerance_m "0.5" is not a number`, numberHint},
		"out of range": {s + "criteria:\n  deviation_limit_deg: 200\n",
			`p.yaml:3:24: deviation_limit_deg "200" is out of range, expected 0 to 180`, rangeHint},
		"negative":                      {s + "criteria:\n  position_accuracy_m: -1\n", `p.yaml:3:24: position_accuracy_m "-1" is out of range, expected 0 to 1000`, rangeHint},
		"infinite":                      {s + "criteria:\n  position_accuracy_m: .inf\n", `p.yaml:3:24: position_accuracy_m ".inf" is not a number`, numberHint},
		"exponent":                      {s + "criteria: {creepage_altitude_exponent: 8}\n", `p.yaml:2:40: creepage_altitude_exponent "8" is out of range, expected 0 to 1`, rangeHint},
		"class":                         {s + "criteria: {default_class: g}\n", `p.yaml:2:27: default_class "g" is no pollution class, expected a to f`, "the names very light to very heavy and the levels I to IV of 1986 are read too"},
		"basis":                         {s + "criteria: {creepage_basis: 2008}\n", `p.yaml:2:28: creepage_basis "2008" is not known, expected unified or 1986`, "unified is the specific creepage of 2008 on phase to earth voltage, 1986 that on the highest voltage"},
		"own creepage":                  {s + "criteria: {specific_creepage: {base: Um/√3, e: 21.9}}\n", `p.yaml:2:48: e "21.9" is out of range, expected 22 to 200 on Um/√3`, rangeHint},
		"own creepage, falling":         {s + "criteria: {specific_creepage: {base: Um/√3, e: 45, d: 50}}\n", `p.yaml:2:48: e "45" asks for less than class d, 50, expected that or more`, "a class stands for a worse site than those before it in the alphabet"},
		"own creepage, below the table": {s + "criteria: {specific_creepage: {base: Um/√3, e: 42}}\n", `p.yaml:2:48: e "42" asks for less than class d, 43.3 of the table on Um/√3, which stays in force`, "a class stands for a worse site than those before it in the alphabet; state the classes beside it too"},
		"own creepage, above the table": {s + "criteria: {specific_creepage: {base: Um, c: 26, e: 60}}\n", `p.yaml:2:45: c "26" asks for more than class d, 25 of the table on Um, which stays in force`, "a class stands for a worse site than those before it in the alphabet; state the classes beside it too"},
		"own creepage without base":     {s + "criteria: {specific_creepage: {e: 60}}\n", `p.yaml:2:31: specific_creepage says no base, expected base: Um/√3 (phase-to-earth) or Um (phase-to-phase)`, baseHint},
		"own creepage, wrong base":      {s + "criteria: {specific_creepage: {base: Un, e: 60}}\n", `p.yaml:2:38: base "Un" is no base of specific creepage, expected Um/√3 (phase-to-earth) or Um (phase-to-phase)`, baseHint},
		"not a truth":                   {s + "criteria: {tension_at_tee: yes}\n", `p.yaml:2:28: tension_at_tee "yes" is neither true nor false`, trueHint},
		"a mapping for a path": {"structures: {file: {a: b}}\n",
			`p.yaml:1:20: file {…} is no path, expected a path or a list of paths`, pathHint},
		"no path":              {"structures: {file: []}\n", `p.yaml:1:20: file is an empty list, expected a path or a list of paths`, pathHint},
		"a text for a section": {"structures: s.geojson\n", `p.yaml:1:13: structures "s.geojson" is no mapping of keys to values`, mappingHint},
		"a list":               {"- a\n- b\n", `p.yaml:1:1: the project file […] is no mapping of keys to values`, mappingHint},
		"twice the same key":   {"title: a\ntitle: b\n", `p.yaml:2:1: is no valid YAML: mapping key "title" already defined at [1:1]`, yamlHint},
		"a second document":    {s + "---\ntitle: x\n", `p.yaml:3:1: a second document starts here, expected one`, "take out the line ---"},
		"a tab": {"structures:\n\tfile: x\n", `p.yaml:2:1: is no valid YAML: found character '\t' that cannot start any token`,
			"indent with spaces; YAML does not take tabs"},
		"an escape that is none":       {s + "zones: {file: \"Z:\\data\\zones.geojson\"}\n", `p.yaml:2:19: is no valid YAML: found unknown escape character 'd'`, escapeHint},
		"an escape of no number":       {s + "zones: {file: \"C:\\Users\\me\\zones.geojson\"}\n", `p.yaml:2:15: is no valid YAML: has \Users\me\zones.geojson in double quotes, expected 8 hexadecimal digits behind \U`, escapeHint},
		"an escape of no number, cut":  {s + "zones: {file: \"daten\\xyz\"}\n", `p.yaml:2:15: is no valid YAML: has \xyz in double quotes, expected 2 hexadecimal digits behind \x`, escapeHint},
		"an escape of no number, text": {s + "title: \"ä \\\\x \\u12\"\n", `p.yaml:2:8: is no valid YAML: has \u12 in double quotes, expected 4 hexadecimal digits behind \u`, escapeHint},
		"an escape in a path":          {"structures: {file: \"reg\\new.geojson\"}\n", `p.yaml:1:20: file "reg\new.geojson" is no path, expected a name without control characters`, escapeHint},
		"an escape in decisions":       {s + "decisions: \"reg\\new.csv\"\n", `p.yaml:2:12: decisions "reg\new.csv" is no path, expected a name without control characters`, escapeHint},
		"bytes":                        {"PK\x03\x04\x00\x00", `p.yaml: is no project file, expected YAML text of less than 1 MB`, projectHint},
		"UTF-16":                       {"\xff\xfes\x00:\x00", `p.yaml: is in UTF-16, expected UTF-8`, "save it as UTF-8, for example: iconv -f UTF-16 -t UTF-8 in > out"},
		"UTF-16, no mark":              {"\x00t\x00i\x00t\x00l\x00e\x00:\x00 \x00x", `p.yaml: is in UTF-16, expected UTF-8`, "save it as UTF-8, for example: iconv -f UTF-16 -t UTF-8 in > out"},
		"Windows-1252":                 {s + "title: M\xfcller\n", `p.yaml:2:9: is not in UTF-8; it may be in Windows-1252 or another encoding of one byte a letter`, encodingHint},
		"unit":                         {"structures: {file: s, properties: {ground_m: {from: z, unit: yd}}}\n", `p.yaml:1:62: unit "yd" is not known, expected one of m, km, ft`, propertyHint},
		"unit of a text":               {"structures: {file: s, properties: {line: {from: z, unit: ft}}}\n", `p.yaml:1:58: unit "ft" is for numbers, and this property has no unit`, propertyHint},
		"octal number":                 {"structures: {file: s}\ncriteria: {zone_margin_m: 0500}\n", `p.yaml:2:27: zone_margin_m "0500" is no decimal number; in YAML it is 320`, "write it in decimal digits, without a 0 before them"},
		"hexadecimal":                  {"structures: {file: s}\ncriteria: {zone_margin_m: 0x1F4}\n", `p.yaml:2:27: zone_margin_m "0x1F4" is no decimal number; in YAML it is 500`, "write it in decimal digits, without a 0 before them"},
		"tag":                          {"structures: {file: s, only: {Status: [IN, !!str 1]}}\n", `p.yaml:1:43: "!!str" behind the key "Status" is a YAML tag, which is not read here`, plainHint},
		"anchor":                       {"structures: &s {file: s}\n", `p.yaml:1:13: "&s" behind the key "structures" is a YAML anchor, which is not read here`, plainHint},
		"alias":                        {"structures: {file: s, only: {Status: *x}}\n", `p.yaml:1:38: "*x" behind the key "Status" is a YAML alias, which is not read here`, plainHint},
		"no name":                      {"structures: {file: s, properties: {ground_m: {unit: ft}}}\n", `p.yaml:1:46: ground_m {…} is no name of a property`, propertyHint},
		"altitude basis": {s + "criteria: {altitude_basis: 2000 m}\n", `p.yaml:2:28: altitude_basis "2000 m" is not known, expected 1000 m or sea level`,
			"a standard level covers sites up to 1000 m; a level that a study requires at the site goes with sea level"},
		"voltages": {s + "criteria: {voltages: european}\n", `p.yaml:2:22: voltages "european" is not known, expected IEC 60038 or north american`,
			"the table gives the highest voltage of a line that states its nominal voltage alone"},
		"arcing distance": {s + "criteria: {arcing_distance: string length}\n", `p.yaml:2:29: arcing_distance "string length" is not known, expected string length less hardware`,
			"it holds for strings of cap-and-pin units that state no arcing distance; leave it out where the project does not say so"},
		"flashover minimum": {s + "criteria: {flashover_minimum: GO 64}\n", `p.yaml:2:31: flashover_minimum "GO 64" is not known, expected GO 64 table 6, GO 64-A table 9 or NESC table 273-1`,
			"leave it out where the project asks for no least flashover"},
		"combined loads": {s + "criteria: {combined_loads: half}\n", `p.yaml:2:28: combined_loads "half" is not known, expected sum or each`,
			"sum adds the utilisations of a pin or post across and along its axis, each looks at every one alone"},
		"gap factor":  {s + "criteria: {gap_factor: 0.9}\n", `p.yaml:2:24: gap_factor "0.9" is out of range, expected 1 to 2`, rangeHint},
		"sound units": {s + "criteria: {sound_units: {110: 5.5}}\n", `p.yaml:2:31: sound_units "5.5" is not a whole number`, "write a whole number without quotes, from 1 to 200"},
		"sound units, voltage": {s + "criteria: {sound_units: {high: 5}}\n", `p.yaml:2:26: nominal voltage "high" in sound_units is not a number`,
			"write nominal voltages in kV and numbers of units: {110: 5, 220: 9}"},
		"sound units, twice": {s + "criteria: {sound_units: {110: 5, 110.0: 6}}\n", `p.yaml:2:34: nominal voltage "110.0" in sound_units stands there twice`,
			"write nominal voltages in kV and numbers of units: {110: 5, 220: 9}"},
		"crossing rule": {s + "criteria: {crossing_rules: {river: twin}}\n", `p.yaml:2:36: river "twin" is not known, expected double, tension, or tension and double`,
			"write kinds of crossing and what they ask for: {river: double, railway: tension and double}"},
		"crossing rule, none": {s + "criteria: {crossing_rules: {river: }}\n", `p.yaml:2:29: river "null" is not known, expected double, tension, or tension and double`,
			"write kinds of crossing and what they ask for: {river: double, railway: tension and double}"},
		"factor":                    {s + "criteria: {insulator_factor: {tension: 0.5}}\n", `p.yaml:2:40: tension "0.5" is out of range, expected 1 to 20`, rangeHint},
		"load cases":                {s + "criteria: {load_cases: wind}\n", `p.yaml:2:24: load_cases "wind" is no list of load cases`, loadCaseHint},
		"load case without a name":  {loads + "    - {tension: cold}\n", `p.yaml:4:7: a load case has no name, expected the key name`, loadCaseHint},
		"load case without tension": {loads + "    - name: x\n", `p.yaml:4:7: load case "x" has no tension, expected ` + tensionExpected, "write tension: maximum, or another tension"},
		"tension":                   {loads + "    - {name: x, tension: high}\n", `p.yaml:4:26: tension "high" is not known, expected ` + tensionExpected, "maximum, cold and everyday are columns of the sheet Lines"},
		"tension in N":              {loads + "    - {name: x, tension: 31500}\n", `p.yaml:4:26: tension "31500" is out of range, expected 0.1 to 1000`, rangeHint},
		"share in percent":          {loads + "    - {name: x, tension: {share: 40}}\n", `p.yaml:4:34: share "40" is out of range, expected 0.01 to 1`, rangeHint},
		"wind in kPa":               {loads + "    - {name: x, wind_Pa: 0.4, tension: cold}\n", `p.yaml:4:26: wind_Pa "0.4" is out of range, expected 0, or 10 or more`, rangeHint},
		"ice in m":                  {loads + "    - {name: x, ice_mm: 0.012, ice_density: 900, tension: cold}\n", `p.yaml:4:25: ice_mm "0.012" is out of range, expected 0, or 1 or more`, rangeHint},
		"ice without density": {loads + "    - {name: x, ice_mm: 10, tension: maximum}\n", `p.yaml:4:7: load case "x" has ice but no ice_density`,
			"write ice_density in kg/m3, for example 900 for glaze (common practice)"},
		"calculated without temperature": {loads + "    - {name: x, tension: calculated}\n", `p.yaml:4:26: load case "x" has a calculated tension but no temperature_C`,
			"write temperature_C in degrees Celsius"},
		"load case in two spellings": {loads + "    - {name: high wind, tension: cold}\n    - {name: High-wind, tension: cold}\n", `p.yaml:5:7: load case "High-wind" stands there twice`, "give each load case a name of its own"},
		"load case twice":            {loads + "    - {name: x, tension: cold}\n    - {name: X, tension: cold}\n", `p.yaml:5:7: load case "X" stands there twice`, "give each load case a name of its own"},
		"unequal sharing":            {s + "criteria: {unequal_sharing: 0.5}\n", `p.yaml:2:29: unequal_sharing "0.5" is out of range, expected 1 to 2`, rangeHint},
	} {
		t.Run(name, func(t *testing.T) {
			_, problem := parseProjectFile([]byte(c.text))
			require.NotNil(t, problem)
			problem.File = "p.yaml"
			require.Equal(t, c.message, problem.Error())
			require.Equal(t, c.hint, problem.Hint)
			require.NotEmpty(t, problem.Hint)
		})
	}
}

func TestProjectFileMissing(t *testing.T) {
	folder := t.TempDir()
	for path, message := range map[string]string{
		filepath.Join(folder, "none.yaml"): "does not exist",
		folder:                             "cannot be read: is a directory",
	} {
		_, err := Project(context.Background(), path)
		var problem *ProjectFileError
		require.ErrorAs(t, err, &problem)
		require.Equal(t, path+": "+message, problem.Error())
		require.Equal(t, "give the path of a project file, such as audit.yaml", problem.Hint)
	}
}

func TestInputMissing(t *testing.T) {
	path := newBase().write(t)
	require.NoError(t, os.Remove(filepath.Join(filepath.Dir(path), "zones.geojson")))
	_, err := Project(context.Background(), path)
	requireInputError(t, err, "zones.geojson: does not exist", "paths in the project file are relative to the folder it is in")
	require.ErrorIs(t, err, os.ErrNotExist)
}

func FuzzProjectFile(f *testing.F) {
	for _, seed := range []string{
		newBase().project, "criteria: {deviation_limit_deg: 2, specific_creepage: {base: Um, e: 60}}", "structures: {file: [a, b]}",
		"a: &x {b: *x}", "? [a]\n: b", "title: |\n  x\n  y", "<<: {a: b}", "- - -", "title: !!binary x", "\t", "{", "structures: *a",
		"title: \"\\x\"", "---\n...\n---", "a: [}", "&a", "!t", "%YAML 1.2\n---\ntitle: x",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, content []byte) {
		file, problem := parseProjectFile(content)
		require.True(t, (file == nil) != (problem == nil))
		if problem != nil {
			require.NotEmpty(t, problem.Message)
			require.NotEmpty(t, problem.Hint)
		} else {
			require.NotEmpty(t, append(file.structures.files, file.routes.files...))
		}
	})
}

// TestProjectFileNested holds that a project file which is nested without end is refused before it takes room.
func TestProjectFileNested(t *testing.T) {
	for name, c := range map[string]struct{ text, message string }{
		"lists":          {"title: " + strings.Repeat("[", 100_000), `p.yaml:1:58: "[" where no more than 50 nested lists and mappings should be`},
		"lists of texts": {"title: " + strings.Repeat("[a, ", 30_000), `p.yaml:1:208: "[" where no more than 50 nested lists and mappings should be`},
		"mappings":       {"title: " + strings.Repeat("{a: ", 30_000), `p.yaml:1:208: "{" where no more than 50 nested lists and mappings should be`},
		"quoted ends":    {"title: " + strings.Repeat(`["]", `, 30_000), `p.yaml:1:308: "[" where no more than 50 nested lists and mappings should be`},
		"entries":        {strings.Repeat("- ", 50_000) + "x", `p.yaml:1:201: "-" where no more than 50 nested lists and mappings should be`},
	} {
		t.Run(name, func(t *testing.T) {
			var problem *ProjectFileError
			mib := allocated(func() { _, problem = parseProjectFile([]byte(c.text)) })
			require.NotNil(t, problem)
			problem.File = "p.yaml"
			require.Equal(t, c.message, problem.Error())
			require.Less(t, mib, uint64(80))
		})
	}
	path := filepath.Join(t.TempDir(), "p.yaml")
	require.NoError(t, os.WriteFile(path, nil, 0o600))
	require.NoError(t, os.Truncate(path, 8<<30))
	var err error
	require.Less(t, allocated(func() { _, err = readProjectFile(path) }), uint64(20), "a large file is not read to its end")
	require.ErrorContains(t, err, "is no project file, expected YAML text of less than 1 MB")
}

// TestReadingIsKept holds that what the project file says of how its inputs are read is told apart, and nothing else is.
func TestReadingIsKept(t *testing.T) {
	reading := func(text string) string {
		f, problem := parseProjectFile([]byte(text))
		require.Nil(t, problem, text)
		return f.reading()
	}
	const plain = "structures: {file: s.geojson}\nzones: {file: z.geojson}\nregister: {file: r.xlsx}\n"
	known := map[string]string{}
	for _, text := range []string{
		plain,
		strings.Replace(plain, "s.geojson", "s.geojson, properties: {line: circuit}", 1),
		strings.Replace(plain, "s.geojson", "s.geojson, properties: {line: route}", 1),
		strings.Replace(plain, "s.geojson", "s.geojson, properties: {ground_m: {from: ground_m, unit: ft}}", 1),
		strings.Replace(plain, "s.geojson", "s.geojson, crs: EPSG:32632", 1),
		strings.Replace(plain, "s.geojson", "s.geojson, layer: towers", 1),
		strings.Replace(plain, "z.geojson", "z.geojson, specific_creepage_base: Um", 1),
		strings.Replace(plain, "z.geojson", "z.geojson, properties: {class: sps}", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, columns: {Assemblies: {Unit: Typ}}", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, columns: {Assemblies: {Unit: Disc}}", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, columns: {Assemblies: {Creepage: {from: Weg, unit: in}}}", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, columns: {Assemblies: {Creepage: {from: Weg, unit: cm}}}", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, schedule_only: true", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, decimal: comma", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, decimal: point", 1),
		strings.Replace(plain, "s.geojson", "s.geojson, decimal: comma", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, columns: {Structure: Typ}", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, columns: {Units per string: {A: x, B: y}}", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, columns: {Units per string: {A: y, B: x}}", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, sheets: {Poles: Assemblies}", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, sheets: {Poles: ignore}", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, sheets: {Poles: {as: Assemblies, fixed: {Circuit: 1}}}", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, fixed: {Circuit: 1}", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, fixed: {Circuit: 2}", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, only: {Status: [in use]}", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, only: {Status: [in use, spare]}", 1),
		strings.Replace(plain, "r.xlsx", "r.xlsx, carry: [District]", 1),
		strings.Replace(plain, "s.geojson", "s.geojson, carry: [District]", 1),
		strings.Replace(plain, "s.geojson", "s.geojson, only: {Status: [in use]}", 1),
		strings.Replace(plain, "z.geojson", "z.geojson, only: {Status: [in use]}", 1),
		strings.Replace(plain, "{file: r.xlsx}", "[{file: r.xlsx, fixed: {Circuit: 1}}, {file: q.xlsx}]", 1),
		strings.Replace(plain, "{file: r.xlsx}", "[{file: r.xlsx}, {file: q.xlsx, fixed: {Circuit: 1}}]", 1),
	} {
		got := reading(text)
		require.Empty(t, known[got], text)
		known[got] = text
	}
	require.Equal(t, reading(plain), reading("title: other\nregister: {file: r2.xlsx}\nzones: {file: z.geojson}\nstructures: {file: s.geojson, properties: {line: line}}\n"))
	require.Equal(t, reading("routes: {file: r, properties: {line: a}}\nregister: {file: r.xlsx, columns: {Lines: {Line: x}, Assemblies: {Unit: y, Line: z}}}\n"),
		reading("register: {file: r.xlsx, columns: {Assemblies: {Line: z, Unit: y}, Lines: {Line: x}}}\nroutes: {properties: {line: a}, file: r}\n"))
}
