package read

import (
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/goccy/go-yaml/ast"
)

// criteriaKeys lists the criteria, in the order of their table.
func criteriaKeys(c *audit.Criteria) section {
	var keys section
	for _, criterion := range audit.AllCriteria() {
		keys = append(keys, key{criterion.Key, criterionKey(&criterion, c)})
	}
	return keys
}

// criterionKey is what reads a criterion, by what it holds.
func criterionKey(k *audit.Criterion, c *audit.Criteria) reader {
	switch to := k.In(c).(type) {
	case *audit.Number:
		if k.Whole {
			return wholeNumberKey(to, int(k.Low), int(k.High))
		}
		return numberKey(to, k.Low, k.High)
	case audit.Choice[bool]:
		return choiceKey(to, boolKey)
	case audit.Choice[basis.CreepageBasis]:
		return choiceKey(to, creepageBasisKey)
	case audit.Choice[basis.VoltageTable]:
		return choiceKey(to, voltageTableKey)
	case audit.Choice[basis.AltitudeBasis]:
		return choiceKey(to, altitudeBasisKey)
	case audit.Choice[basis.StatedTension]:
		return choiceKey(to, statedTensionKey)
	case audit.Choice[audit.CombinedLoads]:
		return choiceKey(to, combinedLoadsKey)
	case *basis.Class:
		return classKey(to)
	case *audit.ArcingDistance:
		return arcingDistanceKey(to)
	case *basis.FlashoverTable:
		return flashoverTableKey(to)
	case *audit.OwnCreepage:
		return specificCreepageKey(to, k.High)
	case *audit.CreepageVoltage:
		return creepageVoltageKey(to)
	case *audit.DirectCreepage:
		return directCreepageKey(to, k.Low, k.High)
	case *[]audit.SoundUnitsRule:
		return soundUnitsKey(to, int(k.Low), int(k.High))
	case *[]audit.CrossingRule:
		return crossingRulesKey(to)
	case *audit.InsulatorFactor:
		return insulatorFactorKeys(to, k.Low, k.High).read
	case *audit.BrokenConductor:
		return brokenConductorKey(to)
	case *[]audit.LoadCase:
		return loadCasesKey(to)
	case *audit.ResidualStrength:
		return residualStrengthKey(to, k.Low, k.High)
	case *audit.Ageing:
		return ageingKey(to, k.Low, k.High)
	case *audit.GradingRings:
		return gradingRingsKey(to, k.Low, k.High)
	case *audit.WatchList:
		return watchListKey(to, int(k.Low), int(k.High))
	case *audit.RemedyRule:
		return remedyKey(to)
	case *audit.PriorityRule:
		return priorityKey(to, k.Low, k.High)
	case *audit.RiskRule:
		return riskKey(to)
	}
	panic("read: nothing reads the criterion " + k.Key)
}

// choiceKey reads a choice and notes that it is stated.
func choiceKey[T any](to audit.Choice[T], value func(*T) reader) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		problem := value(to.Value)(name, node)
		*to.Stated = problem == nil
		return problem
	}
}

func classKey(to *basis.Class) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		text, ok := scalar(node)
		class, known := basis.ParseClass(text)
		if !ok || !known {
			return wrong(node, "the names very light to very heavy and the levels I to IV of 1986 are read too",
				"%s %s is no pollution class, expected a to f", name, written(node))
		}
		*to = class
		return nil
	}
}

func creepageBasisKey(to *basis.CreepageBasis) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		text, ok := scalar(node)
		chosen, known := basis.ParseCreepageBasis(text)
		if !ok || !known {
			return wrong(node, "unified is the specific creepage of 2008 on phase to earth voltage, 1986 that on the highest voltage",
				"%s %s is not known, expected unified or 1986", name, written(node))
		}
		*to = chosen
		return nil
	}
}

func voltageTableKey(to *basis.VoltageTable) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		text, ok := scalar(node)
		chosen, known := basis.ParseVoltageTable(text)
		if !ok || !known {
			return wrong(node, "the table gives the highest voltage of a line that states its nominal voltage alone",
				"%s %s is not known, expected IEC 60038 or north american", name, written(node))
		}
		*to = chosen
		return nil
	}
}

func altitudeBasisKey(to *basis.AltitudeBasis) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		text, ok := scalar(node)
		chosen, known := basis.ParseAltitudeBasis(text)
		if !ok || !known {
			return wrong(node, "a standard level covers sites up to 1000 m; a level that a study requires at the site goes with sea level",
				"%s %s is not known, expected 1000 m or sea level", name, written(node))
		}
		*to = chosen
		return nil
	}
}

func statedTensionKey(to *basis.StatedTension) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		text, ok := scalar(node)
		chosen, known := basis.ParseStatedTension(text)
		if !ok || !known {
			return wrong(node, "horizontal is the tension at the low point of a span, at support the pull on the string",
				"%s %s is not known, expected horizontal or at support", name, written(node))
		}
		*to = chosen
		return nil
	}
}

func combinedLoadsKey(to *audit.CombinedLoads) reader {
	words := newWords(audit.CombinedLoadsWords())
	return func(name string, node ast.Node) *ProjectFileError {
		text, ok := scalar(node)
		chosen, known := words.find(text)
		if !ok || !known {
			return wrong(node, "sum adds the utilisations of a pin or post across and along its axis, each looks at every one alone",
				"%s %s is not known, expected sum or each", name, written(node))
		}
		*to = chosen
		return nil
	}
}

func arcingDistanceKey(to *audit.ArcingDistance) reader {
	words := newWords(audit.ArcingDistanceWords())
	return func(name string, node ast.Node) *ProjectFileError {
		text, ok := scalar(node)
		chosen, known := words.find(text)
		if !ok || !known {
			return wrong(node, "it holds for strings of cap-and-pin units that state no arcing distance; leave it out where the project does not say so",
				"%s %s is not known, expected %s", name, written(node), audit.ArcingOverUnits)
		}
		*to = chosen
		return nil
	}
}

func flashoverTableKey(to *basis.FlashoverTable) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		text, ok := scalar(node)
		chosen, known := basis.ParseFlashoverTable(text)
		if !ok || !known {
			return wrong(node, "leave it out where the project asks for no least flashover", "%s %s is not known, expected %s", name, written(node), basis.FlashoverTablesInWords())
		}
		*to = chosen
		return nil
	}
}

// soundUnitsKey reads a policy by nominal voltage: {110: 5, 220: 9}.
func soundUnitsKey(to *[]audit.SoundUnitsRule, low, high int) reader {
	const hint = "write nominal voltages in kV and numbers of units: {110: 5, 220: 9}"
	return func(name string, node ast.Node) *ProjectFileError {
		entries, ok := mapping(node)
		if !ok {
			return wrong(node, hint, "%s %s is no mapping of voltages to numbers of units", name, written(node))
		}
		for _, entry := range entries {
			text, _ := scalar(entry.Key)
			nominal, ok := parseNumber(text)
			repeated := slices.ContainsFunc(*to, func(r audit.SoundUnitsRule) bool { return r.NominalKV == nominal })
			switch {
			case !ok:
				return wrong(entry.Key, hint, "nominal voltage %s in %s is not a number", written(entry.Key), name)
			case nominal < 0.1 || nominal > 1500:
				return wrong(entry.Key, hint, "nominal voltage %s in %s is out of range, expected 0.1 to 1500", written(entry.Key), name)
			case repeated:
				return wrong(entry.Key, hint, "nominal voltage %s in %s stands there twice", written(entry.Key), name)
			}
			rule := audit.SoundUnitsRule{NominalKV: nominal}
			if problem := wholeKey(&rule.Units, low, high)(name, entry.Value); problem != nil {
				return problem
			}
			*to = append(*to, rule)
		}
		return nil
	}
}

// crossingRulesKey reads what a crossed kind asks for: {river: double, railway: tension and double}.
func crossingRulesKey(to *[]audit.CrossingRule) reader {
	const hint = "write kinds of crossing and what they ask for: {river: double, railway: tension and double}"
	return func(name string, node ast.Node) *ProjectFileError {
		entries, ok := mapping(node)
		if !ok {
			return wrong(node, hint, "%s %s is no mapping of kinds to what they ask for", name, written(node))
		}
		for _, entry := range entries {
			kind, _ := scalar(entry.Key)
			rule := audit.CrossingRule{Kind: strings.TrimSpace(kind)}
			repeated := slices.ContainsFunc(*to, func(r audit.CrossingRule) bool { return strings.EqualFold(r.Kind, rule.Kind) })
			switch {
			case rule.Kind == "":
				return wrong(entry.Key, hint, "kind of crossing in %s is blank", name)
			case repeated:
				return wrong(entry.Key, hint, "kind of crossing %s in %s stands there twice", written(entry.Key), name)
			}
			asked, ok := scalar(entry.Value)
			for _, word := range strings.Fields(strings.NewReplacer(",", " ", "+", " ").Replace(strings.ToLower(asked))) {
				switch word {
				case "double":
					rule.Double = true
				case "tension":
					rule.Tension = true
				case "and":
				default:
					ok = false
				}
			}
			if !ok || !rule.Double && !rule.Tension {
				return wrong(valueOrKey(entry), hint, "%s %s is not known, expected double, tension, or tension and double", rule.Kind, written(entry.Value))
			}
			*to = append(*to, rule)
		}
		return nil
	}
}

// valueOrKey is the value of an entry, or its key where the value is missing.
func valueOrKey(entry *ast.MappingValueNode) ast.Node {
	if entry.Value == nil || entry.Value.Type() == ast.NullType {
		return entry.Key
	}
	return entry.Value
}

// residualStrengthKey reads shares by material: {porcelain: 0.6, glass: 0.65}.
func residualStrengthKey(to *audit.ResidualStrength, low, high float64) reader {
	const hint = "write materials as the Units sheet names them, and shares of the rating: {porcelain: 0.6, glass: 0.65}"
	return byNameKey("material", "materials to shares", hint, low, high, func(material string, share float64) {
		*to = append(*to, audit.ResidualShare{Material: material, Share: share})
	})
}

// ageingKey reads ages by type or material: {porcelain: 40, U70BL: 50}.
func ageingKey(to *audit.Ageing, low, high float64) reader {
	const hint = "write types or materials as the Units sheet names them, and years: {porcelain: 40, U70BL: 50}"
	return byNameKey("type or material", "types or materials to ages", hint, low, high, func(of string, years float64) {
		*to = append(*to, audit.AgeRule{Of: of, Years: years})
	})
}

// byNameKey reads numbers by names, each of which stands there once whatever the case of its letters.
func byNameKey(noun, what, hint string, low, high float64, add func(name string, number float64)) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		entries, ok := mapping(node)
		if !ok {
			return wrong(node, hint, "%s %s is no mapping of %s", name, written(node), what)
		}
		var known []string
		for _, entry := range entries {
			text, _ := scalar(entry.Key)
			of := strings.TrimSpace(text)
			switch {
			case of == "":
				return wrong(entry.Key, hint, "%s in %s is blank", noun, name)
			case slices.ContainsFunc(known, func(other string) bool { return strings.EqualFold(other, of) }):
				return wrong(entry.Key, hint, "%s %s in %s stands there twice", noun, written(entry.Key), name)
			}
			var number float64
			if problem := floatKey(&number, low, high)(of, entry.Value); problem != nil {
				return problem
			}
			known = append(known, of)
			add(of, number)
		}
		return nil
	}
}
