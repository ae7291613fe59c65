package audit

import (
	"fmt"
	"maps"
	"math"
	"slices"
)

// Inspections are joined to the rows of the register by their keys, once the rows have found their places. What each says of the defective
// units of a string is weighed by its day (inspectionweigh.go); what cannot be told makes the count unknown, and never falls back on what the
// register says.

// sighting is what one inspection says of strings of one row.
type sighting struct {
	inspection  int
	phases      Phases       // of the row that it is of; EveryPhase for all
	side        Side         // of a row of both; NoSide for all
	str         int16        // which of the strings side by side, 0 for all
	first, last Day          // between which it was made
	zone        int16        // of the clock of these days; NoZone where none is stated
	from, to    int16        // the least and the most defective units that it may mean for a string of these
	total       int16        // the most in all of them, where it is of several
	unknown     bool         // nobody can tell how many
	certain     bool         // it is of these strings, and of what hangs there now
	part        bool         // of how many strings or units it saw some, or whether it saw these, is not known, so that it takes no defect away
	low         bool         // of too little confidence
	whole       bool         // it says how many units were seen
	finding     *observation // of broken units, where others of the row count some too
}

// placedSighting is an inspection at a structure that it may be of.
type placedSighting struct{ inspection, structure int }

// joining is the joining of inspections at work.
type joining struct {
	n         *Network
	lines     []int32 // place of each line by its symbol
	names     *LineNames
	numbers   map[int32]map[string]int32 // structures by line and number
	spelled   spelledNumbers
	loose     looseNumbers
	anywhere  []int // inspections that do not say where they were made, and leave open what they may be of
	alike     likeNames
	mayBe     [][]placedSighting    // by line: inspections of which no structure has the name, or another has the position, where they may be of
	line      int                   // at hand
	sightings map[uint32][]sighting // by row, of this line
	sure      map[uint16]bool       // tables that state a confidence anywhere
	phases    map[phasesIn]Phases   // that a table names
	told      map[int]bool          // inspections of which a fault has said why nothing can be told
	byLat     []uint32              // structures, once somebody asks for near ones
}

// joinInspections finds for each inspection the rows that it is of, and what they are judged by then. Where an inspection was made rests on
// names, numbers and positions alone; what it says there on the rows and the criteria of the line.
func (n *Network) joinInspections() {
	p := n.Project
	if p.Inspections == nil || p.Observed != nil {
		return
	}
	p.Observed = map[uint32]*Observation{}
	j := &joining{n: n, lines: n.lineOf(), names: p.LineNames(), numbers: map[int32]map[string]int32{}, told: map[int]bool{}, sure: map[uint16]bool{}, phases: map[phasesIn]Phases{}}
	j.loose = looseNumbers{n: n, exact: j.exact, lines: map[int32]map[float64][]int32{}}
	for i := range p.Inspections.Rows {
		if in := &p.Inspections.Rows[i]; !math.IsNaN(in.Confidence) || in.Unread.Has(InspectedConfidence) {
			j.sure[in.Source.Table] = true
		}
	}
	if n.like != nil {
		n.Inspected = slices.Clone(n.like.Inspected)
		n.takeFaults(ofInspections, nowhere)
		j.takeObserved()
	} else {
		n.Inspected = make([]JoinedInspection, len(p.Inspections.Rows))
		listed := len(p.Faults.list)
		for i := range p.Inspections.Rows {
			n.Inspected[i].Structure = nowhere
			j.find(i)
		}
		n.found(ofInspections, nowhere, listed)
	}
	ofLine := make([][]int, len(n.Lines))
	j.mayBe = make([][]placedSighting, len(n.Lines))
	for i := range n.Inspected {
		if out := &n.Inspected[i]; out.Structure >= 0 {
			ofLine[out.Line] = append(ofLine[out.Line], i)
			in := &p.Inspections.Rows[i]
			if in.Phases != EveryPhase {
				j.phases[phasesIn{in.Source.Table, out.Line}] |= in.Phases | inLetters(in.Phases)
			}
			if at, _, _ := j.isElsewhere(in, out.Structure); at >= 0 && in.foundSome() {
				line := j.lines[n.own(at).Line]
				j.mayBe[line], j.told[i] = append(j.mayBe[line], placedSighting{i, at}), true
			}
		} else if j.leavesOpen(i) {
			j.anywhere, j.told[i] = append(j.anywhere, i), true
		} else {
			for _, s := range j.mayBeAt(i) {
				line := j.lines[n.own(int(s)).Line]
				j.mayBe[line], j.told[i] = append(j.mayBe[line], placedSighting{i, int(s)}), true
			}
		}
	}
	for l := range n.Lines {
		n.settle(ofInspections, l, func(*Line) { j.joinLine(l, ofLine[l]) })
	}
}

// takeObserved takes what was observed on lines that are taken.
func (j *joining) takeObserved() {
	p := j.n.Project
	for row, o := range j.n.like.Project.Observed {
		if j.n.isTaken(int(j.lines[p.Assemblies.ownOf(row).Line])) {
			p.Observed[row] = o
		}
	}
}

// joinLine joins the inspections of a line, and finds what its rows are judged by.
func (j *joining) joinLine(line int, own []int) {
	if len(own)+len(j.anywhere)+len(j.mayBe[line]) == 0 {
		return
	}
	j.line, j.sightings = line, map[uint32][]sighting{}
	list := slices.Concat(own, j.anywhere)
	slices.Sort(list)
	for _, i := range list {
		if j.n.Inspected[i].Structure >= 0 {
			j.join(i)
		} else {
			j.leaveOpen(i)
		}
	}
	for _, may := range j.mayBe[line] {
		j.leaveOpenAt(may.inspection, &j.n.Project.Inspections.Rows[may.inspection], may.structure)
	}
	for _, row := range slices.Sorted(maps.Keys(j.sightings)) {
		j.weigh(row)
	}
}

// join finds the rows that an inspection at a structure of the line at hand is of.
func (j *joining) join(i int) {
	n, p := j.n, j.n.Project
	in, out := &p.Inspections.Rows[i], &n.Inspected[i]
	*out = JoinedInspection{Line: out.Line, Structure: out.Structure}
	targets := j.targets(in, out.Structure)
	j.doubtWherePhasesLack(in, targets)
	j.doubtWhereSidesLack(in, out.Structure, targets)
	if len(targets) == 0 || j.isByOtherNames(in) {
		more := ""
		if in.foundSome() {
			more = "; how many units are broken in what hangs there is not known"
			j.told[i] = true
			anyOf := *in
			anyOf.Circuit, anyOf.Phases, anyOf.Side, anyOf.String = 0, EveryPhase, NoSide, -1
			j.leaveOpenAt(i, &anyOf, out.Structure)
		}
		j.notJoined(i, UnknownWord, "Structure", p.Texts.Get(in.Number), fmt.Sprintf("of line %q has nothing in the register that the row names by circuit, phase and side", p.Symbols.Text(n.Lines[j.line].Symbol)), more)
		return
	}
	out.State, out.Rows = InspectionJoined, len(targets)
	j.see(i, targets)
}

// leaveOpen notes an inspection that does not say where it was made at the rows of the line at hand that it may be of.
func (j *joining) leaveOpen(i int) {
	n, p := j.n, j.n.Project
	in, line := &p.Inspections.Rows[i], &n.Lines[j.line]
	if in.Line != 0 && int(j.named(in)) != j.line {
		return
	}
	for s := line.First; s < line.End; s++ {
		if in.Number == 0 || equalKey(n.Number(s)) == equalKey(p.Texts.Get(in.Number)) {
			j.leaveOpenAt(i, in, s)
		}
	}
}

// leaveOpenAt notes an inspection at the rows of a structure that it may be of by the keys given.
func (j *joining) leaveOpenAt(i int, in *Inspection, structure int) {
	s := sighting{inspection: i, str: max(in.String, 0), zone: in.Zone, to: in.Broken, unknown: in.Unread.Has(InspectedBroken)}
	s.first, s.last = in.Date.Between()
	for _, t := range j.targets(in, structure) {
		rows := j.sayOf(t.row)
		if j.hung(rows, &s) == hungAfter {
			continue
		}
		s.phases, s.side = t.phases, t.side
		for _, r := range rows {
			j.add(r, s)
		}
	}
}

// foundSome tells whether an inspection found broken units, or may have.
func (in *Inspection) foundSome() bool { return in.Broken > 0 || in.Unread.Has(InspectedBroken) }

// see notes what an inspection says of the rows that it is of.
func (j *joining) see(i int, targets []target) {
	p := j.n.Project
	in, out := &p.Inspections.Rows[i], &j.n.Inspected[i]
	silent := in.Broken < 0 && !in.Unread.Has(InspectedBroken) || in.UnitsSeen == 0 && in.Broken <= 0
	if silent {
		out.State = InspectionSilent // what was not seen is not sound
	}
	h := j.hangs(in, targets)
	s := sighting{inspection: i, str: max(in.String, 0), from: in.Broken, to: in.Broken, certain: true, zone: in.Zone}
	s.first, s.last = in.Date.Between()
	if in.String > h.strings && h.strings > 0 { // whichever it is
		s.str = 0
	}
	s.unknown = !silent && j.contradicts(i, &h)
	s.part = h.least != h.most && in.UnitsSeen >= 0 || h.most < 0 && in.UnitsSeen >= 0 || h.strings < 0 && in.String < 0
	if h.places != 1 { // it does not say in which of them
		s.from, s.certain = 0, in.Broken == 0 && in.UnitsSeen > 0 && h.least == h.most && int(in.UnitsSeen) == h.most
	}
	if slices.ContainsFunc(targets, func(t target) bool { return t.maybe }) {
		s.from, s.certain, s.part = 0, false, true
	}
	if in.Unread.Has(InspectedPlace) && !silent { // which may contradict the structure
		s.from, s.certain, s.part = 0, false, true
	}
	if _, why, is := j.isElsewhere(in, out.Structure); is && !silent {
		s.from, s.certain, s.part = 0, false, true
		j.doubted(i, Implausible, "Longitude, Latitude", fmt.Sprintf("%g, %g", in.Lon, in.Lat), why+"; where it says otherwise than what was known, at either of both, the defective units are not known")
	}
	if asOf := p.AsOf; asOf != 0 && asOf != NoDay && s.first > asOf && in.Date != NoDay {
		out.State, s.certain, s.part = InspectionLater, false, true
		j.doubted(i, OutOfRange, "Date", in.Date.String(), fmt.Sprintf("is later than the day of the audit, %s; where it says otherwise than what was known then, the defective units are not known", asOf))
	}
	if accepted := j.n.Criteria(j.line).InspectionConfidence; accepted.Known() {
		s.low = in.Confidence < accepted.Value
		switch blank := math.IsNaN(in.Confidence); {
		case in.Unread.Has(InspectedConfidence):
			s.certain, s.part = false, true
		case blank && j.sure[in.Source.Table]:
			s.certain, s.part, j.told[i] = false, true, true
			p.Faults.Gather(Fault{Kind: MissingValue, At: in.Source, Column: "Confidence",
				Expected: fmt.Sprintf("is blank beside others of its table, and the project asks for %g; where it says otherwise than what was known, the defective units are not known", accepted.Value)}, fmt.Sprint("confidence ", j.line))
		}
	}
	before := 0
	for _, t := range targets {
		rows := j.sayOf(t.row)
		where := j.hung(rows, &s)
		if where == hungAfter {
			before++
		}
		for _, r := range rows {
			own := s
			own.phases, own.side = t.phases, t.side
			own.certain = own.certain && where == hungBefore
			if row := p.Assemblies.At(int(r)); len(rows) > 1 && own.str > max(row.Strings, 1) { // a string that only another of these rows has
				own.str, own.from, own.certain = 0, 0, false
			}
			if silent || where == hungAfter {
				j.note(r, i)
			} else {
				j.add(r, own)
			}
		}
	}
	if before == len(targets) {
		out.State = InspectionBefore
		p.Faults.Add(Fault{Kind: OutOfRange, At: in.Source, Column: "Date", Value: in.Date.String(), Weight: ByTheWay,
			Expected: "is before what hangs there was installed; what was seen is of what hung there then, and nothing is judged by it"})
	}
}

// sayOf are the rows that say what hangs where a row is of: itself, and those that repeat it and differ.
func (j *joining) sayOf(row uint32) []uint32 {
	rows := []uint32{row}
	for _, repeat := range j.n.repeatsOf(row) {
		rows = append(rows, repeat.row)
	}
	return rows
}

// hung is how an inspection stands to the day on which what hangs there was installed.
type hung uint8

const (
	hungBefore hung = iota
	mayHaveHungAfter
	hungAfter
)

// hung tells whether what rows of one place are of hung there when something was seen; where they differ nobody can tell.
func (j *joining) hung(rows []uint32, s *sighting) hung {
	first := hungBefore
	for i, r := range rows {
		row := j.n.Project.Assemblies.At(int(r))
		switch where := row.hungBy(s, j.n.Project.AsOf); {
		case i == 0:
			first = where
		case where != first:
			return mayHaveHungAfter
		}
	}
	return first
}

// hungBy tells whether what a row is of hung there when something was seen. Of one day nobody can tell which came first, and a day that has not
// been says nothing.
func (a *AssemblyRow) hungBy(s *sighting, asOf Day) hung {
	first, last := a.Installed.Between()
	switch {
	case a.Installed == NoDay && a.Faulty.Has(CellRemarks): // with which dates that cannot be read are noted
		return mayHaveHungAfter
	case a.Installed == NoDay:
		return hungBefore
	case a.Installed.isBeyond(asOf):
		return mayHaveHungAfter
	case s.isAfter(last, NoZone):
		return hungBefore
	case s.isBefore(first):
		return hungAfter
	}
	return mayHaveHungAfter
}

// isBeyond tells whether a date is later than the day of an audit.
func (d Day) isBeyond(asOf Day) bool {
	if d == NoDay || asOf == 0 || asOf == NoDay {
		return false
	}
	first, _ := d.Between()
	return first > asOf
}

// hangs is how much hangs where an inspection was made.
type hangs struct {
	places      int   // assemblies; −1 where that is not known
	least, most int   // units, which differ where rows of one place do; −1 where that is not known
	strings     int16 // side by side, of the assembly with the most; −1 where that is not known
}

// hangs counts what the register has of what an inspection is of.
func (j *joining) hangs(in *Inspection, targets []target) (h hangs) {
	for _, t := range targets {
		least, most, each := math.MaxInt, 0, int16(0)
		for i, r := range j.sayOf(t.row) {
			row := j.n.Project.Assemblies.At(int(r))
			strings, units := row.knownStrings(), row.UnitsPerString
			if row.Faulty.Has(CellUnitsPerString) {
				units = -1
			}
			if i > 0 && strings != each {
				each, h.strings = -1, -1
			} else {
				each = strings
			}
			if in.String > 0 {
				strings = 1
			}
			if t.places == 0 || units < 0 || strings < 1 {
				least, most = -1, -1
			} else if most >= 0 {
				count := t.places * int(strings) * int(units)
				least, most = min(least, count), max(most, count)
			}
		}
		if t.places == 0 || h.places < 0 {
			h.places = -1
		} else {
			h.places += t.places
		}
		if most < 0 || h.most < 0 {
			h.least, h.most = -1, -1
		} else {
			h.least, h.most = h.least+least, h.most+most
		}
		if each < 1 || h.strings < 0 {
			h.strings = -1
		} else {
			h.strings = max(h.strings, each)
		}
	}
	return h
}

// knownStrings is how many strings hang side by side; −1 where that is not known.
func (a *AssemblyRow) knownStrings() int16 {
	if a.Strings < 1 || a.Faulty.Has(CellStrings) {
		return -1
	}
	return a.Strings
}

// contradicts tells whether what an inspection counts cannot be, or cannot be read, so that what is broken is not known, and says so.
func (j *joining) contradicts(i int, h *hangs) bool {
	in := &j.n.Project.Inspections.Rows[i]
	const then = "; how many are broken is not known"
	switch {
	case in.Unread.Has(InspectedBroken), in.Unread.Has(InspectedSeen), in.Unread.Has(InspectedString):
		j.told[i] = true
	case in.String > 0 && h.strings > 0 && in.String > h.strings:
		j.doubted(i, OutOfRange, "String", fmt.Sprint(in.String), fmt.Sprintf("is out of range, the register has %d there%s", h.strings, then))
	case in.UnitsSeen >= 0 && in.Broken > in.UnitsSeen:
		j.doubted(i, OutOfRange, "Units broken", fmt.Sprint(in.Broken), fmt.Sprintf("is out of range, expected no more than the %d units seen%s", in.UnitsSeen, then))
	case h.most >= 0 && int(in.Broken) > h.most:
		j.doubted(i, OutOfRange, "Units broken", fmt.Sprint(in.Broken), fmt.Sprintf("is out of range, the register has %d units there%s", h.most, then))
	case h.most >= 0 && in.UnitsSeen >= 0 && (int(in.UnitsSeen) < h.least || int(in.UnitsSeen) > h.most):
		j.doubted(i, Implausible, "Units seen", fmt.Sprint(in.UnitsSeen), fmt.Sprintf("contradicts the register, which has %d units there%s", h.most, then))
	default:
		return false
	}
	return true
}

// doubted is a fault by which nothing can be told of what an inspection is of.
func (j *joining) doubted(i int, kind FaultKind, column, value, expected string) {
	j.told[i] = true
	j.n.Project.Faults.Add(Fault{Kind: kind, At: j.n.Project.Inspections.Rows[i].Source, Column: column, Value: value, Expected: expected})
}

// add notes what an inspection says of a row.
func (j *joining) add(row uint32, s sighting) {
	j.note(row, s.inspection)
	j.sightings[row] = append(j.sightings[row], s)
}

// note notes that an inspection concerns a row.
func (j *joining) note(row uint32, inspection int) {
	o := j.n.Project.Observed[row]
	if o == nil {
		a := j.n.Project.Assemblies.At(int(row))
		o = &Observation{Count: a.Defective, Sure: a.Defective, Registered: a.Defective, Deciding: nowhere}
		if a.Blank&BlankDefective != 0 || a.Faulty.Has(CellDefective) {
			o.Registered = -1
		}
		j.n.Project.Observed[row] = o
	}
	if !slices.Contains(o.Of, int32(inspection)) { // a row may repeat several
		o.Of = append(o.Of, int32(inspection))
	}
}

// InspectionInWords names an inspection with its day, how it was made and how sure it is.
func (p *Project) InspectionInWords(i int) string {
	in := &p.Inspections.Rows[i]
	text := "inspection " + p.Texts.Get(in.Name)
	if in.Name == 0 {
		text = fmt.Sprintf("inspection in %s row %d", p.Tables[in.Source.Table], in.Source.Row)
	}
	if in.Date != NoDay {
		text += " of " + in.Date.String()
	} else {
		text += " without a date"
	}
	method := p.Texts.Get(in.Method)
	if !math.IsNaN(in.Confidence) {
		if method != "" {
			method += ", "
		}
		method += fmt.Sprintf("confidence %.2g", in.Confidence)
	}
	if method != "" {
		text += " (" + method + ")"
	}
	return text
}
