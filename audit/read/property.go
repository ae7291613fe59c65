package read

import (
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// property is the name that an input has for something. Stated names must be there.
type property struct {
	name    string
	stated  bool
	measure *measure      // of its numbers; nil for texts and pure numbers
	in      unitOfMeasure // of its numbers there; without a name where the project file states none
}

// called is a property that has the name looked for.
func called(name string) property { return property{name: name, in: unitOfMeasure{factor: 1}} }

// measured is a property of numbers that has the name looked for.
func measured(name string, m *measure) property {
	p := called(name)
	p.measure = m
	return p
}

// propertyKey reads the name of a property, which may have no unit in it that is not known.
func propertyKey(to *property) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		problem := namedKey(to)(name, node)
		if problem != nil || len(to.in.names) > 0 {
			return problem
		}
		_, unit := unitIn(to.name)
		if _, unknown := unitOf(to.name, to.measure, unit); unknown != "" {
			return wrong(node, unitHint(fmt.Sprintf("%s: {from: %q, unit: U}", name, to.name)), "%s %s has the unit %q, expected one of %s", name, written(node), unit, strings.Join(to.measure.list(), ", "))
		}
		return nil
	}
}

// unitHint says how to state the unit of a name.
func unitHint(line string) string {
	return fmt.Sprintf("write %s, with its unit for U; figures in any other have to be converted in the file", line)
}

// namedKey reads the name of a property or a heading: name, or {from: name, unit: ft} where it has a measure.
func namedKey(to *property) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		m := to.measure
		from := measured("", m)
		unit := func(name string, node ast.Node) *ProjectFileError {
			text, _ := scalar(node)
			known := m != nil
			if known {
				from.in, known = m.find(text)
			}
			switch {
			case m == nil:
				return wrong(node, propertyHint, "%s %s is for numbers, and this property has no unit", name, written(node))
			case !known:
				return wrong(node, propertyHint, "%s %s is not known, expected one of %s", name, written(node), strings.Join(m.list(), ", "))
			}
			return nil
		}
		if _, ok := mapping(node); ok {
			if problem := (section{{"from", textKey(&from.name)}, {"unit", unit}}).read(name, node); problem != nil {
				return problem
			}
		} else if from.name, ok = scalar(node); !ok {
			from.name = ""
		}
		if from.name == "" {
			return wrong(node, propertyHint, "%s %s is no name of a property", name, written(node))
		}
		if m != nil && len(from.in.names) == 0 {
			_, unit := unitIn(from.name)
			in, known := m.find(unit)
			if !known {
				in, known = m.behind(from.name)
			}
			if known {
				from.in = in
			}
		}
		from.stated = true
		*to = from
		return nil
	}
}
