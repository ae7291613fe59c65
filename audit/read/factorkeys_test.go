package read

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

func TestExactFactors(t *testing.T) {
	f, problem := parseProjectFile([]byte(`structures: {file: s.geojson}
criteria:
  insulator_factor:
    basis: own rule
    tension: 2
    fitting: 2.5
    by:
      - {for: [tension, suspension], case: high wind, material: [porcelain, glass], factor: 2.7, basis: study 12}
      - {for: one string broken, kind: Everyday, installed_from: 1970, installed_before: 1985, factor: 4, basis: study 12}
      - {for: fitting, at: terminal, crossing: railway, factor: 3, basis: study 13}
      - {for: cantilever, unit: P-12, factor: 3, basis: study 13}
  load_cases:
    - {name: High-Wind, wind_Pa: 400, tension: maximum}
    - {name: mean, kind: everyday, tension: everyday}
`))
	require.Nil(t, problem)
	require.Equal(t, audit.InsulatorFactor{Basis: "own rule", Tension: 2, Fitting: 2.5, By: []audit.ExactFactor{
		{For: []audit.FactorOf{audit.TensionFactor, audit.SuspensionFactor}, Cases: []string{"high wind"}, Materials: []string{"porcelain", "glass"}, Factor: 2.7, Basis: "study 12"},
		{For: []audit.FactorOf{audit.OneStringBrokenFactor}, Kinds: []string{"Everyday"}, InstalledFrom: 1970, InstalledBefore: 1985, Factor: 4, Basis: "study 12"},
		{For: []audit.FactorOf{audit.FittingFactor}, At: audit.AtTerminal, Crossings: []string{"railway"}, Factor: 3, Basis: "study 13"},
		{For: []audit.FactorOf{audit.CantileverFactor}, Units: []string{"P-12"}, Factor: 3, Basis: "study 13"},
	}}, f.criteria.InsulatorFactor)
	require.Equal(t, "own rule: tension 2, fitting 2.5; tension or suspension in high wind, of porcelain or glass 2.7 (study 12); "+
		"one string broken in cases of Everyday, installed from 1970 on, installed before 1985 4 (study 12); fitting at a terminal, at a crossing of railway 3 (study 13); cantilever of P-12 3 (study 13)",
		f.criteria.InsulatorFactor.String())
}

func TestExactFactorsAreRefusedWhereTheySayNothing(t *testing.T) {
	for written, message := range map[string]string{
		"tension":                               `by "tension" is no list of factors`,
		"[{factor: 2}]":                         "does not say what it is for, expected the key for with tension, suspension, cantilever, compression, one_string_broken, fitting, fitting_one_string_broken",
		"[{for: [], factor: 2}]":                "for is an empty list, expected tension",
		"[{for: bending, factor: 2}]":           `for "bending" is not known, expected tension`,
		"[{for: tension, basis: x}]":            "has no number, expected the key factor",
		"[{for: tension, factor: 2}]":           "names no basis",
		"[{for: tension, factor: 0.5}]":         "factor \"0.5\" is out of range, expected 1 to 20",
		"[{for: tension, at: tee}]":             `at "tee" is not known, expected terminal`,
		"[{for: tension, mat: glass}]":          `unknown key "mat" in by, expected one of "for"`,
		"[{for: tension, material: ''}]":        `material "" is not known, expected a name or a list of names`,
		"[{for: tension, factor: 2, basis: x}]": "is for everything",
		"[{for: [tension, fitting], material: glass, factor: 2, basis: x}]":                                        "is for fittings and names what insulators have",
		"[{for: tension, installed_before: 1970, installed_from: 1970, factor: 2, basis: x}]":                      "is for no year: from 1970 on and before 1970",
		"[{for: tension, installed_before: 70, factor: 2, basis: x}]":                                              `installed_before "70" is out of range, expected 1850 to 2200`,
		"[{for: tension, case: storm, factor: 2, basis: x}]":                                                       `is for the load case "storm", which load_cases does not have`,
		"[{for: tension, material: g, factor: 2, basis: x}, {for: tension, kind: storm, factor: 2, basis: x}]":     `is for the kind of load case "storm", which load_cases does not have`,
		"[{for: tension, unit: A, factor: 2, basis: x}, {for: [fitting, tension], unit: a, factor: 3, basis: y}]":  "is for fittings",
		"[{for: tension, unit: [A, B], factor: 2, basis: x}, {for: [tension], unit: [b, a], factor: 3, basis: y}]": "two factors of insulator_factor are for the same: tension of b or a 3 (y)",
	} {
		_, problem := parseProjectFile([]byte("structures: {file: s.geojson}\ncriteria:\n  load_cases: [{name: high wind, kind: storms, tension: maximum}]\n  insulator_factor:\n    by: " + written + "\n"))
		require.NotNil(t, problem, written)
		require.Contains(t, problem.Message, message, written)
		require.Equal(t, 5, problem.Line, written)
	}
}

// A load case that only some lines have may be named for all, as in a cell of the register.
func TestExactFactorsOfSomeLines(t *testing.T) {
	_, problem := parseProjectFile([]byte(`structures: {file: s.geojson}
criteria: {insulator_factor: {basis: own rule, tension: 2, by: [{for: tension, case: ice, factor: 3, basis: own rule}]}}
for:
  - lines: L-1
    criteria: {load_cases: [{name: ice, tension: cold}]}
`))
	require.Nil(t, problem)
	_, problem = parseProjectFile([]byte(`structures: {file: s.geojson}
criteria: {load_cases: [{name: ice, tension: cold}]}
scenarios:
  - name: stricter
    criteria: {insulator_factor: {basis: own rule, tension: 2, by: [{for: tension, case: snow, factor: 3, basis: own rule}]}}
`))
	require.NotNil(t, problem)
	require.Contains(t, problem.Message, `is for the load case "snow"`)
	require.Equal(t, 5, problem.Line)
	require.Equal(t, `the criteria have "ice"`, problem.Hint)
}
