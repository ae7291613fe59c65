package read

import (
	"math"

	"dryarc/audit"
	"dryarc/audit/basis"

	"github.com/goccy/go-yaml/ast"
)

const baseHint = "31 mm/kV on Um is 53.7 mm/kV on Um/√3: a figure without its base says nothing"

// baseKey reads the base of figures of specific creepage.
func baseKey(to *basis.Base) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		text, ok := scalar(node)
		base, known := basis.ParseBase(text)
		if !ok || !known {
			return wrong(node, baseHint, "%s %s is no base of specific creepage, expected %s", name, written(node), basis.BaseWords)
		}
		*to = base
		return nil
	}
}

// specificCreepageKey reads the user's own figures by class, with their base: {base: Um/√3, e: 60}. The least that is
// believed is the figure of class a on that base, and a worse class asks for no less than a better one.
func specificCreepageKey(to *audit.OwnCreepage, high float64) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		keys := section{{"base", baseKey(&to.Base)}}
		for class := basis.ClassA; class <= basis.ClassF; class++ {
			keys = append(keys, key{class.String(), floatKey(&to.MMPerKV[class], math.Inf(-1), math.Inf(1))})
		}
		if problem := keys.read(name, node); problem != nil {
			return problem
		}
		entries, _ := mapping(node)
		for _, entry := range entries {
			letter, _ := scalar(entry.Key)
			class, isClass := basis.ParseClass(letter)
			if !isClass || math.IsNaN(to.MMPerKV[class]) {
				continue
			}
			if to.Base == basis.NoBase {
				return wrong(node, baseHint, "%s says no base, expected base: %s", name, basis.BaseWords)
			}
			if least := basis.LeastSpecificCreepage(to.Base); to.MMPerKV[class] < least || to.MMPerKV[class] > high {
				return wrong(entry.Value, rangeHint, "%s %s is out of range, expected %v to %v on %s", letter, written(entry.Value), least, high, to.Base)
			}
			if better, mmPerKV := largestBelow(to, class); mmPerKV > to.MMPerKV[class] {
				return wrong(entry.Value, "a class stands for a worse site than those before it in the alphabet", "%s %s asks for less than class %s, %g, expected that or more",
					letter, written(entry.Value), better, mmPerKV)
			}
			if problem := againstTable(to, class, entry); problem != nil {
				return problem
			}
		}
		return nil
	}
}

// againstTable refuses an own figure that the figures of the table which stay in force would put out of order: less than a better class
// keeps, or more than a worse one does. The table is that of the edition whose figures count the same voltage.
func againstTable(own *audit.OwnCreepage, class basis.Class, entry *ast.MappingValueNode) *ProjectFileError {
	edition := basis.Unified
	if own.Base == basis.PerPhaseToPhase {
		edition = basis.Levels1986
	}
	for c := basis.ClassA; c <= basis.ClassF; c++ {
		table, ok := basis.SpecificCreepage(edition, c)
		if !ok || !math.IsNaN(own.MMPerKV[c]) {
			continue
		}
		order := ""
		switch {
		case c < class && basis.Contradicts(own.MMPerKV[class], table):
			order = "less"
		case c > class && basis.Contradicts(table, own.MMPerKV[class]):
			order = "more"
		default:
			continue
		}
		return wrong(entry.Value, "a class stands for a worse site than those before it in the alphabet; state the classes beside it too", "%s %s asks for %s than class %s, %g of the table on %s, which stays in force",
			class, written(entry.Value), order, c, table, own.Base)
	}
	return nil
}

// largestBelow is the largest of the user's own figures for a better class than one, 0 where there is none.
func largestBelow(own *audit.OwnCreepage, class basis.Class) (better basis.Class, mmPerKV float64) {
	for c := basis.ClassA; c < class; c++ {
		if own.MMPerKV[c] > mmPerKV {
			better, mmPerKV = c, own.MMPerKV[c]
		}
	}
	return better, mmPerKV
}
