package audit

import (
	"fmt"
	"math"
	"slices"

	"dryarc/audit/basis"
)

// Figures of a row that are believed by themselves and that the rest of the line makes implausible are faults, and unknown after
// that: nothing is corrected, and nothing is judged by them. What a row of the line has that cannot be read may be what the others have: it
// acquits none of them.

// doubtFigures looks for such figures on a line.
func (n *Network) doubtFigures(line *Line) {
	rows := n.judgedRows(line)
	n.doubtTestedOfRows(line, rows)
	n.doubtTotals(line, rows)
	n.doubtStrings(line, rows)
	n.doubtTested(line, rows)
	n.doubtRoom(line)
	var counts [math.MaxUint8]int // of rows by their units per string, as far as they are that few
	known := 0
	for _, r := range rows {
		row := n.Project.Assemblies.saidOf(r)
		switch {
		case !row.mayCarryPhase():
		case row.Faulty.Has(CellUnitsPerString), row.Faulty.Has(CellUnit), row.Faulty.Has(CellDuty):
			counts[1]++ // it may have the least that there is
			known++
		case row.UnitsPerString > 0 && int(row.UnitsPerString) < len(counts):
			counts[row.UnitsPerString]++
			known++
		}
	}
	var believed statedStrings
	var likely countedUnits // of the last row of which they are
	for _, r := range rows {
		n.doubtDays(r)
		if units := countedUnitsOf(n.Project.Assemblies.saidOf(r)); units != likely && !n.doubtUnits(line, r, counts[:], known) {
			likely = units
		}
		if row := n.Project.Assemblies.saidOf(r); !believed.has(row) && !n.doubtOwnFigures(r) {
			believed.add(row)
		}
	}
}

// countedUnits is all that rows of a line say of whether their number of units is likely.
type countedUnits struct {
	makeup uint32
	faulty Cells
	units  int16
	duty   Duty
}

func countedUnitsOf(row *RowSaid) countedUnits {
	return countedUnits{row.Makeup, row.Faulty, row.UnitsPerString, row.Duty}
}

// doubtDays faults days of a row that have not been. They stay as they are stated, and tell nothing.
func (n *Network) doubtDays(r uint32) {
	p := n.Project
	row := p.Assemblies.ownOf(r)
	if !row.Installed.isBeyond(p.AsOf) && !row.Inspected.isBeyond(p.AsOf) { // as of nearly all
		return
	}
	for _, stated := range [...]struct {
		column, lost string
		day          Day
	}{{"Installed", "the age of what hangs there", row.Installed}, {"Inspected", "when it was last looked at", row.Inspected}} {
		if stated.day.isBeyond(p.AsOf) {
			p.Faults.Add(Fault{Kind: OutOfRange, At: row.Source, Column: stated.column, Value: stated.day.String(),
				Expected: fmt.Sprintf("is later than the day of the audit, %s; %s is not known, nor, where inspections say otherwise than the register, how many units are defective", p.AsOf, stated.lost)})
		}
	}
}

// statedStrings are the strings of rows that were looked at last, with the figures that the rows state: most rows of a line repeat a few. The
// zero value is ready.
type statedStrings struct {
	kept [8]statedString
	next int
}

// statedString is all of a row that its own figures are held against.
type statedString struct {
	makeup, direct uint32
	units          int16
}

func statedStringOf(row *RowSaid) statedString {
	return statedString{row.Makeup, row.Direct, row.UnitsPerString}
}

// has tells whether the string of a row is among them; one that states no figures is not.
func (s *statedStrings) has(row *RowSaid) bool {
	return row.Direct != 0 && slices.Contains(s.kept[:], statedStringOf(row))
}

// add keeps the string of a row in place of the one that was kept first.
func (s *statedStrings) add(row *RowSaid) {
	s.kept[s.next%len(s.kept)] = statedStringOf(row)
	s.next++
}

// mayCarryPhase tells whether a row is of a duty that carries a phase, or of one that cannot be read.
func (r *RowSaid) mayCarryPhase() bool { return r.Duty.CarriesPhase() || r.Faulty.Has(CellDuty) }

// judgedRows are the rows of a line that checks judge: those that are placed, and those that repeat one of them and differ.
func (n *Network) judgedRows(line *Line) []uint32 {
	rows := n.placedOn(line)
	if len(n.repeats) > 0 {
		for _, r := range rows {
			for _, repeat := range n.repeatsOf(r) {
				rows = append(rows, repeat.row)
			}
		}
	}
	return rows
}

// placedOn are the rows that are placed on the structures of a line.
func (n *Network) placedOn(line *Line) []uint32 {
	from, to := n.structures[line.First].firstAssembly, uint32(len(n.placed))
	if line.End < len(n.structures) {
		to = n.structures[line.End].firstAssembly
	}
	return n.placed[from:to:to]
}

// unitsOfClassE is how many units of a kind a string of the line has to have in class e, at sea level; −1 where that is not known.
func (n *Network) unitsOfClassE(line *Line, unit *basis.Unit) int {
	c := n.criteriaOf(line)
	return basis.UnitsNeeded(basis.RequiredCreepage(line.creepageBasis(c), c.SpecificCreepageOn(line, basis.ClassE), line.PhaseToEarthKV, 1, 1), unit.CreepageMM)
}

// fewUnits are no more than any string may have (a choice of this program).
const fewUnits = 2

// doubtUnits faults a number of units that is likely that of all strings of the row, or of all its phases, and tells whether it does.
func (n *Network) doubtUnits(line *Line, r uint32, counts []int, known int) bool {
	p := n.Project
	row := p.Assemblies.saidOf(r)
	if row.UnitsPerString <= fewUnits || row.Makeup == 0 || !row.Duty.CarriesPhase() || len(p.Makeups[row.Makeup].Parts) != 1 || row.Faulty.Has(CellUnitsPerString) {
		return false
	}
	part := p.Makeups[row.Makeup].Parts[0]
	median := medianBeside(counts, known, int(row.UnitsPerString))
	needed := n.unitsOfClassE(line, &p.Units[part.Unit])
	if !basis.AreTooManyUnits(int(row.UnitsPerString), needed, median) {
		return false
	}
	p.Faults.Add(Fault{Kind: Implausible, At: p.Assemblies.ownOf(r).Source, Column: "Units per string", Value: fmt.Sprint(row.UnitsPerString),
		Expected: fmt.Sprintf("is more than twice the %d that class e asks for, and %.3g on the other rows of line %q; is it the total of the row? What rests on it is not assessed",
			needed, median, p.Symbols.Text(line.Symbol))})
	n.unknownUnits(r)
	return true
}

// medianBeside is the median of numbers, counted by their value, without one of them; NaN where none is left.
func medianBeside(counts []int, known, without int) float64 {
	if without < len(counts) {
		known--
	}
	if known < 1 {
		return math.NaN()
	}
	low, high, passed := -1, -1, 0
	for value, count := range counts {
		if value == without {
			count--
		}
		passed += count
		if low < 0 && passed > (known-1)/2 {
			low = value
		}
		if passed > known/2 {
			high = value
			break
		}
	}
	return float64(low+high) / 2
}

// doubtOwnFigures faults a creepage of a row that is that of one unit, and a length that is none of its string, and tells whether it did; what it says rests on a statedString.
func (n *Network) doubtOwnFigures(r uint32) (doubted bool) {
	p := n.Project
	if said := p.Assemblies.saidOf(r); said.Direct == 0 || said.Makeup == 0 || said.UnitsPerString < 1 {
		return false
	}
	row := p.Assemblies.At(int(r))
	direct := p.directOf(&row)
	parts := p.Makeups[row.Makeup].Parts
	for _, part := range parts {
		unit := &p.Units[part.Unit]
		if FaultsOf(p.UnitFaults, part.Unit).Has(CellCreepage) || !basis.IsOfOneUnit(direct.CreepageMM, unit.CreepageMM, int(row.UnitsPerString)) {
			continue
		}
		p.Faults.Add(Fault{Kind: Implausible, At: row.Source, Column: "Creepage", Value: fmt.Sprintf("%g", direct.CreepageMM),
			Expected: fmt.Sprintf("is the creepage of one %s, and the string has %d units; is it of one unit? What rests on it is not assessed", unit.Name, row.UnitsPerString)})
		direct.CreepageMM, row.Faulty = math.NaN(), row.Faulty.With(CellCreepage)
		p.restate(r, &row, direct)
		doubted = true
		break
	}
	a := n.assemblyWith(int(r), &row, direct)
	unitsMM := a.UnitsMM()
	var expected string
	switch ofDiscs := len(parts) == 1 && p.Units[parts[0].Unit].Kind.MayCountUnits(int(row.UnitsPerString)); {
	case ofDiscs && !basis.IsLengthOf(direct.LengthMM, unitsMM):
		expected = fmt.Sprintf("mm is no length of a string of %d units with a spacing of %g mm, expected %.10g to %.10g mm", row.UnitsPerString, p.Units[parts[0].Unit].SpacingMM,
			(1-basis.UnitsLengthShare)*unitsMM, basis.MostLengthShare*unitsMM+basis.MostFittingsMM)
	case basis.IsShorterThanUnits(direct.LengthMM, unitsMM):
		expected = fmt.Sprintf("mm is less than the %.10g mm of the units of the string, expected %.10g mm or more", unitsMM, (1-basis.UnitsLengthShare)*unitsMM)
	default:
		return doubted
	}
	p.Faults.Add(Fault{Kind: Implausible, At: row.Source, Column: "Length", Value: fmt.Sprintf("%g", direct.LengthMM), Expected: expected + "; what rests on it is not assessed"})
	direct.LengthMM, row.Faulty = math.NaN(), row.Faulty.With(CellLength)
	p.restate(r, &row, direct)
	return true
}

// restate puts a row in its place with other figures of its own. Those that it had stay as they are, since a copy of the project shares them.
func (p *Project) restate(r uint32, row *AssemblyRow, figures DirectValues) {
	row.Direct = p.AddFigures(figures)
	p.Assemblies.Set(int(r), *row)
}

// fewestRows is how many rows a line must have before what they have in common is telling (a choice of this program).
const fewestRows = 3

// stringsCounted is what rows of a line tell of whether their strings are counted over the phases.
type stringsCounted struct {
	judged      int  // have as many as phases, or a multiple of that
	open, blank int  // may have; say no number
	ones        int  // say one string, of more than two phases
	isOther     bool // some row has a number that cannot be counted so
	isMultiple  bool // some row has a multiple
	isSeveral   bool // some row has twice as many as its three phases, or more
	first       AssemblyRow
}

// areOverPhases tells whether nearly each row that says a number has one that is likely counted over the phases. A blank cell says none: it makes up the rows that
// are needed where it is not one of most.
func (c *stringsCounted) areOverPhases() bool {
	stated := c.judged + c.open
	return c.judged > 0 && !c.isOther && (stated >= fewestRows || c.blank <= stated && stated+c.blank >= fewestRows) && basis.AreNearlyAll(c.judged, c.ones)
}

// doubtStrings makes one fault of the strings of a line where nearly each row has as many as phases, or a multiple of that, as twice where a
// tension structure counts both sides: they are then likely counted over the phases. A row that leaves them blank, or that is of one phase, tells
// nothing of how the others count. A row that has several strings, and no
// such number of them, cannot count them so, and one of two phases tells by 1 that the others have two strings, as is common: either takes the doubt from all. A row of more
// phases that says 1 may count otherwise than nearly all do.
//
// Where the line as a whole leaves no doubt, each duty is asked for itself, on three phases or more, as far as no set of it would be so: see mayBeOverPhases.
func (n *Network) doubtStrings(line *Line, rows []uint32) {
	p := n.Project
	var all stringsCounted
	var ofDuty [Shackle + 1]stringsCounted
	for _, r := range rows {
		row := p.Assemblies.saidOf(r)
		if !row.mayCarryPhase() {
			continue
		}
		n.countStrings(line, r, &all)
		switch {
		case row.Faulty.Has(CellDuty):
			for duty := range ofDuty {
				ofDuty[duty].open++
			}
		case line.phasesOfRow(row) != 2: // which may well be double strings
			n.countStrings(line, r, &ofDuty[row.Duty])
		}
	}
	if all.areOverPhases() {
		n.doubtStringsOf(line, rows, &all, DutyUnknown)
		return
	}
	for duty := range ofDuty {
		if c := &ofDuty[duty]; c.areOverPhases() && line.mayBeOverPhases(Duty(duty), c, &all) {
			n.doubtStringsOf(line, rows, c, Duty(duty))
		}
	}
}

// mayBeOverPhases tells whether strings of a duty that are so many each are counted over the phases though rows of other duties count otherwise. Pins, posts and shackles do not
// stand three side by side for one phase, a line of single tension strings has no triple ones in suspension, which bear less, and six in parallel hang on no line of range I; triple tension strings
// are built (common practice).
func (l *Line) mayBeOverPhases(duty Duty, c, all *stringsCounted) bool {
	switch duty {
	case Pin, Post, Shackle:
		return true
	case Suspension:
		return !all.isOther || c.isSeveral && basis.IsRangeOne(l.HighestKV)
	}
	return c.isSeveral && basis.IsRangeOne(l.HighestKV)
}

// countStrings adds what a row tells.
func (n *Network) countStrings(line *Line, r uint32, c *stringsCounted) {
	p := n.Project
	row := p.Assemblies.saidOf(r)
	phases := line.phasesOfRow(row)
	switch {
	case row.Faulty.Has(CellDuty), row.Faulty.Has(CellStrings), row.Strings > 1 && row.Faulty&phaseCells != 0:
		c.open++
		return
	case row.Blank&BlankStrings != 0:
		c.blank++
		return
	case phases == 1, row.Strings == 1 && row.Faulty&phaseCells != 0: // there is nothing to count over, or may be
		return
	case phases > 2 && row.Strings == 1:
		c.ones++
		return
	case phases < 2 || row.Strings < 1 || int(row.Strings)%phases != 0:
		c.isOther = true
		return
	case row.hasLeastStrings():
		return
	}
	c.isMultiple = c.isMultiple || int(row.Strings) != phases
	c.isSeveral = c.isSeveral || phases > 2 && int(row.Strings) >= 2*phases
	if c.judged++; c.judged == 1 || p.Assemblies.ownOf(r).Source.Before(c.first.Source) {
		c.first = p.Assemblies.At(int(r))
	}
}

// doubtStringsOf makes the strings of a duty unknown, of rows of more than two phases, or those of all duties.
func (n *Network) doubtStringsOf(line *Line, rows []uint32, c *stringsCounted, duty Duty) {
	p := n.Project
	how, on, stated := "the number of phases", "every", ""
	if c.isMultiple {
		how = "the number of phases, or a multiple of it"
	}
	if c.ones > 0 {
		on = "nearly every"
	}
	if duty != DutyUnknown {
		on += " " + duty.String()
	}
	if c.blank > c.judged {
		stated = " that states them"
	}
	p.Faults.Add(Fault{Kind: Implausible, At: c.first.Source, Column: "Strings", Value: fmt.Sprint(c.first.Strings), Rows: c.judged,
		Expected: fmt.Sprintf("is %s, on this as on %s row of line %q%s; are they counted over all phases? Expected those of one, of which a row for each phase leaves no doubt; what rests on them is not assessed",
			how, on, p.Symbols.Text(line.Symbol), stated)})
	for _, r := range rows {
		said := p.Assemblies.saidOf(r)
		phases := line.phasesOfRow(said)
		if duty != DutyUnknown && !said.Faulty.Has(CellDuty) && (said.Duty != duty || phases == 2) {
			continue
		}
		if row := p.Assemblies.At(int(r)); row.mayCarryPhase() && !row.hasLeastStrings() && row.Blank&BlankStrings == 0 && row.Strings != 1 && phases != 1 {
			row.Strings, row.Faulty = -1, row.Faulty.With(CellStrings)
			p.Assemblies.Set(int(r), row)
		}
	}
}

// hasLeastStrings tells whether a row has the two strings that strings in parallel and V sets have at least, so that they are not counted over two phases.
func (r *RowSaid) hasLeastStrings() bool {
	return r.Strings == 2 && (r.Arrangement == Parallel || r.Arrangement == VSet)
}

// phaseCells are the cells that tell which phases a row is of.
const phaseCells = Cells(1<<CellPhase | 1<<CellCircuits)

// phasesOfRow is how many phases a row is of, 0 where that is not known.
func (l *Line) phasesOfRow(row *RowSaid) int {
	if row.Phases != EveryPhase {
		return row.Phases.Count()
	}
	for i := range l.Circuits {
		if l.Circuits[i].Symbol == row.Circuit {
			return l.phasesOf(&l.Circuits[i])
		}
	}
	return 0
}
