package read

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/goccy/go-yaml/ast"
)

const (
	priorityHint = "write a base and factors: {base: 1, crossings: {railway: 4}, voltages: {132: 2}, carried: {District: {Hale: 1.2}}}"
	largestBase  = 1e12 // of a consequence, in whatever measure (a choice of this program)

	// What factors may be given for (choices of this program).
	lowestWeighedKV, highestWeighedKV = 0.1, 1500
	mostWeighedCircuits               = 100
)

// priorityKey reads what a failure weighs: {base: 1, crossings: {railway: 4}, …}.
func priorityKey(to *audit.PriorityRule, low, high float64) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		problem := section{
			{"base", floatKey(&to.Base, low, largestBase)},
			{"crossings", weightsKey(&to.Crossings, low, high, weightOfText)},
			{"voltages", weightsKey(&to.Voltages, low, high, weightOfNumber("nominal voltage", lowestWeighedKV, highestWeighedKV))},
			{"circuits", weightsKey(&to.Circuits, low, high, weightOfNumber("number of circuits", 1, mostWeighedCircuits))},
			{"tee", floatKey(&to.Tee, low, high)},
			{"terminal", floatKey(&to.Terminal, low, high)},
			{"carried", carriedWeightsKey(&to.Carried, low, high)},
			{"without_figure", floatKey(&to.WithoutFigure, low, 1)},
		}.read(name, node)
		if entries, _ := mapping(node); problem == nil && len(entries) > 0 && !to.IsStated() {
			return wrong(node, priorityHint, "%s has no base, and nothing stands in for it", name)
		}
		return problem
	}
}

// weightsKey reads factors by value: {railway: 4, river: 2}. of reads a value.
func weightsKey(to *[]audit.Weighing, low, high float64, of func(name string, node ast.Node) (audit.Weighing, *ProjectFileError)) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		entries, ok := mapping(node)
		if !ok {
			return wrong(node, priorityHint, "%s %s is no mapping of values to factors", name, written(node))
		}
		for _, entry := range entries {
			weight, problem := of(name, entry.Key)
			if problem != nil {
				return problem
			}
			if slices.ContainsFunc(*to, func(w audit.Weighing) bool { return strings.EqualFold(w.Of, weight.Of) }) {
				return wrong(entry.Key, priorityHint, "%s in %s stands there twice", written(entry.Key), name)
			}
			if problem := floatKey(&weight.Factor, low, high)(weight.Of+" in "+name, entry.Value); problem != nil {
				return problem
			}
			*to = append(*to, weight)
		}
		return nil
	}
}

func weightOfText(name string, node ast.Node) (w audit.Weighing, problem *ProjectFileError) {
	text, _ := scalar(node)
	if w.Of = strings.TrimSpace(text); w.Of == "" {
		return w, wrong(node, priorityHint, "a value in %s is blank", name)
	}
	return w, nil
}

// weightOfNumber reads values that are numbers, so that 132 and 132.0 are one.
func weightOfNumber(what string, low, high float64) func(name string, node ast.Node) (audit.Weighing, *ProjectFileError) {
	return func(name string, node ast.Node) (w audit.Weighing, problem *ProjectFileError) {
		text, _ := scalar(node)
		number, ok := parseNumber(text)
		switch {
		case !ok:
			return w, wrong(node, priorityHint, "%s %s in %s is not a number", what, written(node), name)
		case !(number >= low && number <= high):
			return w, wrong(node, priorityHint, "%s %s in %s is out of range, expected %v to %v", what, written(node), name, low, high)
		}
		return audit.Weighing{Of: fmt.Sprintf("%g", number), Number: number}, nil
	}
}

// carriedWeightsKey reads factors of what is carried through: {District: {Hale: 1.2, Ost: 1}}.
func carriedWeightsKey(to *[]audit.CarriedWeights, low, high float64) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		entries, ok := mapping(node)
		if !ok {
			return wrong(node, priorityHint, "%s %s is no mapping of headings to values and factors", name, written(node))
		}
		for _, entry := range entries {
			heading, problem := weightOfText(name, entry.Key)
			if problem != nil {
				return problem
			}
			if slices.ContainsFunc(*to, func(c audit.CarriedWeights) bool { return c.Name == heading.Of }) {
				return wrong(entry.Key, priorityHint, "%s in %s stands there twice", written(entry.Key), name)
			}
			c := audit.CarriedWeights{Name: heading.Of}
			if problem := weightsKey(&c.Values, low, high, weightOfText)(heading.Of, entry.Value); problem != nil {
				return problem
			}
			if len(c.Values) == 0 {
				return wrong(entry.Key, priorityHint, "%s in %s has no values, expected some with their factors", heading.Of, name)
			}
			*to = append(*to, c)
		}
		return nil
	}
}

// checkPriority finds factors of something that is not carried through, and so not known.
func (f *projectFile) checkPriority() *ProjectFileError {
	carried := slices.Clone(f.structures.carry)
	for i := range f.register.entries {
		carried = append(carried, f.register.entries[i].carry...)
	}
	for i := range f.criteria.Priority.Carried {
		name := f.criteria.Priority.Carried[i].Name
		if slices.Contains(carried, name) {
			continue
		}
		hint := fmt.Sprintf("add carry: [%s] to the structures or to the register that has it", name)
		if close := near(name, carried); close != "" {
			hint = fmt.Sprintf("did you mean %q?", close)
		}
		return &ProjectFileError{Message: fmt.Sprintf("criterion priority has factors for %q, which is not carried through", name), Hint: hint}
	}
	return nil
}
