package remedy

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
)

// UnmetWeights lists the values that the criterion priority names and nothing has, as a slip of the pen makes them: "crossings: railwai".
func UnmetWeights(r *audit.Result) (unmet []string) {
	rule := &r.Project.Criteria.Priority
	met := map[string]bool{}
	key := func(name, of string) string { return name + ": " + strings.ToLower(strings.TrimSpace(of)) }
	n := r.Network
	for l := range n.Lines {
		line := &n.Lines[l]
		met[key("voltages", fmt.Sprintf("%g", line.Row.NominalKV))] = true
		met[key("circuits", fmt.Sprint(max(line.Row.Circuits, len(line.Circuits))))] = true
		for i := line.First; i < line.End; i++ {
			if len(rule.Crossings) > 0 {
				s := n.Structure(l, i)
				for _, kind := range slices.Concat(s.Back.Kinds, s.Ahead.Kinds) {
					met[key("crossings", kind)] = true
				}
			}
			if len(rule.Carried) == 0 {
				continue
			}
			for k, texts := range n.CarriedHere(l, i) {
				for _, text := range texts {
					met[key("carried "+r.Project.Carried.Names[k], text)] = true
				}
			}
		}
	}
	note := func(name string, weights []audit.Weighing) {
		for i := range weights {
			if !met[key(name, weights[i].Of)] {
				unmet = append(unmet, strings.TrimPrefix(name, "carried ")+": "+weights[i].Of)
			}
		}
	}
	note("crossings", rule.Crossings)
	note("voltages", rule.Voltages)
	note("circuits", rule.Circuits)
	for i := range rule.Carried {
		note("carried "+rule.Carried[i].Name, rule.Carried[i].Values)
	}
	return unmet
}
