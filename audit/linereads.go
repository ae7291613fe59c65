package audit

import (
	"math"
	"reflect"
	"slices"

	"dryarc/audit/basis"
)

// LineReads says on which figures of its line the verdict of a check rests, its sentence too, beside what is the same wherever the check is not
// put again. None of them means that it may rest on any.
type LineReads uint8

// What is read of a line.
const (
	ReadsNoFigure LineReads = 1 << iota // none of these
	ReadsPulls                          // conductors, tensions, slip loads and ratings of fittings, and ruling spans and weight spans in the cold case, which go by them
	ReadsVoltages                       // voltages and levels
	ReadsLimits                         // what there is room for: swing, clearances, lengths of strings and sections

	readsElse // anything else
)

// isTold tells whether a check is told anything of what a line may be otherwise in.
func (c *Check) isTold(otherwise LineReads) bool {
	return otherwise&readsElse != 0 || otherwise != 0 && (c.OfLine == 0 || c.OfLine&otherwise != 0)
}

// figuresOf are the figures of a line by what is read of it, and last what is left of it, but for its catalogue.
func figuresOf(line *Line) (pulls, voltages, limits []any, rest Line) {
	l := asTold(line)
	r := &l.Row
	var conductor basis.Conductor
	if line.Conductor != nil {
		conductor = *line.Conductor
	}
	pulls = []any{r.Conductor, line.Conductor != nil, conductor, l.ConductorFaulty, r.Subconductors, l.mayHaveBundles(), l.bundleUnknown(),
		r.MaximumTensionKN, r.EverydayTensionKN, r.EverydayC, r.ColdTensionKN, r.SlipKN, r.FittingsKN, l.everydayKN}
	voltages = []any{r.NominalKV, r.HighestKV, r.CreepageKV, r.LightningKV, r.SwitchingKV,
		l.HighestKV, l.HighestAssumed, l.voltages, l.WetKV, l.PhaseToEarthKV, l.Along, l.NoVoltage, l.LevelImplausible}
	limits = []any{r.SwingLimitDeg, r.SwingLimitsDeg, r.FittingsMM, r.Room, r.SectionLimitKM, r.LongestStringMM}
	l.ConductorFaulty, l.everydayKN = 0, 0
	l.HighestKV, l.HighestAssumed, l.oneConductor, l.voltages, l.WetKV, l.PhaseToEarthKV, l.Along, l.NoVoltage, l.LevelImplausible = 0, false, false, 0, 0, 0, 0, 0, false
	r.Conductor, r.Subconductors, r.MaximumTensionKN, r.EverydayTensionKN, r.EverydayC, r.ColdTensionKN, r.SlipKN, r.FittingsKN = 0, 0, 0, 0, 0, 0, 0, Ratings{}
	r.NominalKV, r.HighestKV, r.CreepageKV, r.LightningKV, r.SwitchingKV = 0, 0, 0, 0, 0
	r.SwingLimitDeg, r.SwingLimitsDeg, r.FittingsMM, r.Room, r.SectionLimitKM, r.LongestStringMM = 0, nil, 0, Room{}, 0, 0
	return pulls, voltages, limits, l
}

// otherwise is in what two lines differ.
func (l *Line) otherwise(other *Line) (reads LineReads) {
	if !sameStore(l.Catalogue, other.Catalogue) || !sameStore(l.CatalogueFaulty, other.CatalogueFaulty) {
		return readsElse
	}
	pulls, voltages, limits, rest := figuresOf(l)
	otherPulls, otherVoltages, otherLimits, otherRest := figuresOf(other)
	for _, f := range [...]struct {
		read        LineReads
		here, there any
	}{{ReadsPulls, pulls, otherPulls}, {ReadsVoltages, voltages, otherVoltages}, {ReadsLimits, limits, otherLimits}, {readsElse, &rest, &otherRest}} {
		if !isSame(reflect.ValueOf(f.here), reflect.ValueOf(f.there)) {
			reads |= f.read
		}
	}
	return reads
}

// isSame tells whether two values of one type are the same; a figure that is not known is the same as another that is not.
func isSame(a, b reflect.Value) bool {
	switch a.Kind() {
	case reflect.Float64, reflect.Float32:
		return math.Float64bits(a.Float()) == math.Float64bits(b.Float())
	case reflect.Struct:
		for i := range a.NumField() {
			if !isSame(a.Field(i), b.Field(i)) {
				return false
			}
		}
		return true
	case reflect.Slice, reflect.Array:
		if a.Len() != b.Len() {
			return false
		}
		for i := range a.Len() {
			if !isSame(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return true
	case reflect.Pointer, reflect.Interface:
		if a.IsNil() || b.IsNil() {
			return a.IsNil() && b.IsNil()
		}
		return isSame(a.Elem(), b.Elem())
	case reflect.Map:
		return a.Len()+b.Len() == 0 // none is looked into
	}
	return a.Equal(b)
}

// toldOtherwise is in what a check may be told otherwise of a line, its structures and what hangs there than in the network that this one is
// arranged from.
func (n *Network) toldOtherwise(line int) (otherwise LineReads) {
	was := n.like
	l, before := &n.Lines[line], &was.Lines[line]
	if !n.hasZonesOf(was, line) || !sameStore(n.courses, was.courses) || n.crossings != was.crossings {
		return readsElse
	}
	otherwise = l.otherwise(before)
	for i := l.First; i < l.End && otherwise&readsElse == 0; i++ {
		otherwise |= n.structureOtherwise(was, i)
	}
	return otherwise
}

// structureOtherwise is in what a check may be told otherwise of a structure than in an earlier network with the same positions.
func (n *Network) structureOtherwise(was *Network, i int) (otherwise LineReads) {
	here, there := n.structures[i], was.structures[i]
	if here.conductorAhead != there.conductorAhead || here.bundleAhead != there.bundleAhead || !n.profiles[i].equals(&was.profiles[i]) {
		otherwise = ReadsPulls
	}
	there.conductorAhead, there.bundleAhead, there.firstAssembly = here.conductorAhead, here.bundleAhead, here.firstAssembly
	other, ends := n.runsOn[int32(i)]
	before, ended := was.runsOn[int32(i)]
	if here != there || n.teeOf(i) != was.teeOf(i) || other != before || ends != ended || n.misspelt[i] != was.misspelt[i] ||
		!n.isAroundLike(was, i) || !n.hangsLike(was, i) {
		otherwise |= readsElse
	}
	return otherwise
}

// unchanged is what checks said of lines of an earlier network, and say of them still.
type unchanged struct {
	said *Result
	of   [][]bool // by line and check; nil for a line of which all is judged
}

// unchangedOf finds what still holds of what an earlier result says; nil where nothing does. What is not assessed although the project asks for
// it is judged again where somebody wants to hear of it.
func (n *Network) unchangedOf(said *Result, checks []*Check, o *Options) *unchanged {
	if said == nil || o.Each != nil || n.like == nil || n.like != said.Network || said.errors.Count > 0 || !slices.Equal(said.Checks, checks) ||
		!slices.Equal(n.pairs, said.Network.pairs) {
		return nil
	}
	return &unchanged{said, make([][]bool, len(n.Lines))}
}

// find finds what stands of a line, and whether any of it does.
func (s *unchanged) find(n *Network, line int, o *Options) (any bool) {
	before := &s.said.Lines[line]
	if !before.Assessed || n.Criteria(line).statesErrors() {
		return false
	}
	otherwise, of, worse := n.toldOtherwise(line), make([]bool, len(before.Coverage)), true
	for i, check := range s.said.Checks {
		of[i] = !check.isTold(otherwise) && (o.Unjudged == nil || before.Coverage[i].Lacking() == 0)
		any, worse = any || of[i], worse && (of[i] || !check.Headroom)
	}
	for i, check := range s.said.Checks { // what falls short one class worse is counted of all that are asked for it
		of[i] = of[i] && (worse || !check.Headroom)
	}
	if any {
		s.of[line] = of
	}
	return any
}

// add adds what stands of a line to what was found of the rest.
func (s *unchanged) add(found *LineResult, line int) {
	before := &s.said.Lines[line]
	for i, stands := range s.of[line] {
		if stands {
			found.Coverage[i] = before.Coverage[i]
		}
		if stands && s.said.Checks[i].Headroom {
			found.OneClassWorse = before.OneClassWorse
		}
	}
}

// exceptions are those that stand.
func (s *unchanged) exceptions() (list []Exception) {
	for i := range s.said.Exceptions {
		if e := &s.said.Exceptions[i]; s.of[e.Line] != nil && s.of[e.Line][e.Check] {
			list = append(list, *e)
		}
	}
	return list
}

// hasProfileOf tells whether the profile of a line is that of an earlier network with the same positions: nothing that it rests on is otherwise.
// The maximum tension is none of that unless a case of uplift goes by it.
func (n *Network) hasProfileOf(was *Network, line int) bool {
	const markedLater = sharedPlace | doubtful | courseFaulty | mayMiss | teeFaulty
	l, before := n.Lines[line], &was.Lines[line]
	for i := l.First; i < l.End; i++ {
		here, there := &n.structures[i], &was.structures[i]
		if here.conductorAhead != there.conductorAhead || here.bundleAhead != there.bundleAhead || (here.marks^there.marks)&^markedLater != 0 || !n.isHeldLike(was, i) {
			return false
		}
	}
	if !n.hasZonesOf(was, line) {
		return false
	}
	l.Usual, l.UsualInDoubt, l.RowsLost = before.Usual, before.UsualInDoubt, before.RowsLost // which are found later
	if !slices.ContainsFunc(n.Criteria(line).LoadCases, func(c LoadCase) bool { return c.Uplift && c.From == MaximumTension }) {
		l.Row.MaximumTensionKN = before.Row.MaximumTensionKN
	}
	return l.otherwise(before)&(ReadsPulls|readsElse) == 0
}

// isHeldLike tells whether the rows of a structure hold the conductor as they do in another network.
func (n *Network) isHeldLike(was *Network, structure int) bool {
	rows := n.AssemblyRows(structure)
	if !slices.Equal(rows, was.AssemblyRows(structure)) {
		return false
	}
	for _, row := range rows {
		here, there := n.Project.Assemblies.saidOf(row), was.Project.Assemblies.saidOf(row)
		if here.Circuit != there.Circuit || here.Duty != there.Duty || here.Phases != there.Phases || (here.Faulty^there.Faulty)&KeyCells != 0 ||
			n.Project.Assemblies.ownOf(row).Side != was.Project.Assemblies.ownOf(row).Side {
			return false
		}
	}
	return true
}
