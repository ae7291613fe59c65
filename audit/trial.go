package audit

import "slices"

// TrialRow is an assembly at a structure on trial: a row of the register as it stands, or another in its place.
type TrialRow struct {
	At      int // its row in Project.Assemblies; −1 of an assembly that the register does not have
	Row     AssemblyRow
	Changed bool // Row is not what the register has there
	Anew    bool // nothing stays of what the register has there
	// Figures are what the row states of its own in place of what it names in Project.Direct, where Restated.
	Figures  DirectValues
	Restated bool
	// FittingsUnknown tells that what the line states of fittings is not of it.
	FittingsUnknown bool
}

// figures are what a row on trial states of its own.
func (t *TrialRow) figures(p *Project) DirectValues {
	if t.Restated {
		return t.Figures
	}
	return p.directOf(&t.Row)
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
	unasked []bool    // by check: nobody asks for it at the structure at hand
	judged  []Verdict // of the checks of assemblies on each row on trial, row by row
	key     SiteKey
	keyed   bool // key is that of the structure at hand
}

// NewSite makes the structures of a line ready for trials by checks. what says what is tried, for errors of checks.
func (n *Network) NewSite(line int, checks []*Check, what string) *Site {
	s := &Site{v: visitor{n: n, line: line}, tried: TrialsOf(checks)}
	s.tried.what = what
	s.base, s.unasked = s.v.base(), make([]bool, len(checks))
	return s
}

// MoveTo puts the site at a structure of its line.
func (s *Site) MoveTo(structure int) {
	s.v.moveTo(&s.base, structure)
	s.tried.at, s.tried.failed, s.keyed = AtStructure(s.v.line, structure), nil, false
	s.one = s.base
	for i, check := range s.tried.checks {
		s.unasked[i] = check.isAskedAt() && check.isUnasked(&s.base)
	}
}

// Structure is where the site is.
func (s *Site) Structure() *Structure { return &s.v.structure }

// Line is the line of the site.
func (s *Site) Line() *Line { return s.base.Line }

// Criteria are those that hold on the line of the site.
func (s *Site) Criteria() *Criteria { return s.base.Criteria }

// SwingsInWind tells whether something limits how far a suspension string may swing, and a load case has wind.
func (s *Site) SwingsInWind() bool {
	return s.base.AsksSwing() && slices.ContainsFunc(s.base.Criteria.LoadCases, func(c LoadCase) bool { return c.WindPa > 0 })
}

// Errors are the errors of the checks on trial.
func (s *Site) Errors() CheckErrors { return *s.tried.errors }

// Rows lists what the register has at the structure, as a trial that changes nothing.
func (s *Site) Rows() (rows []TrialRow) {
	at := s.v.n.AssemblyRows(s.v.structure.Index)
	rows = make([]TrialRow, 0, len(at))
	for _, row := range at {
		rows = append(rows, TrialRow{At: int(row), Row: s.v.n.Project.Assemblies.At(int(row))})
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

// ToldOtherwise marks the structures of a line at which a check may be told something else than in an earlier network of the same structures.
func (n *Network) ToldOtherwise(was *Network, line int) []bool { return n.changedSince(was, line) }

// Judged is told a verdict on trial with its subject, which is reused after it returns.
type Judged func(check int, of *Subject, at *Location, v Verdict)

// Judge puts every check, but for those that nobody asks for there and that size no strings, to the structure, its assemblies and its places as if the given rows hung there and nothing else. Rows
// that are alike but for their phase have the same verdicts, which are found once.
func (s *Site) Judge(rows []TrialRow, each Judged) {
	s.v.trial = rows
	if rows == nil {
		s.v.trial = []TrialRow{}
	}
	checks, row := len(s.tried.checks), 0
	s.judged = slices.Grow(s.judged[:0], len(rows)*checks)[:len(rows)*checks]
	s.v.visitHanging(s.base, func(kind SubjectKind, subject Subject, at Location) {
		s.subject, s.subject.Trial, s.at = subject, true, at
		var judged, alike []Verdict
		if kind == OfAssembly {
			judged = s.judged[row*checks : (row+1)*checks]
			if like := s.firstLike(row); like < row {
				alike = s.judged[like*checks : (like+1)*checks]
			}
			row++
		}
		for i, check := range s.tried.checks {
			if check.Of != kind || s.unasked[i] && !check.Sizes {
				continue
			}
			var v Verdict
			if alike != nil {
				v = alike[i]
			} else {
				v = s.tried.run(i, &s.subject)
			}
			if judged != nil {
				judged[i] = v
			}
			each(i, &s.subject, &s.at, v)
		}
	})
}

// firstLike is the first row on trial of which every check says what it says of one: that is alike but for its one phase, and of
// which no other row says something else.
func (s *Site) firstLike(row int) int {
	a := &s.v.trial[row]
	if len(s.subject.Repeats) > 0 || a.Row.Phases.Count() != 1 || s.v.assemblies[row].IsUnsure() {
		return row
	}
	for k := range row {
		b := &s.v.trial[k]
		if a.Changed == b.Changed && b.Row.Phases.Count() == 1 && s.v.assemblies[row].Odd == s.v.assemblies[k].Odd && !s.v.assemblies[k].IsUnsure() && s.AreAlike(a, b) &&
			len(s.v.resolveRepeats(s.base.Line, &s.v.assemblies[k])) == 0 {
			return k
		}
	}
	return row
}

// AreAlike tells whether checks say the same of two rows on trial at the structure, as Put puts them: they are alike but for their one phase.
func (s *Site) AreAlike(a, b *TrialRow) bool {
	return a.FittingsUnknown == b.FittingsUnknown && (a.Row.Phases == b.Row.Phases || a.Row.Phases.Count() == 1 && b.Row.Phases.Count() == 1) && a.Row.withoutPhase().Equals(b.Row.withoutPhase()) &&
		a.figures(s.v.n.Project).Equals(b.figures(s.v.n.Project)) && (a.Row.Installed == b.Row.Installed || !s.base.Criteria.InsulatorFactor.asksInstalled())
}

// AreAlike tells whether checks of assemblies say the same of two rows at a structure, compared with no others: they are alike but for their one
// phase, and no inspection tells of them.
func (n *Network) AreAlike(a, b uint32) bool {
	p := n.Project
	if len(p.Observed) > 0 || p.Assemblies.saidOf(a).Phases.Count() != 1 || p.Assemblies.saidOf(b).Phases.Count() != 1 {
		return false
	}
	x, y := p.Assemblies.At(int(a)), p.Assemblies.At(int(b))
	figures := p.directOf(&x)
	return x.withoutPhase().Equals(y.withoutPhase()) && figures.Equals(p.directOf(&y))
}

// withoutPhase is a row without its phase, the place of its own figures, and what no check of assemblies is told: where it stood, how
// its structure was spelled, remarks and dates, of which a factor may ask for that of its installation all the same.
func (r AssemblyRow) withoutPhase() AssemblyRow {
	return AssemblyRow{r.RowOwn.told(), r.RowSaid.withoutPhase()}
}

func (r RowOwn) told() RowOwn {
	r.Number, r.Remarks, r.Source, r.Installed, r.Inspected = TextAt(0), TextAt(0), Source{}, 0, 0
	return r
}

func (r RowSaid) withoutPhase() RowSaid {
	r.Phase, r.Phases, r.Direct = 0, 0, 0
	return r
}

// Figures are what a row on trial states of its own.
func (s *Site) Figures(row *TrialRow) DirectValues { return row.figures(s.v.n.Project) }

// Equals tells whether two rows state the same figures, or neither states one.
func (d DirectValues) Equals(other DirectValues) bool { return d.Bits() == other.Bits() }

// Assembly is the resolved view of a row on trial.
func (s *Site) Assembly(row *TrialRow) Assembly {
	a := s.v.n.assemblyWith(row.At, &row.Row, row.figures(s.v.n.Project))
	resolveAtStructure(&a, s.base.Line, &s.v.structure)
	s.v.date(&a, row)
	a.FittingsUnknown = row.FittingsUnknown
	return a
}

// Recount gives an assembly on trial, whose strings are of like units and whose row states no creepage, another number of units in each.
func (s *Site) Recount(a *Assembly, units int) { a.setUnits(units) }

// Asks tells whether somebody asks for a check of assemblies of what hangs in the place of one. Where nobody does, the check says so of whatever hangs
// there, or that it does not apply.
func (s *Site) Asks(check int, a *Assembly) bool {
	of := s.tried.checks[check]
	if of.isAskedAt() {
		return !s.unasked[check]
	}
	s.one.Assembly = a
	return !of.isUnasked(&s.one)
}

// Put puts one check of assemblies to one on trial. Where the sentence of a verdict is not asked for it may be empty.
func (s *Site) Put(check int, a *Assembly, sentence bool) Verdict {
	s.one.Assembly, s.one.Trial = a, !sentence
	return s.tried.run(check, &s.one)
}

// PutCount puts one check of assemblies to one on trial whose strings are of like units. anyCount tells that the verdict is the same for
// any other number of units in each from two on, with whatever figures are stated of the whole string, all else being equal; its
// sentence is not asked for.
func (s *Site) PutCount(check int, a *Assembly) (v Verdict, anyCount bool) {
	s.one.Assembly, s.one.Trial = a, true
	v, anyCount = s.tried.runCount(check, &s.one)
	return v, anyCount && a.UnitsPerString > 1
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
	pull, reason := s.one.WorstPull(0)
	return reason == NoReason && pull.Unsure == NoReason && pull.Factor.Unsure == NoReason
}

// resolveTrial fills the assemblies of the structure at hand with those on trial.
func (v *visitor) resolveTrial(line *Line) {
	for k := range v.trial {
		row := &v.trial[k]
		assembly := v.n.assemblyWith(row.At, &row.Row, row.figures(v.n.Project))
		resolveAtStructure(&assembly, line, &v.structure)
		v.date(&assembly, row)
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
	return v.n.Project.Assemblies.ownOf(uint32(v.assemblies[k].Row)).Side
}
