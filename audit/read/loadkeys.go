package read

import (
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/goccy/go-yaml/ast"
)

// The load factors that are believed.
const (
	leastFactor = 1
	mostFactor  = 20
)

const loadCaseHint = "write a list of cases: - {name: high wind, wind_Pa: 400, tension: maximum}"

// loadCasesKey reads the list of load cases.
func loadCasesKey(to *[]audit.LoadCase) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		list, ok := node.(*ast.SequenceNode)
		if !ok {
			return wrong(node, loadCaseHint, "%s %s is no list of load cases", name, written(node))
		}
		for _, entry := range list.Values {
			read := audit.LoadCase{TemperatureC: audit.NotStated(), Factor: 1}
			if problem := readLoadCase(&read, entry); problem != nil {
				return problem
			}
			if slices.ContainsFunc(*to, func(other audit.LoadCase) bool { return audit.IsSameLoadCase(other.Name, read.Name) }) {
				return wrong(entry, "give each load case a name of its own", "load case %q stands there twice", read.Name)
			}
			*to = append(*to, read)
		}
		return nil
	}
}

// leastWindPa and leastIceMM are the least wind pressure and ice that a load case is believed to mean, if any: less is likely in kPa, or in m (choices of
// this program). 10 Pa are a wind of 4 m/s (computed).
const (
	leastWindPa = 10.0
	leastIceMM  = 1.0
)

// noneOr reads a figure that is 0 or at least so much.
func noneOr(least float64, read reader, figure *float64) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		if problem := read(name, node); problem != nil {
			return problem
		}
		if *figure > 0 && *figure < least {
			return wrong(node, rangeHint, "%s %s is out of range, expected 0, or %v or more", name, written(node), least)
		}
		return nil
	}
}

func readLoadCase(c *audit.LoadCase, node ast.Node) *ProjectFileError {
	var tension ast.Node
	keys := section{
		{"name", textKey(&c.Name)},
		{"kind", textKey(&c.Kind)},
		{"wind_Pa", noneOr(leastWindPa, floatKey(&c.WindPa, 0, audit.MostWindPa), &c.WindPa)},
		{"ice_mm", noneOr(leastIceMM, floatKey(&c.IceMM, 0, 200), &c.IceMM)},
		{"ice_density", floatKey(&c.IceDensityKgPerM3, 100, 1000)},
		{"temperature_C", numberKey(&c.TemperatureC, -60, 100)},
		{"tension", func(name string, node ast.Node) *ProjectFileError {
			tension, c.ProjectLine = node, lineOf(node)
			return readTension(c, name, node)
		}},
		{"load_factor", floatKey(&c.Factor, leastFactor, mostFactor)},
		{"load_factor_basis", textKey(&c.FactorBasis)},
		{"uplift", boolKey(&c.Uplift)},
	}
	if problem := keys.read("load_cases", node); problem != nil {
		return problem
	}
	c.Name, c.Kind = strings.TrimSpace(c.Name), strings.TrimSpace(c.Kind)
	switch {
	case c.Name == "":
		return wrong(node, loadCaseHint, "a load case has no name, expected the key name")
	case tension == nil:
		return wrong(node, "write tension: maximum, or another tension", "load case %q has no tension, expected %s", c.Name, tensionExpected)
	case c.IceMM > 0 && c.IceDensityKgPerM3 == 0:
		return wrong(node, "write ice_density in kg/m3, for example 900 for glaze (common practice)",
			"load case %q has ice but no ice_density", c.Name)
	case c.From == audit.CalculatedTension && !c.TemperatureC.Known():
		return wrong(tension, "write temperature_C in degrees Celsius", "load case %q has a calculated tension but no temperature_C", c.Name)
	}
	return nil
}

const tensionExpected = "maximum, cold, everyday, calculated, a number in kN, or {share: 0.4} of the rated strength"

// readTension reads where the tension of a load case comes from.
func readTension(c *audit.LoadCase, name string, node ast.Node) *ProjectFileError {
	if _, ok := mapping(node); ok {
		c.From = audit.ShareOfStrength
		problem := section{{"share", floatKey(&c.Share, 0.01, 1)}}.read(name, node)
		if problem == nil && c.Share == 0 {
			problem = wrong(node, "write {share: 0.4}", "%s {…} states no share", name)
		}
		return problem
	}
	if _, ok := numeric(node); ok {
		c.From = audit.GivenTension
		return floatKey(&c.TensionKN, 0.1, 1000)(name, node)
	}
	text, _ := scalar(node)
	words := newWords(audit.TensionWords())
	if from, known := words.find(text); known {
		c.From = from
		return nil
	}
	return wrong(node, "maximum, cold and everyday are columns of the sheet Lines", "%s %s is not known, expected %s", name, written(node), tensionExpected)
}
