package read

import (
	"testing"

	"dryarc/audit"

	"github.com/stretchr/testify/require"
)

func TestPriorityKey(t *testing.T) {
	const carry = "structures: {file: s.geojson, carry: [District]}\ncriteria: {priority: "
	p, problem := parseProjectFile([]byte(carry + "{base: 100, crossings: {railway: 4, river: 2}, voltages: {132: 2, 33.0: 1}, circuits: {2: 1.5}, tee: 1.5, terminal: 2, " +
		"carried: {District: {Hale: 1.2}}, without_figure: 0.5}}\n"))
	require.Nil(t, problem)
	rule := &p.criteria.Priority
	require.Equal(t, audit.PriorityRule{Base: 100, Crossings: []audit.Weighing{{Of: "railway", Factor: 4}, {Of: "river", Factor: 2}},
		Voltages: []audit.Weighing{{Of: "132", Number: 132, Factor: 2}, {Of: "33", Number: 33, Factor: 1}}, Circuits: []audit.Weighing{{Of: "2", Number: 2, Factor: 1.5}},
		Tee: 1.5, Terminal: 2, Carried: []audit.CarriedWeights{{Name: "District", Values: []audit.Weighing{{Of: "Hale", Factor: 1.2}}}}, WithoutFigure: 0.5}, *rule)
	require.Equal(t, "base 100; crossings railway: 4, river: 2; voltages 132: 2, 33: 1; circuits 2: 1.5; tee 1.5; terminal 2; without figure 0.5; District Hale: 1.2", rule.String())
	written, err := rule.MarshalJSON()
	require.NoError(t, err)
	require.JSONEq(t, `{"base":100,"crossings":{"railway":4,"river":2},"voltages":{"132":2,"33":1},"circuits":{"2":1.5},"tee":1.5,"terminal":2,"carried":{"District":{"Hale":1.2}},"without_figure":0.5}`, string(written))
	for written, want := range map[string]string{
		"high":                                   `priority "high" is no mapping`,
		"{crossings: {river: 2}}":                "priority has no base, and nothing stands in for it",
		"{base: 0}":                              `base "0" is out of range, expected 0.001 to 1e+12`,
		"{base: 1, crossings: river}":            `crossings "river" is no mapping of values to factors`,
		"{base: 1, crossings: {river: wide}}":    `river in crossings "wide" is not a number`,
		"{base: 1, crossings: {river: 0}}":       `river in crossings "0" is out of range, expected 0.001 to 1000`,
		"{base: 1, crossings: {a: 1, A: 2}}":     `"A" in crossings stands there twice`,
		"{base: 1, voltages: {high: 1}}":         `nominal voltage "high" in voltages is not a number`,
		"{base: 1, voltages: {5000: 1}}":         `nominal voltage "5000" in voltages is out of range, expected 0.1 to 1500`,
		"{base: 1, voltages: {132: 1, 132.0: 2}": "stands there twice",
		"{base: 1, without_figure: 2}":           `without_figure "2" is out of range, expected 0.001 to 1`,
		"{base: 1, carried: {Distrct: {a: 1}}}":  `criterion priority has factors for "Distrct", which is not carried through`,
		"{base: 1, carried: {District: }}":       "District in carried has no values",
		"{base: 1, kinds: {river: 2}}":           `unknown key "kinds" in priority`,
	} {
		end := "}\n"
		if want == "stands there twice" {
			end = "}}\n"
		}
		_, problem := parseProjectFile([]byte(carry + written + end))
		require.NotNil(t, problem, written)
		require.Contains(t, problem.Error(), want)
	}
}
