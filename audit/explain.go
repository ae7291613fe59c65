package audit

// Derivation is one verdict with its derivation.
type Derivation struct {
	At      Exception // where: structure, circuit, phase, side
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
	v.visitStructure(v.base(), structure, func(kind SubjectKind, s Subject, at Exception) {
		s = keep(s)
		for i, check := range checks {
			if check.Of != kind {
				continue
			}
			d := Derivation{At: at, Check: check, Subject: s}
			d.At.Check = i
			d.Verdict, d.Failed = check.try(&s, &d.Trace)
			out = append(out, d)
		}
	})
	return out
}

// Subject returns the subject that an exception is about, so that its check can be run again with a trace.
func (n *Network) Subject(e *Exception) (found Subject) {
	v := visitor{n: n, line: e.Line}
	match := func(_ SubjectKind, s Subject, at Exception) {
		if at.Structure == e.Structure && at.To == e.To && at.Assembly == e.Assembly && at.Circuit == e.Circuit && at.Side == e.Side {
			found = keep(s)
		}
	}
	switch {
	case e.Structure < 0 || e.To >= 0:
		v.all(match)
	default:
		v.visitStructure(v.base(), e.Structure, match)
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
	}
	if s.Place != nil {
		place := *s.Place
		s.Place = &place
	}
	return s
}
