package audit

import (
	"math"
	"slices"
)

// visitor walks the subjects of one line in a fixed order: the line, its sections, then each structure with its
// assemblies and places. The run and the explanation walk the same way.
type visitor struct {
	n    *Network
	line int
	// What stands at the structure at hand; reused.
	structure  Structure
	assemblies []Assembly
	repeats    []Assembly
	places     []Place
	loads      loadMemo
	makes      map[string]*watchedName
	passes     subjectKinds            // that nobody wants to see
	uncompared bool                    // nobody asks how strings compare with those around them
	resolved   *alikeStrings[Assembly] // rows of the network; nil where each is resolved anew
	trial      []TrialRow              // what hangs there on trial, in place of what the register has; nil where nothing is tried
}

// visit is told a subject and where it is; what it is given is reused after it returns.
type visit func(kind SubjectKind, s Subject, at Location)

// base is the subject of the line as a whole.
func (v *visitor) base() Subject {
	criteria := v.n.Criteria(v.line)
	s := Subject{Criteria: criteria, Line: &v.n.Lines[v.line], Name: v.n.Project.Symbols.Text,
		CrossingsGiven: v.n.Project.SaysWhatCrosses(), edition: &edition{of: criteria}}
	if v.n.Project.Inspections != nil {
		s.Inspection = v.n.Project.InspectionInWords
	}
	return s
}

// all visits every subject of the line.
func (v *visitor) all(each visit) {
	base := v.wholes(each)
	for i := base.Line.First; i < base.Line.End; i++ {
		v.visitStructure(base, i, each)
	}
}

// wholes visits the line as a whole and its sections, and returns the subject of the line.
func (v *visitor) wholes(each visit) Subject {
	base := v.base()
	each(OfLine, base, AtLine(v.line))
	if base.Line.RowsPlaced > 0 && !v.passes.has(OfSection) {
		for _, section := range v.n.SectionsAsRegistered(v.line) {
			s := base
			s.Section = &section
			each(OfSection, s, Location{Line: v.line, Structure: section.First, To: section.Last, Assembly: nowhere, Circuit: section.Circuit})
		}
	}
	return base
}

// visitStructure visits a structure, its assemblies and its places.
func (v *visitor) visitStructure(base Subject, i int, each visit) {
	v.moveTo(&base, i)
	v.visitHanging(base, each)
}

// moveTo makes a structure the one at hand.
func (v *visitor) moveTo(base *Subject, i int) {
	v.structure = v.n.Structure(v.line, i)
	base.Structure = &v.structure
	v.loads.reset(len(base.Criteria.LoadCases))
	base.loads = &v.loads
}

// visitHanging visits the structure at hand with what hangs there.
func (v *visitor) visitHanging(base Subject, each visit) {
	v.resolve(base.Line)
	base.Registered = v.registered(base.Line)
	at := AtStructure(v.line, v.structure.Index)
	each(OfStructure, base, at)
	for k := range v.assemblies {
		s, here := base, at
		s.Assembly = &v.assemblies[k]
		s.Repeats = v.resolveRepeats(base.Line, s.Assembly)
		here.Assembly, here.Circuit, here.Phase = s.Assembly.Row, s.Assembly.Circuit, s.Assembly.Phase
		here.Side = v.sideAsWritten(k)
		each(OfAssembly, s, here)
	}
	if len(v.assemblies) == 0 && !v.structure.RowsLost || v.passes.has(OfPlace) {
		return
	}
	v.places = appendPlaces(v.places[:0], base.Line, &v.structure, v.assemblies)
	for k := range v.places {
		s, here := base, at
		s.Place = &v.places[k]
		here.Circuit, here.Side = s.Place.Circuit, s.Place.Side
		each(OfPlace, s, here)
	}
}

// resolve fills the assemblies of the structure at hand.
func (v *visitor) resolve(line *Line) {
	v.assemblies = v.assemblies[:0]
	if v.trial != nil {
		v.resolveTrial(line)
		return
	}
	rows := v.n.AssemblyRows(v.structure.Index)
	for k, row := range rows {
		v.assemblies = append(v.assemblies, Assembly{})
		assembly := &v.assemblies[k]
		if v.resolved != nil {
			*assembly = *v.n.assemblyLike(v.resolved, row)
		} else {
			*assembly = v.n.Assembly(row)
		}
		resolveAtStructure(assembly, line, &v.structure)
		v.date(assembly, nil)
		switch {
		case v.uncompared:
		case k > 0 && v.n.comparedAlike(rows[k-1], row):
			assembly.Odd = v.assemblies[k-1].Odd
		default:
			assembly.Odd = v.n.oddness(line, v.structure.Index, row, row)
		}
	}
}

// resolveRepeats fills what the rows say that repeat the row of an assembly and differ from it.
func (v *visitor) resolveRepeats(line *Line, of *Assembly) []Assembly {
	if len(v.n.repeats) == 0 || of.Row < 0 || v.tried(of.Row) {
		return nil
	}
	v.repeats = v.repeats[:0]
	for _, r := range v.n.repeatsOf(uint32(of.Row)) {
		assembly := v.n.Assembly(r.row)
		resolveAtStructure(&assembly, line, &v.structure)
		v.date(&assembly, nil)
		assembly.Odd = v.n.oddness(line, v.structure.Index, r.row, r.first)
		v.repeats = append(v.repeats, assembly)
	}
	return v.repeats
}

func (v *visitor) registered(line *Line) Registered {
	r := Registered{Rows: int32(len(v.assemblies)), NoRegister: !v.n.Project.RegisterGiven, LineUnlisted: line.RowsPlaced == 0,
		Misspelt: v.n.misspelt[v.structure.Index]}
	for i := range v.assemblies {
		d := v.assemblies[i].Duty
		r.Duties[d]++
		if d != EarthWire && d != Guy {
			r.CarryPhase++
		}
	}
	if v.n.Criteria(v.line).InspectionYears.Known() {
		r.Seen = v.seen()
	}
	if rules := v.n.Criteria(v.line).Ageing; len(rules) > 0 {
		r.Aged = v.aged(rules)
	}
	if list := v.n.Criteria(v.line).WatchList; len(list) > 0 {
		r.Watched = v.watched(list)
	}
	return r
}

// seen tells when what hangs at the structure at hand was last looked at. What somebody installs, he sees.
func (v *visitor) seen() (s Seen) {
	n, asOf := v.n, v.n.Project.AsOf
	s.Since = NoDay
	for i := range v.assemblies {
		a := &v.assemblies[i]
		switch {
		case a.Duty == EarthWire || a.Duty == Guy:
			continue
		case a.Row < 0 || v.tried(a.Row):
			s.Unknown++
			continue
		}
		at := uint32(a.Row)
		second, paired := n.SecondOf(a.Row)
		s.add(n.lastSeen(v.structure.Index, at, second), asOf)
		if !paired {
			continue
		}
		days := []Day{n.Project.Assemblies.ownOf(uint32(second)).lastSeen()} // of what hangs on the other side
		if n.Project.Observed[at] != nil {                                   // by inspections, which are joined to the first alone
			days = append(days, n.Project.Assemblies.ownOf(at).lastSeen())
		}
		s.add(days, asOf)
	}
	return s
}

// add counts in an assembly that was last looked at on one of some days, of which nobody can tell which it is.
func (s *Seen) add(days []Day, asOf Day) {
	least, most, since := math.Inf(1), 0.0, NoDay
	for _, day := range days {
		if day == NoDay || asOf == NoDay || asOf == 0 || day.isBeyond(asOf) {
			s.Unknown++
			return
		}
		from, to := day.Between()
		if years := float64(asOf-to) / daysAYear; years < least {
			least, since = years, day
		}
		most = max(most, float64(asOf-from)/daysAYear)
	}
	if s.Since == NoDay || least > s.LeastYears {
		s.LeastYears, s.Since = least, since
	}
	s.MostYears = max(s.MostYears, most)
}

// lastSeen are the days on which the assembly of a row was last looked at by that row and by those that repeat it and are left out: which of them is right
// is not known, and the order of the register does not tell. The second row of a pair is none of them.
func (n *Network) lastSeen(structure int, at uint32, second int) []Day {
	p := n.Project
	days := []Day{p.Assemblies.ownOf(at).lastSeen()}
	row := p.Assemblies.At(int(at))
	for _, left := range n.leftOutOf(structure, structure+1) {
		other := p.Assemblies.At(int(left.row))
		if int(left.row) == second || !n.sameGroup(at, left.row) || !p.samePhase(&row, &other) {
			continue
		}
		if p.Inspections != nil && !slices.Contains(n.repeatsOf(at), repeat{at, left.row}) {
			continue // its days are the same, and inspections are joined to the other alone
		}
		days = append(days, p.Assemblies.ownOf(left.row).lastSeen())
	}
	return days
}
