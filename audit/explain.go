package audit

import "slices"

// Derivation is one verdict with its derivation.
type Derivation struct {
	At      Location
	Check   *Check
	Subject Subject
	Verdict Verdict
	Trace   Trace
	Failed  string // what the check panicked with, an error of the program; empty where it did not
}

// Explain runs every check on one structure, its assemblies and its places, each with a trace: the very derivations
// that judge in bulk.
func Explain(n *Network, checks []*Check, line, structure int) (out []Derivation) {
	v := visitor{n: n, line: line}
	v.visitStructure(v.base(), structure, func(kind SubjectKind, s Subject, at Location) {
		s = keep(s)
		for _, check := range checks {
			if check.Of != kind {
				continue
			}
			d := Derivation{At: at, Check: check, Subject: s}
			d.Verdict, d.Failed = check.try(&s, &d.Trace)
			out = append(out, d)
		}
	})
	return out
}

// Subject returns the subject at a location, so that a check can be run on it again with a trace.
func (n *Network) Subject(of *Location) (found Subject) {
	v := visitor{n: n, line: of.Line}
	match := func(_ SubjectKind, s Subject, at Location) {
		if at.Structure == of.Structure && at.To == of.To && at.Assembly == of.Assembly && at.Circuit == of.Circuit && at.Side == of.Side {
			found = keep(s)
		}
	}
	switch {
	case of.Structure < 0 || of.To >= 0:
		v.all(match)
	default:
		v.visitStructure(v.base(), of.Structure, match)
	}
	return found
}

// keep copies what a visitor reuses.
func keep(s Subject) Subject {
	s.loads = nil
	if s.Structure != nil {
		structure := *s.Structure
		s.Structure = &structure
	}
	if s.Assembly != nil {
		assembly := *s.Assembly
		s.Assembly = &assembly
		s.Repeats = slices.Clone(s.Repeats)
	}
	if s.Place != nil {
		place := *s.Place
		s.Place = &place
	}
	return s
}
