package audit

import (
	"fmt"
	"slices"
	"strings"
)

// Finding is what one person would call one thing: the exceptions of one check on one structure, span or line and one circuit, of one
// severity, on whatever phases and sides.
type Finding struct {
	Exceptions    []int  // in Result.Exceptions, the worst first
	Phases, Sides string // that they name, in their order
}

// Findings gathers all exceptions, in the order of the worst of each.
func (r *Result) Findings() []Finding {
	all := make([]int, len(r.Exceptions))
	for i := range all {
		all[i] = i
	}
	return r.FindingsOf(all)
}

// FindingsOf gathers some exceptions, in the order of the first of each.
func (r *Result) FindingsOf(exceptions []int) []Finding {
	type key struct {
		check, line, structure, to int
		circuit                    Symbol
		severity                   Severity
		inWords                    string // exceptions that say different things in words are different ones
	}
	var found []Finding
	places := make(map[key]int, len(exceptions))
	for _, i := range exceptions {
		e := &r.Exceptions[i]
		k := key{e.Check, e.Line, e.Structure, e.To, e.Circuit, e.Verdict.Severity, e.Verdict.Observed.Word + "\n" + e.Verdict.Required.Word}
		at, known := places[k]
		if !known {
			at = len(found)
			places[k] = at
			found = append(found, Finding{})
		}
		found[at].Exceptions = append(found[at].Exceptions, i)
	}
	for i := range found {
		r.nameParts(&found[i])
	}
	return found
}

// nameParts names the phases and sides of a finding.
func (r *Result) nameParts(f *Finding) {
	if len(f.Exceptions) == 1 {
		e := &r.Exceptions[f.Exceptions[0]]
		f.Phases, f.Sides = e.Phases(r.Project), e.Side.String()
		return
	}
	var (
		named  []string
		phases Phases
		sides  []string
	)
	for _, i := range f.Exceptions {
		e := &r.Exceptions[i]
		if text := e.Phases(r.Project); text != "" && !slices.Contains(named, text) {
			named = append(named, text)
			if set, ok := ParsePhases(text); ok {
				phases |= set
			}
		}
		if e.Side != NoSide && !slices.Contains(sides, e.Side.String()) {
			sides = append(sides, e.Side.String())
		}
	}
	slices.Sort(sides)
	slices.Reverse(sides) // back before ahead, as they stand along the line
	f.Sides = strings.Join(sides, " and ")
	switch len(named) {
	case 0:
	case 1:
		f.Phases = named[0]
	default:
		f.Phases = phases.String()
	}
}

// Sentence is the finding in words: that of its worst exception, and of how many it is the worst where they differ.
func (f *Finding) Sentence(r *Result) string {
	worst := r.Exceptions[f.Exceptions[0]].Verdict.Sentence
	for _, i := range f.Exceptions[1:] {
		if r.Exceptions[i].Verdict.Sentence != worst {
			return fmt.Sprintf("%s This is the worst of %d%s.", worst, len(f.Exceptions), f.uncounted(r))
		}
	}
	return worst
}

// uncounted names the phases of which the sentence of the worst does not speak, since nobody knows how many units they have.
func (f *Finding) uncounted(r *Result) string {
	var phases []string
	for _, i := range f.Exceptions[1:] {
		e := &r.Exceptions[i]
		if e.Assembly < 0 {
			continue
		}
		a := r.Network.Assembly(uint32(e.Assembly))
		if text := e.Phases(r.Project); a.UnitsPerString < 0 && (a.Makeup == nil || len(a.Makeup.Parts) == 1) && text != "" && !slices.Contains(phases, text) {
			phases = append(phases, text)
		}
	}
	if len(phases) == 0 {
		return ""
	}
	return "; how many units phase " + strings.Join(phases, " and ") + " has is not known"
}
