package read

import (
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/goccy/go-yaml/ast"
)

// criteriaKeys lists the criteria: one line each. The ranges are wide: they find slips of the pen and of the unit.
func criteriaKeys(c *audit.Criteria) section {
	return section{
		{"deviation_limit_deg", numberKey(&c.DeviationLimitDeg, 0, 180)},
		{"pin_deviation_limit_deg", numberKey(&c.PinDeviationLimitDeg, 0, 180)},
		{"position_accuracy_m", numberKey(&c.PositionAccuracyM, 0, 1000)},
		{"tee_tolerance_m", numberKey(&c.TeeToleranceM, 0, 1000)},
		{"tension_at_tee", boolKey(&c.TensionAtTee)},
		{"default_class", classKey(&c.DefaultClass)},
		{"creepage_basis", creepageBasisKey(c)},
		{"specific_creepage", specificCreepageKey(c)},
		{"creepage_altitude_exponent", numberKey(&c.CreepageAltitudeExponent, 0, 1)},
		{"altitude_basis", altitudeBasisKey(c)},
		{"switching_exponent", numberKey(&c.SwitchingExponent, 0, 1)},
		{"gap_factor", numberKey(&c.GapFactor, 1, 2)},
		{"wet_share", numberKey(&c.WetShare, 0.1, 1)},
		{"puncture_share", numberKey(&c.PunctureShare, 0.1, 1)},
		{"sound_units", soundUnitsKey(c)},
		{"zone_margin_m", numberKey(&c.ZoneMarginM, 0, 100_000)},
		{"span_limit_m", numberKey(&c.SpanLimitM, 1, 20_000)},
		{"route_tolerance_m", numberKey(&c.RouteToleranceM, 0, 10_000)},
		{"long_span_m", numberKey(&c.LongSpanM, 1, 20_000)},
		{"crossing_rules", crossingRulesKey(c)},
		{"insulator_factor", insulatorFactorKeys(&c.InsulatorFactor).read},
		{"load_cases", loadCasesKey(c)},
		{"unequal_sharing", numberKey(&c.UnequalSharing, 1, 2)},
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

func creepageBasisKey(c *audit.Criteria) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		text, ok := scalar(node)
		chosen, known := basis.ParseCreepageBasis(text)
		if !ok || !known {
			return wrong(node, "unified is the specific creepage of 2008 on phase to earth voltage, 1986 that on the highest voltage",
				"%s %s is not known, expected unified or 1986", name, written(node))
		}
		c.CreepageBasis, c.CreepageBasisStated = chosen, true
		return nil
	}
}

func altitudeBasisKey(c *audit.Criteria) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		text, ok := scalar(node)
		chosen, known := basis.ParseAltitudeBasis(text)
		if !ok || !known {
			return wrong(node, "a standard level covers sites up to 1000 m; a level that a study requires at the site goes with sea level",
				"%s %s is not known, expected 1000 m or sea level", name, written(node))
		}
		c.AltitudeBasis, c.AltitudeBasisStated = chosen, true
		return nil
	}
}

// soundUnitsKey reads a policy by nominal voltage: {110: 5, 220: 9}.
func soundUnitsKey(c *audit.Criteria) reader {
	const hint = "write nominal voltages in kV and numbers of units: {110: 5, 220: 9}"
	return func(name string, node ast.Node) *ProjectFileError {
		entries, ok := mapping(node)
		if !ok {
			return wrong(node, hint, "%s %s is no mapping of voltages to numbers of units", name, written(node))
		}
		for _, entry := range entries {
			text, _ := scalar(entry.Key)
			nominal, ok := parseNumber(text)
			repeated := slices.ContainsFunc(c.SoundUnits, func(r audit.SoundUnitsRule) bool { return r.NominalKV == nominal })
			switch {
			case !ok:
				return wrong(entry.Key, hint, "nominal voltage %s in %s is not a number", written(entry.Key), name)
			case nominal < 0.1 || nominal > 1500:
				return wrong(entry.Key, hint, "nominal voltage %s in %s is out of range, expected 0.1 to 1500", written(entry.Key), name)
			case repeated:
				return wrong(entry.Key, hint, "nominal voltage %s in %s stands there twice", written(entry.Key), name)
			}
			rule := audit.SoundUnitsRule{NominalKV: nominal}
			if problem := wholeKey(&rule.Units, 1, 200)(name, entry.Value); problem != nil {
				return problem
			}
			c.SoundUnits = append(c.SoundUnits, rule)
		}
		return nil
	}
}

// crossingRulesKey reads what a crossed kind asks for: {river: double, railway: tension and double}.
func crossingRulesKey(c *audit.Criteria) reader {
	const hint = "write kinds of crossing and what they ask for: {river: double, railway: tension and double}"
	return func(name string, node ast.Node) *ProjectFileError {
		entries, ok := mapping(node)
		if !ok {
			return wrong(node, hint, "%s %s is no mapping of kinds to what they ask for", name, written(node))
		}
		for _, entry := range entries {
			kind, _ := scalar(entry.Key)
			rule := audit.CrossingRule{Kind: strings.TrimSpace(kind)}
			repeated := slices.ContainsFunc(c.CrossingRules, func(r audit.CrossingRule) bool { return strings.EqualFold(r.Kind, rule.Kind) })
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
			c.CrossingRules = append(c.CrossingRules, rule)
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
