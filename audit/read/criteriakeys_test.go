package read

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/stretchr/testify/require"
)

// Both ends of every range are read, and what lies beyond them is not.
func TestCriteriaAreReadWithinTheirRanges(t *testing.T) {
	for _, k := range audit.AllCriteria() {
		if k.Range() == "" {
			continue
		}
		beyond, forms := 0.001, []string{"%s"}
		switch k.In(new(audit.Criteria)).(type) {
		case *audit.Number:
		case *audit.OwnCreepage:
			forms = []string{"{base: Um, a: %[1]s, b: %[1]s, c: %[1]s, d: %[1]s, e: %[1]s, f: %[1]s}"}
		case *[]audit.SoundUnitsRule:
			beyond, forms = 1, []string{"{110: %s}"}
		case *audit.ResidualStrength:
			forms = []string{"{porcelain: %s}", "{glass: 0.5, porcelain: %s}"}
		case *audit.DirectCreepage:
			forms = []string{"{d: %s}", "{a: %[1]s, b: %[1]s, f: %[1]s}"}
		case *audit.GradingRings:
			forms = []string{"{%s: live}", "{420: both, %s: live}"}
		case *audit.WatchList:
			beyond, forms = 1, []string{"[{make: Harrow, installed_from: %s, note: look}]", "[{installed_until: %s, note: look}]"}
		case *audit.Ageing:
			forms = []string{"{porcelain: %s}", "{U70BL: 50, porcelain: %s}"}
		case *audit.InsulatorFactor:
			forms = []string{"{tension: %s}", "{suspension: %s}", "{cantilever: %s}", "{compression: %s}", "{one_string_broken: %s}", "{fitting: %s}", "{fitting_one_string_broken: %s}",
				"{by: [{for: tension, material: porcelain, factor: %s, basis: own study}]}"}
		case *audit.PriorityRule:
			forms = []string{"{base: 1, tee: %s}", "{base: 1, terminal: %s}", "{base: 1, crossings: {river: %s}}", "{base: 1, voltages: {132: %s}}", "{base: 1, circuits: {2: %s}}"}
		default:
			require.Fail(t, "the test does not know how to write it", k.Key)
		}
		for _, form := range forms {
			parse := func(value float64) (*projectFile, *ProjectFileError) {
				written := fmt.Sprintf(form, strconv.FormatFloat(value, 'f', -1, 64))
				return parseProjectFile([]byte("structures: {file: s.geojson}\ncriteria: {" + k.Key + ": " + written + "}\n"))
			}
			for _, value := range []float64{k.Low, k.High} {
				f, problem := parse(value)
				require.Nil(t, problem, "%s %g", k.Key, value)
				for _, criterion := range f.criteria.List() {
					require.Equal(t, criterion.Key == k.Key, criterion.Stated, criterion.Key)
				}
				if n, ok := k.In(&f.criteria).(*audit.Number); ok {
					require.Equal(t, audit.Stated(value), *n, k.Key)
				}
			}
			for _, value := range []float64{k.Low - beyond, k.High + beyond} {
				_, problem := parse(value)
				require.NotNil(t, problem, "%s %g", k.Key, value)
				require.Contains(t, problem.Message, fmt.Sprintf("is out of range, expected %v to %v", k.Low, k.High))
				require.Equal(t, 2, problem.Line)
			}
		}
	}
}

func TestWholeCriteriaHaveNoFraction(t *testing.T) {
	_, problem := parseProjectFile([]byte("structures: {file: s.geojson}\ncriteria: {cohort_years: 7.5}\n"))
	require.NotNil(t, problem)
	require.Contains(t, problem.Message, `cohort_years "7.5" is not a whole number`)
	require.Equal(t, 2, problem.Line)
}

// A choice that is stated as what it is by default is stated all the same.
func TestChoicesAreStated(t *testing.T) {
	for _, k := range audit.AllCriteria() {
		defaults := audit.DefaultCriteria()
		for _, c := range defaults.List() {
			if c.Key != k.Key || c.Value == audit.NothingStated {
				continue
			}
			f, problem := parseProjectFile([]byte("structures: {file: s.geojson}\ncriteria: {" + k.Key + ": " + c.Value + "}\n"))
			require.Nil(t, problem, k.Key)
			for _, have := range f.criteria.List() {
				if have.Key == k.Key {
					require.Equal(t, c.Value, have.Value)
					require.Equal(t, "stated", have.From(), k.Key)
				}
			}
		}
	}
}

func TestResidualStrengthIsRefusedWhereItSaysNothing(t *testing.T) {
	for written, problem := range map[string]string{
		"0.6":                            `residual_strength "0.6" is no mapping of materials to shares`,
		"{porcelain: 0.6, Porcelain: 1}": `material "Porcelain" in residual_strength stands there twice`,
		`{" ": 0.6}`:                     "material in residual_strength is blank",
		"{porcelain: much}":              "porcelain",
	} {
		_, got := parseProjectFile([]byte("structures: {file: s.geojson}\ncriteria: {residual_strength: " + written + "}\n"))
		require.NotNil(t, got, written)
		require.Contains(t, got.Message, problem)
	}
}

func TestWhatStandsAlongStringsIsRead(t *testing.T) {
	f, problem := parseProjectFile([]byte("structures: {file: s.geojson}\ncriteria: {creepage_voltage: {isolated: Um, resonant: Um/sqrt(3), earth_faults: cut off within 10 s}, direct_current_creepage: {c: 45, e: 60}}\n"))
	require.Nil(t, problem)
	require.Equal(t, audit.CreepageVoltage{Isolated: basis.PerPhaseToPhase, Resonant: basis.PerPhaseToEarth, EarthFaults: "cut off within 10 s"}, f.criteria.CreepageVoltage)
	require.Equal(t, 45.0, f.criteria.DirectCreepage.MMPerKV[basis.ClassC])
	require.True(t, math.IsNaN(f.criteria.DirectCreepage.MMPerKV[basis.ClassD]))
	for written, problem := range map[string]string{
		"creepage_voltage: Um":                                                    "creepage_voltage \"Um\" is no mapping of keys to values",
		"creepage_voltage: {isolated: 36}":                                        `isolated "36" is no voltage along a string, expected Um or Um/√3`,
		"creepage_voltage: {earthed: Um}":                                         "unknown key \"earthed\"",
		"creepage_voltage: {earth_faults: 10 s}":                                  "says neither isolated nor resonant",
		"creepage_voltage: {resonant: Um/√3}":                                     "says Um/√3 and no earth_faults",
		"creepage_voltage: {resonant: Um/√3, earth_faults: ' '}":                  "says Um/√3 and no earth_faults",
		"direct_current_creepage: 45":                                             "is no mapping of keys to values",
		"direct_current_creepage: {}":                                             "states no class",
		"direct_current_creepage: {c: many}":                                      `c "many" is not a number`,
		"direct_current_creepage: {c: 60, d: 45}":                                 "asks for less than class c, 60",
		"grading_rings: 220":                                                      "is no mapping of voltages to ends",
		"grading_rings: {high: live}":                                             `voltage "high" in grading_rings is not a number`,
		"grading_rings: {220: live, 220.0: both}":                                 "stands there twice",
		"grading_rings: {220: earth}":                                             "is not known, expected live or both",
		"grading_rings: {220: }":                                                  "is not known, expected live or both",
		"watch_list: Harrow":                                                      "is no list of entries",
		"watch_list: [Harrow]":                                                    "is no mapping of keys to values",
		"watch_list: [{note: look}]":                                              "names nothing",
		"watch_list: [{make: Harrow}]":                                            "has no note",
		"watch_list: [{make: Harrow, colour: red, note: look}]":                   "unknown key \"colour\"",
		"watch_list: [{installed_from: 1990.5, note: look}]":                      "installed_from",
		"watch_list: [{installed_from: 1990, installed_until: 1980, note: look}]": "ends before it begins",
	} {
		_, got := parseProjectFile([]byte("structures: {file: s.geojson}\ncriteria: {" + written + "}\n"))
		require.NotNil(t, got, written)
		require.Contains(t, got.Message, problem, written)
	}
}

func TestAgesAreRefusedWhereTheySayNothing(t *testing.T) {
	for written, problem := range map[string]string{
		"40":                            `ageing "40" is no mapping of types or materials to ages`,
		"{porcelain: 40, Porcelain: 1}": `type or material "Porcelain" in ageing stands there twice`,
		`{" ": 40}`:                     "type or material in ageing is blank",
		"{porcelain: old}":              "porcelain",
	} {
		_, got := parseProjectFile([]byte("structures: {file: s.geojson}\ncriteria: {ageing: " + written + "}\n"))
		require.NotNil(t, got, written)
		require.Contains(t, got.Message, problem)
	}
}

func TestRemedyPreferences(t *testing.T) {
	p, problem := parseProjectFile([]byte("structures: {file: s.geojson}\ncriteria: {remedy: {prefer: [Price, fewest-changes]}}\n"))
	require.Nil(t, problem)
	require.Equal(t, []audit.Preference{audit.LeastPrice, audit.FewestChanges}, p.criteria.Remedy.Prefer)
	require.Equal(t, []audit.Preference{audit.LeastPrice, audit.FewestChanges, audit.LeastLength}, p.criteria.Remedy.Order())
	for written, want := range map[string]string{
		"{prefer: price}":          `prefer "price" is no list`,
		"{prefer: [weight]}":       `"weight" in prefer is not known, expected fewest changes, price, length`,
		"{prefer: [price, price]}": `"price" in prefer stands there twice`,
		"{first: [price]}":         `unknown key "first" in remedy`,
	} {
		_, problem := parseProjectFile([]byte("structures: {file: s.geojson}\ncriteria: {remedy: " + written + "}\n"))
		require.NotNil(t, problem, written)
		require.Contains(t, problem.Error(), want)
	}
}

func TestBrokenConductor(t *testing.T) {
	read := func(written string) (*projectFile, *ProjectFileError) {
		return parseProjectFile([]byte("structures: {file: s.geojson}\ncriteria: {load_cases: [{name: High wind, tension: maximum}], broken_conductor: " + written + "}\n"))
	}
	all := func(figure float64) audit.ByDuty {
		return audit.ByDuty{Suspension: figure, Pin: figure, Post: figure}
	}
	for written, want := range map[string]audit.BrokenConductor{
		"{}": {},
		"{share: 0.7, factor: 2, basis: own rule}":               {Share: all(0.7), Factor: all(2), Basis: "own rule"},
		"{share: 0.7, factor:, case: Everyday}":                  {Share: all(0.7), Case: "Everyday"},
		"{share: 1, factor: 2, case: high-wind}":                 {Share: all(1), Factor: all(2), Case: "high-wind"},
		"{share: {pin: 1, post: 0.8}, factor: {suspension: 20}}": {Share: audit.ByDuty{Pin: 1, Post: 0.8}, Factor: audit.ByDuty{Suspension: 20}},
		"{share: 0.01, factor: 1, subconductors: 2}":             {Share: all(0.01), Factor: all(1), Subconductors: 2},
	} {
		p, problem := read(written)
		require.Nil(t, problem, written)
		require.Equal(t, want, p.criteria.BrokenConductor, written)
	}
	for written, problem := range map[string]string{
		"0.7":                            `broken_conductor "0.7" is no mapping`,
		"{basis: own rule}":              "broken_conductor has neither a share nor a factor",
		"{share: 70}":                    `share "70" is out of range, expected 0.01 to 1`,
		"{share: 0}":                     `share "0" is out of range`,
		"{share: {suspension: 1.2}}":     `suspension "1.2" is out of range, expected 0.01 to 1`,
		"{share: {tension: 1}}":          `unknown key "tension"`,
		"{share: most}":                  `share "most" is not a number`,
		"{factor: 0.5}":                  `factor "0.5" is out of range, expected 1 to 20`,
		"{share: 1, case: gale}":         `criterion broken_conductor names the load case "gale", which is none of the criteria's`,
		"{share: 1, subconductors: 1.5}": `subconductors "1.5" is not a whole number`,
		"{share: 1, subconductors: 0}":   `subconductors "0" is out of range`,
	} {
		_, got := read(written)
		require.NotNil(t, got, written)
		require.Contains(t, got.Message, problem, written)
	}
	for written, hint := range map[string]string{
		"{share: 1, case: high winds}":       `did you mean "High wind"?`,
		"{share: 1, case: storm}":            `write case: everyday, or one that the criteria have: "High wind"`,
		"{share: 1, subconductors: all}":     "write a whole number without quotes, from 1 to 12",
		"{share: 1, subconductors: 2020-05}": "write a whole number without quotes, from 1 to 12",
		"{share: 1, subconductors: 1.5}":     "write a whole number without quotes, from 1 to 12",
	} {
		_, got := read(written)
		require.Equal(t, hint, got.Hint, written)
		require.Equal(t, 2, got.Line, written)
		require.Greater(t, got.Column, len("criteria: {load_cases: [{name: High wind, tension: maximum}], broken_conductor: {share: 1"), written)
	}
	_, got := parseProjectFile([]byte("structures: {file: s.geojson}\nfor:\n- lines: [L-1]\n  criteria:\n    broken_conductor: {share: 1, case: storm}\n"))
	require.Equal(t, [2]int{5, 40}, [2]int{got.Line, got.Column}, "of some lines")
	require.Equal(t, "write case: everyday, or name the load case under load_cases", got.Hint)
}
