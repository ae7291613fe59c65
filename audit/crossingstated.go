package audit

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"dryarc/audit/basis"
)

// crossingOf stands before a kind that spans cross, in what an exception notes so that a later run can tell whether that was lost.
const crossingOf = "crossing "

// asksCrossings tells whether a check looks at what spans cross on a line, by itself or by the factor between load and rating.
func (r *Result) asksCrossings(check, line int) bool {
	c := r.Checks[check]
	return slices.ContainsFunc(c.AskedBy, func(n Need) bool { return n.Name == AsksCrossings.Name }) ||
		r.FactorAsksCrossings(check, line)
}

// FactorAsksCrossings tells whether the factor by which a check judges on a line goes by what spans cross.
func (r *Result) FactorAsksCrossings(check, line int) bool {
	return line >= 0 && slices.Contains(r.Checks[check].Basis, basis.FactorSource) && r.criteria(line).InsulatorFactor.asksCrossings()
}

// crossedBeside are the kinds that the spans beside a structure cross, as far as they can be read.
func (r *Result) crossedBeside(at *Location) []string {
	if at.Structure < 0 || at.Line < 0 {
		return nil
	}
	n := r.Network
	crossed := n.crossedBy(at.Structure).crossed
	if back := n.previous(&n.Lines[at.Line], at.Structure); back >= 0 {
		crossed |= n.crossedBy(back).crossed
	}
	return slices.DeleteFunc(n.kindNames(crossed), func(kind string) bool { return kind == UnreadableKind })
}

// statedCrossings are the same as an exception notes them.
func (r *Result) statedCrossings(at *Location) (stated []string) {
	for _, kind := range r.crossedBeside(at) {
		stated = append(stated, crossingOf+url.PathEscape(kind))
	}
	return stated
}

// CrossingLost says, of what was stated of something at a structure, what its spans crossed and do not cross any more; empty where that is
// nothing. none tells that the project says what spans cross, and that this is nothing at all, as where a layer was emptied.
func (r *Result) CrossingLost(stated string, at *Location) (words string, none bool) {
	now := r.crossedBeside(at)
	for was := range strings.SplitSeq(stated, ", ") {
		noted, is := strings.CutPrefix(was, crossingOf)
		if !is {
			continue
		}
		kind, err := url.PathUnescape(noted)
		if err != nil || slices.ContainsFunc(now, func(k string) bool { return strings.EqualFold(k, kind) }) {
			continue
		}
		return fmt.Sprintf("the crossing %q at its spans is not in the inputs any more", kind), r.Project.CrossingsGiven && len(r.Project.Crossings) == 0
	}
	return "", false
}
