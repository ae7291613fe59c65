package audit

import "slices"

// TrialRow is an assembly at a structure on trial: a row of the register as it stands, or another in its place.
type TrialRow struct {
	At      int // its row in Project.Assemblies; −1 of an assembly that the register does not have
	Row     AssemblyRow
	Changed bool // Row is not what the register has there
}

// Site is one structure of a line at which other assemblies are tried. The checks are those of the run, and so is all
// that they are told of the structure, its line and the criteria. How a changed string compares with those around it is not
// told: that takes an audit of all changes together. A Site is reused for one structure after the other and not safe for
// concurrent use.
type Site struct {
	v       visitor
	base    Subject
	subject Subject  // at hand
	one     Subject  // of an assembly on trial
	at      Location // at hand
	tried   *Trials
}

// NewSite makes the structures of a line ready for trials by checks. what says what is tried, for errors of checks.
func (n *Network) NewSite(line int, checks []*Check, what string) *Site {
	s := &Site{v: visitor{n: n, line: line}, tried: TrialsOf(checks)}
	s.tried.what = what
	s.base = s.v.base()
	return s
}

// MoveTo puts the site at a structure of its line.
func (s *Site) MoveTo(structure int) {
	s.v.moveTo(&s.base, structure)
	s.tried.at, s.tried.failed = AtStructure(s.v.line, structure), nil
	s.one = s.base
}

// Structure is where the site is.
func (s *Site) Structure() *Structure { return &s.v.structure }

// Line is the line of the site.
func (s *Site) Line() *Line { return s.base.Line }

// Errors are the errors of the checks on trial.
func (s *Site) Errors() CheckErrors { return *s.tried.errors }

// Rows lists what the register has at the structure, as a trial that changes nothing.
func (s *Site) Rows() (rows []TrialRow) {
	for _, row := range s.v.n.AssemblyRows(s.v.structure.Index) {
		rows = append(rows, TrialRow{At: int(row), Row: s.v.n.Project.Assemblies[row]})
	}
	return rows
}

// Sides lists the sides on which a circuit has spans at the structure.
func (s *Site) Sides(circuit Symbol) []Side {
	for i := range s.base.Line.Circuits {
		if c := &s.base.Line.Circuits[i]; c.Symbol == circuit {
			return sidesOf(&s.v.structure, c)
		}
	}
	return bothSides[:]
}

// Judged is told a verdict on trial with its subject, which is reused after it returns.
type Judged func(check int, of *Subject, at *Location, v Verdict)

// Judge puts every check to the structure, its assemblies and its places as if the given rows hung there and nothing else.
func (s *Site) Judge(rows []TrialRow, each Judged) {
	s.v.trial = rows
	if rows == nil {
		s.v.trial = []TrialRow{}
	}
	s.v.visitHanging(s.base, func(kind SubjectKind, subject Subject, at Location) {
		s.subject, s.subject.Trial, s.at = subject, true, at
		for i, check := range s.tried.checks {
			if check.Of == kind {
				each(i, &s.subject, &s.at, s.tried.run(i, &s.subject))
			}
		}
	})
}

// Assembly is the resolved view of a row on trial.
func (s *Site) Assembly(row *TrialRow) Assembly {
	a := s.v.n.assemblyOf(row.At, &row.Row)
	resolveAtStructure(&a, s.base.Line, &s.v.structure)
	return a
}

// Put puts one check of assemblies to one on trial. Where the sentence of a verdict is not asked for it may be empty.
func (s *Site) Put(check int, a *Assembly, sentence bool) Verdict {
	s.one.Assembly, s.one.Trial = a, !sentence
	return s.tried.run(check, &s.one)
}

// PutSection puts one check of sections to one on trial.
func (s *Site) PutSection(check int, section *Section) Verdict {
	of := s.base
	of.Structure, of.Section, of.Trial = nil, section, false
	return s.tried.run(check, &of)
}

// Loaded tells whether the load on an assembly is known, so that its rating can be judged.
func (s *Site) Loaded(a *Assembly) bool {
	s.one.Assembly = a
	_, reason := s.one.WorstPull(0)
	return reason == NoReason
}

// resolveTrial fills the assemblies of the structure at hand with those on trial.
func (v *visitor) resolveTrial(line *Line) {
	for k := range v.trial {
		row := &v.trial[k]
		assembly := v.n.assemblyOf(row.At, &row.Row)
		resolveAtStructure(&assembly, line, &v.structure)
		if !row.Changed {
			assembly.Odd = v.n.oddness(line, v.structure.Index, uint32(row.At), uint32(row.At))
		}
		v.assemblies = append(v.assemblies, assembly)
	}
}

// tried tells whether another assembly is tried in place of a row.
func (v *visitor) tried(row int) bool {
	return slices.ContainsFunc(v.trial, func(t TrialRow) bool { return t.At == row && t.Changed })
}

// sideAsWritten is the side of an assembly at hand as its row has it.
func (v *visitor) sideAsWritten(k int) Side {
	if v.trial != nil {
		return v.trial[k].Row.Side
	}
	return v.n.Project.Assemblies[v.assemblies[k].Row].Side
}
