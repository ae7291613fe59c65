package audit

import (
	"cmp"
	"fmt"
	"slices"
)

// Which structures there are, in which order, and on which of them a row of the register stands rests neither on the sheet Lines nor on
// criteria. So a network that differs from another in these, or in what hangs on some lines, is arranged from that one, and a line of which
// nothing is another is taken as it is there.

// leftOut is a row that stands on a structure, where others stand for it.
type leftOut struct {
	structure int32
	row       uint32 // in Project.Assemblies
}

// leftOutOf are the rows that are left out at the structures from the first to before the end.
func (n *Network) leftOutOf(first, end int) []leftOut {
	place := func(structure int) int {
		at, _ := slices.BinarySearchFunc(n.leftOut, int32(structure), func(l leftOut, want int32) int { return cmp.Compare(l.structure, want) })
		return at
	}
	return n.leftOut[place(first):place(end)]
}

// arranging is a step in which arranging finds faults.
type arranging int

const (
	ofRoutes arranging = iota
	ofPlaces           // of structures and rows
	ofNames            // that a line has for circuits and phases; this and what follows is found line by line
	ofCircuits
	ofRepeats
	ofInspections
	ofVoltages
	ofFigures
)

// foundFaults are the faults that a step found on a line, or on all, in the list of the project.
type foundFaults struct {
	step     arranging
	line     int // nowhere for all
	from, to int
}

// found notes the faults that a step has listed since the list was so long.
func (n *Network) found(step arranging, line, listed int) {
	if now := len(n.Project.Faults.list); now > listed {
		n.faults = append(n.faults, foundFaults{step, line, listed, now})
	}
}

// takeFaults takes those that a step found in the network that this one is arranged from.
func (n *Network) takeFaults(step arranging, line int) {
	was := n.like
	at, found := slices.BinarySearchFunc(was.faults, line, func(f foundFaults, line int) int {
		return cmp.Or(cmp.Compare(f.step, step), cmp.Compare(f.line, line))
	})
	if !found {
		return
	}
	listed := len(n.Project.Faults.list)
	for _, fault := range was.Project.Faults.list[was.faults[at].from:was.faults[at].to] {
		n.Project.Faults.Add(fault)
	}
	n.found(step, line, listed)
}

// settle does a step on a line, or takes what it found where the line is taken.
func (n *Network) settle(step arranging, line int, do func(line *Line)) {
	if n.isTaken(line) {
		n.takeFaults(step, line)
		return
	}
	listed := len(n.Project.Faults.list)
	do(&n.Lines[line])
	n.found(step, line, listed)
}

// isTaken tells whether a line is as it is in the network that this one is arranged from.
func (n *Network) isTaken(line int) bool { return n.like != nil && !n.anew[line] }

// Under arranges the project as it is in a scenario, as Arrange does Project.Under of the pristine one, of which this network is.
func (n *Network) Under(pristine *Project, s *Scenario) (*Network, error) {
	if pristine.RoutesAlone || !pristine.Structures.are(n.Project.Structures) || !n.Project.Faults.areListed() {
		return Arrange(pristine.Under(s))
	}
	p := n.Project.Clone()
	p.Lines, p.Rules = slices.Clone(s.Sheet), s.Rules
	p.Faults = pristine.Faults.copied() // as its rows are on the lines that are arranged anew
	p.Observed = nil                    // of which what was observed on lines that are taken is taken
	names := p.LineNames()
	for i := range p.Lines {
		p.Lines[i].Line = names.Means(p.Lines[i].Line)
	}
	today := *n.Project
	today.Faults = Faults{}
	before := (&Network{Project: &today, Lines: n.Lines, ambiguousLines: n.ambiguousLines}).lineRows()
	then := n.begin(p)
	then.takeFaults(ofRoutes, nowhere)
	sheet := then.lineRows()
	then.takeFaults(ofPlaces, nowhere)
	for l := range then.Lines {
		was, row := before.of(n.Project, then.Lines[l].Symbol), sheet.of(p, then.Lines[l].Symbol)
		then.anew[l] = !sameLineRow(&was, &row)
	}
	then.startLines(sheet)
	for l := range then.Lines {
		if then.isTaken(l) {
			continue
		}
		n.eachRowAt(&n.Lines[l], func(r uint32) {
			if p.Assemblies.sharesRow(&pristine.Assemblies, r) {
				return
			}
			row, is := pristine.Assemblies.At(int(r)), p.Assemblies.At(int(r))
			if row.Line = is.Line; !is.Equals(row) {
				p.Assemblies.Set(int(r), row)
			}
		})
	}
	if !then.placeLike() {
		return Arrange(pristine.Under(s))
	}
	return then, nil
}

// ArrangeLike is Arrange for a copy of the project of a network in which rows of some lines say something else, and rows are added to these
// lines; neither places a row elsewhere.
func ArrangeLike(p *Project, was *Network, lines []int) (*Network, error) {
	if p.RoutesAlone {
		return Arrange(p)
	}
	n := was.begin(p)
	for _, l := range lines {
		n.anew[l] = true
	}
	n.startLines(n.lineRows())
	if !n.placeLike() {
		return Arrange(p)
	}
	return n, nil
}

// begin begins a network of another project with the same structures.
func (n *Network) begin(p *Project) *Network {
	then := newNetwork(p)
	then.like, then.anew = n, make([]bool, len(n.Lines))
	then.Lines = slices.Clone(n.Lines)
	then.ambiguousLines, then.lost, then.unplaced = n.ambiguousLines, n.lost, slices.Clip(n.unplaced)
	then.misspelt, then.strayNumbers, then.Renumbering = n.misspelt, n.strayNumbers, n.Renumbering
	for i := range then.Lines {
		then.Lines[i].rules, then.Lines[i].zones = 0, 0
	}
	then.structures, then.profiles = make([]station, len(n.structures)), newProfiles(len(n.structures))
	then.courses = n.courses // which deriving takes as they are or makes anew
	return then
}

// startLines begins the lines that are not taken, and all whose rules are others.
func (n *Network) startLines(sheet *sheetLines) {
	p, was := n.Project, n.like
	quiet := *p // in which faults are found that were taken
	quiet.Faults = Faults{}
	n.takeRules()
	for l := range n.Lines {
		before, rules := &was.Lines[l], n.Lines[l].rules
		if n.anew[l] = n.anew[l] || rules != before.rules || rules > 0 && !sameStore(p.Rules, was.Project.Rules); !n.anew[l] {
			continue
		}
		line := Line{Symbol: before.Symbol, Row: sheet.of(p, before.Symbol), First: before.First, End: before.End, Ordering: before.Ordering, Closed: before.Closed,
			route: before.route, Strays: before.Strays, rules: rules, zones: n.Lines[l].zones}
		rows := make([]uint32, 0, line.End-line.First)
		for i := line.First; i < line.End; i++ {
			rows = append(rows, n.courses[i].row)
		}
		line.CourseFaulty = orderFaulty(&quiet, rows, line.Ordering)
		n.Lines[l] = line
	}
}

// placeLike places the rows as they are placed in the network that this one is arranged from, and those that are added, and finds what hangs
// on the lines that are not taken; false where it is not plain where an added row stands.
func (n *Network) placeLike() bool {
	p, was := n.Project, n.like
	n.equal.takePlaces(&was.equal)
	known := was.Project.Assemblies.Len()
	var added []leftOut
	if known < p.Assemblies.Len() {
		at, ok := n.placeRows(known)
		if !ok {
			return false
		}
		strayed := slices.ContainsFunc(was.Lines, func(l Line) bool { return l.Strays.Rows > 0 })
		lines := n.lineOf()
		for i, structure := range at {
			l := lines[p.Assemblies.At(known+i).Line]
			if n.isTaken(int(l)) {
				return false
			}
			if strayed {
				n.Lines[l].Strays.OfRows++
			}
			added = append(added, leftOut{structure, uint32(known + i)})
		}
		slices.SortStableFunc(added, func(a, b leftOut) int { return cmp.Compare(a.structure, b.structure) })
	}
	n.rank = rankSymbols(p)
	n.placed = make([]uint32, 0, len(was.placed)+len(was.leftOut)+len(added))
	for l := range n.Lines {
		line, taken := &n.Lines[l], n.isTaken(l)
		left := was.leftOutOf(line.First, line.End)
		for i := line.First; i < line.End; i++ {
			begun := len(n.placed)
			n.structures[i].firstAssembly = uint32(begun)
			n.placed = append(n.placed, was.AssemblyRows(i)...)
			if taken {
				n.structures[i].mark(was.structures[i].marks & (circuitUnread | circuitBlank | circuitOpen | roomDoubted))
				continue
			}
			for ; len(left) > 0 && left[0].structure == int32(i); left = left[1:] {
				n.placed = append(n.placed, left[0].row)
			}
			for ; len(added) > 0 && added[0].structure == int32(i); added = added[1:] {
				n.placed = append(n.placed, added[0].row)
			}
			if here := n.placed[begun:]; !slices.IsSortedFunc(here, n.compareRows) {
				slices.SortFunc(here, n.compareRows)
			}
		}
	}
	n.settleLines()
	return true
}

// eachRowAt goes through the rows that stand on the structures of a line, those that are left out too.
func (n *Network) eachRowAt(line *Line, do func(row uint32)) {
	for i := line.First; i < line.End; i++ {
		for _, r := range n.AssemblyRows(i) {
			do(r)
		}
	}
	for _, left := range n.leftOutOf(line.First, line.End) {
		do(left.row)
	}
}

// takePairs takes the pairs of lines that are taken, and the rows that repeat others there.
func (n *Network) takePairs() {
	if n.like == nil || len(n.like.pairs)+len(n.like.repeats) == 0 {
		return
	}
	lines := n.lineOf()
	isTaken := func(row uint32) bool { return n.isTaken(int(lines[n.Project.Assemblies.ownOf(row).Line])) }
	for _, p := range n.like.pairs {
		if isTaken(p.first) {
			n.pairs = append(n.pairs, p)
		}
	}
	for _, r := range n.like.repeats {
		if isTaken(r.first) {
			n.repeats = append(n.repeats, r)
		}
	}
}

// takePlaces takes the names of lines and structures that were taken for others.
func (e *equals) takePlaces(from *equals) {
	for _, what := range from.list {
		if what.What == equalLine || what.What == equalStructure {
			e.note(what, what.Rows)
		}
	}
}

// takeLine takes the names on a line that were taken for others of the line's own.
func (e *equals) takeLine(from *equals, line Symbol) {
	for _, what := range from.list {
		if what.Line == line && what.What != equalLine && what.What != equalStructure {
			e.note(what, what.Rows)
		}
	}
}

// sameLineRow tells whether two rows of the sheet Lines say the same; what neither states is the same.
func sameLineRow(a, b *LineRow) bool {
	return a.Set == b.Set && fmt.Sprintf("%+v", *a) == fmt.Sprintf("%+v", *b)
}
