package audit

import "slices"

// What tells how near the structure a conductor may come is stated by load case, of a structure or its line, and what is more exact takes the
// place of the rest. So it is lost where what is stated of it now is less exact than what was.

// caseFigures are those of one load case, the most exact first. Who states one is noted with all that are less exact.
var caseFigures = []statedFigure{
	{'o', "clearance of the structure", RestsOnRoom}, // for this load case
	{'r', "clearance of the structure", RestsOnRoom}, // for the rest of them
	{'c', "Clearance of the line", RestsOnRoom},      // for this load case
	{'s', "Swing limit of the line", RestsOnSwing},   // for this load case
}

// statedByCase is what is stated of one load case; what a line states for the rest of them is a figure of its row.
func (r *Result) statedByCase(name string, at *Location) Figures {
	isOf := func(f CaseFigure) bool { return IsSameLoadCase(f.Case, name) }
	line, own := &r.Network.Lines[at.Line].Row, r.ownRoom(at)
	ofStructure := slices.ContainsFunc(own.ClearancesMM, isOf)
	rest := ofStructure || isStated(own.ClearanceMM)
	return setOf(ofStructure, rest, rest || slices.ContainsFunc(line.Room.ClearancesMM, isOf), slices.ContainsFunc(line.SwingLimitsDeg, isOf))
}

// noteCases notes what is stated of the load cases of the criteria.
func (r *Result) noteCases(n *note, at *Location) {
	cases := r.criteria(at.Line).LoadCases
	for i := range cases {
		n.add(noteOfCase, cases[i].Name, r.statedByCase(cases[i].Name, at))
	}
}

// caseNow is what is stated of a load case, or stands in its place: for a swing limit a clearance, where the line states no swing limit at all.
// What the criteria do not name any more has lost nothing.
func (r *Result) caseNow(name string, at *Location) (stated, may Figures) {
	if !slices.ContainsFunc(r.criteria(at.Line).LoadCases, func(c LoadCase) bool { return IsSameLoadCase(c.Name, name) }) {
		return 0, 0
	}
	stated = r.statedByCase(name, at)
	if room := r.roomAt(at); !r.Network.Lines[at.Line].Row.limitsSwing() && isStated(inCase(name, room.ClearanceMM, room.ClearancesMM)) {
		stated |= caseSwingFigure
	}
	return stated, every
}

// ownRoom is what the structure of a location states of its room.
func (r *Result) ownRoom(at *Location) Room {
	if at.Structure < 0 {
		return UnknownRoom()
	}
	row := r.Network.row(at.Structure)
	return r.Project.roomOf(&row)
}

// roomAt is that with what the line states of it.
func (r *Result) roomAt(at *Location) Room {
	return r.ownRoom(at).over(r.Network.Lines[at.Line].Row.Room)
}

// limitsSwing tells whether a swing limit is stated for any load case.
func (l *LineRow) limitsSwing() bool { return isStated(l.SwingLimitDeg) || len(l.SwingLimitsDeg) > 0 }

// inPlaceOfLine are the figures of lineFigures in whose place something else stands at a location: what each load case has of its own, for a
// swing limit a clearance, and for the length of an arm the distance of a wall.
func (r *Result) inPlaceOfLine(at *Location) (set Figures) {
	line, room := &r.Network.Lines[at.Line].Row, r.roomAt(at)
	inEach := func(rest float64, named []CaseFigure) bool {
		cases := r.criteria(at.Line).LoadCases
		return len(cases) > 0 && !slices.ContainsFunc(cases, func(c LoadCase) bool { return !isStated(inCase(c.Name, rest, named)) })
	}
	clearance := inEach(room.ClearanceMM, room.ClearancesMM)
	if clearance {
		set |= clearanceFigure
	}
	if inEach(line.SwingLimitDeg, line.SwingLimitsDeg) || clearance && !line.limitsSwing() {
		set |= swingFigure
	}
	if isStated(room.WallDistanceMM) {
		set |= lineArmFigure
	}
	return set
}
