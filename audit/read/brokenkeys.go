package read

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/goccy/go-yaml/ast"
)

const brokenHint = "write a share and a factor: {share: 0.7, case: everyday, factor: 2, basis: own rule}, or {share: {suspension: 0.7, pin: 1, post: 1}, …}"

// brokenConductorKey reads what assemblies bear where a conductor breaks.
func brokenConductorKey(to *audit.BrokenConductor) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		problem := section{
			{"share", byDutyKey(&to.Share, 0.01, 1)},
			{"case", textKey(&to.Case)},
			{"factor", byDutyKey(&to.Factor, leastFactor, mostFactor)},
			{"subconductors", wholeKey(&to.Subconductors, 1, mostSubconductors)},
			{"basis", textKey(&to.Basis)},
			{"fitting", floatKey(&to.Fitting, leastFactor, mostFactor)},
		}.read(name, node)
		to.Case = strings.TrimSpace(to.Case)
		if entries, _ := mapping(node); problem == nil && len(entries) > 0 && to.Share == (audit.ByDuty{}) && to.Factor == (audit.ByDuty{}) && to.Fitting == 0 {
			return wrong(node, brokenHint, "%s has neither a share nor a factor, and nothing stands in for them", name)
		}
		return problem
	}
}

// byDutyKey reads one number for all duties, or numbers by duty: {suspension: 0.7, pin: 1}.
func byDutyKey(to *audit.ByDuty, low, high float64) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		if _, ok := mapping(node); ok {
			return section{
				{"suspension", floatKey(&to.Suspension, low, high)},
				{"pin", floatKey(&to.Pin, low, high)},
				{"post", floatKey(&to.Post, low, high)},
			}.read(name, node)
		}
		var figure float64
		problem := floatKey(&figure, low, high)(name, node)
		*to = audit.ByDuty{Suspension: figure, Pin: figure, Post: figure}
		return problem
	}
}

// checkBrokenConductor finds a load case of a broken conductor that no criteria have.
func (f *projectFile) checkBrokenConductor(node ast.Node, c *audit.Criteria) *ProjectFileError {
	name, cases := c.BrokenConductor.Case, f.loadCases()
	if c.BrokenCase() != nil || slices.ContainsFunc(cases, func(known string) bool { return audit.IsSameLoadCase(known, name) }) {
		return nil
	}
	hint := "write case: everyday, or name the load case under load_cases"
	if len(cases) > 0 {
		hint = "write case: everyday, or one that the criteria have: " + quotedList(cases)
	}
	if close := near(name, cases); close != "" {
		hint = fmt.Sprintf("did you mean %q?", close)
	}
	return wrong(under(node, "criteria", "broken_conductor", "case"), hint, "criterion broken_conductor names the load case %q, which is none of the criteria's", name)
}
