package read

import (
	"fmt"
	"strconv"
	"testing"

	"dryarc/audit"

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
		case *audit.Ageing:
			forms = []string{"{porcelain: %s}", "{U70BL: 50, porcelain: %s}"}
		case *audit.InsulatorFactor:
			forms = []string{"{tension: %s}", "{suspension: %s}", "{cantilever: %s}", "{compression: %s}", "{one_string_broken: %s}"}
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
	_, got := read("{share: 1, case: high winds}")
	require.Contains(t, got.Hint, "High wind")
}
