package read

import (
	"math"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/goccy/go-yaml/ast"
)

const alongHint = "the voltage along strings where the neutral is not earthed is Um while an earth fault stands, and Um/√3 in service: {isolated: Um, resonant: Um/√3, earth_faults: cut off within 10 s}"

// creepageVoltageKey reads what the project takes for the voltage along strings where the neutral is not earthed. Um/√3 is right only where earth
// faults do not stand, so that how long they do has to be said beside it.
func creepageVoltageKey(to *audit.CreepageVoltage) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		keys := section{{"isolated", alongKey(&to.Isolated)}, {"resonant", alongKey(&to.Resonant)}, {"earth_faults", textKey(&to.EarthFaults)}}
		if problem := keys.read(name, node); problem != nil {
			return problem
		}
		to.EarthFaults = strings.TrimSpace(to.EarthFaults)
		byPhase := to.Isolated == basis.PerPhaseToEarth || to.Resonant == basis.PerPhaseToEarth
		switch {
		case to.Isolated == basis.NoBase && to.Resonant == basis.NoBase:
			return wrong(node, alongHint, "%s says neither isolated nor resonant, expected Um or Um/√3 for one of them", name)
		case byPhase && to.EarthFaults == "":
			return wrong(node, alongHint, "%s says Um/√3 and no earth_faults, expected how long earth faults may stand", name)
		}
		return nil
	}
}

func alongKey(to *basis.Base) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		text, ok := scalar(node)
		base, known := basis.ParseBase(text)
		if !ok || !known {
			return wrong(node, alongHint, "%s %s is no voltage along a string, expected Um or Um/√3", name, written(node))
		}
		*to = base
		return nil
	}
}

// directCreepageKey reads the project's specific creepages of direct current by class: {c: 50, d: 60}. A worse class asks for no less than a better one.
func directCreepageKey(to *audit.DirectCreepage, low, high float64) reader {
	const hint = "write classes and mm per kV of the pole-to-earth voltage: {c: 50, d: 60}"
	return func(name string, node ast.Node) *ProjectFileError {
		var keys section
		for class := basis.ClassA; class <= basis.ClassF; class++ {
			keys = append(keys, key{class.String(), floatKey(&to.MMPerKV[class], low, high)})
		}
		if problem := keys.read(name, node); problem != nil {
			return problem
		}
		entries, _ := mapping(node)
		if len(entries) == 0 {
			return wrong(node, hint, "%s %s states no class", name, written(node))
		}
		for _, entry := range entries {
			letter, _ := scalar(entry.Key)
			class, isClass := basis.ParseClass(letter)
			if !isClass || math.IsNaN(to.MMPerKV[class]) {
				continue
			}
			for better := basis.ClassA; better < class; better++ {
				if to.MMPerKV[better] > to.MMPerKV[class] {
					return wrong(entry.Value, "a class stands for a worse site than those before it in the alphabet", "%s %s asks for less than class %s, %g, expected that or more",
						letter, written(entry.Value), better, to.MMPerKV[better])
				}
			}
		}
		return nil
	}
}
