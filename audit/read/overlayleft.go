package read

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// leftCell is what a scenario takes since it went with something that the scenario replaces.
type leftCell struct {
	what, with, until string
	instead           string // what is taken in its place until then; empty where nothing is judged by it
}

func (c *leftCell) follows() string {
	if c.instead != "" {
		return c.instead
	}
	return "nothing is judged by it"
}

// ownSlip is the slip load that assemblies state for themselves.
var ownSlip = leftCell{what: "assemblies may state a slip load, which", with: "conductor", until: "the register states that of the new clamps"}

// givenTension is the tension that load cases give in kN.
var givenTension = leftCell{what: "load cases give a tension in kN, which", with: "conductor", until: "its criteria state load_cases"}

// leftOf is what a scenario takes of the row of a line, and what other inputs state for that line.
type leftOf struct {
	cells  []leftCell
	others audit.Superseded
	um     string // what goes by the nominal voltage that the scenario sets, or why nothing does, where no note of a cell says so
}

// leave takes from a row what went with the voltage, the neutral, the conductor or the load that it had, where a scenario sets another and
// not that: a level or a tension of today says nothing of what is looked at. was is the row of today, with the highest voltage of umOf; table is that of
// highest voltages in the scenario; givesTension tells whether load cases that are not the scenario's own give a tension in kN.
//
// A level, a tension, and of the nominal and the highest voltage the one that goes with the other are then not stated. A creepage voltage
// is not known, since without one the row might ask for Um/√3, which may be less (beside a system that asks for one itself it is not
// stated); nor is a clearance, a swing limit or a deviation limit, of the line or of a structure of it, since another voltage or load
// asks for another, and without one something else might stand in for it.
func (o *overlays) leave(s *overlay, was, row *audit.LineRow, table basis.VoltageTable, givesTension bool) (left leftOf) {
	takes := func(cell leftCell) { left.cells = append(left.cells, cell) }
	leave := func(heading, with, unit string, figure *float64) bool {
		if row.Set.Columns[heading] || math.IsNaN(*figure) {
			return false
		}
		*figure = math.NaN()
		takes(leftCell{what: heading, with: with, until: setsColumn(heading, unit)})
		return true
	}
	unread := row.Faulty
	defer func() { row.Set.Left = row.Faulty &^ unread }()
	unknown := func(heading string, cell audit.Cell) {
		row.Faulty, row.Set.Taken[heading] = row.Faulty.With(cell), true
	}
	other := o.otherThan(was, row)
	if other.highest {
		leave("Nominal voltage", voltageThat, kilovolts.name, &row.NominalKV)
	}
	if other.nominal {
		leave("Highest voltage", voltageThat, kilovolts.name, &row.HighestKV)
	}
	if other.voltage || other.system {
		with := voltageThat
		if !other.voltage {
			with = "system"
		}
		if leave("Creepage voltage", with, kilovolts.name, &row.CreepageKV) && (other.voltage || row.System == audit.Earthed) {
			unknown("Creepage voltage", audit.CellVoltage)
		}
	}
	if other.voltage {
		leave("Lightning level", voltageThat, kilovolts.name, &row.LightningKV)
		leave("Switching level", voltageThat, kilovolts.name, &row.SwitchingKV)
		if !row.Set.Columns[clearanceHeading] && row.Room.AsksClearance() {
			row.Room.ClearanceMM, row.Room.ClearancesMM = math.NaN(), nil
			unknown(clearanceHeading, audit.CellLength)
			takes(leftCell{what: clearanceHeading, with: voltageThat, until: setsColumn(clearanceHeading, millimetres.name)})
		}
		if !row.Set.Columns["Swing limit"] && (!math.IsNaN(row.SwingLimitDeg) || len(row.SwingLimitsDeg) > 0) {
			row.SwingLimitDeg, row.SwingLimitsDeg = math.NaN(), nil
			unknown("Swing limit", audit.CellLimits)
			takes(leftCell{what: "Swing limit", with: voltageThat, until: setsColumn("Swing limit", degrees.name)})
		}
		left.others |= audit.ClearanceSuperseded
	}
	if other.conductor {
		leave("Maximum tension", "conductor", kilonewtons.name, &row.MaximumTensionKN)
		leave("Everyday tension", "conductor", kilonewtons.name, &row.EverydayTensionKN)
		leave("Cold tension", "conductor", kilonewtons.name, &row.ColdTensionKN)
		if leave("Slip load", "conductor", kilonewtons.name, &row.SlipKN) {
			unknown("Slip load", audit.CellAttachment)
		}
		if o.project.StatesSlip() {
			takes(ownSlip)
			left.others |= audit.SlipSuperseded
		}
		if givesTension {
			takes(givenTension)
			left.others |= audit.TensionSuperseded
		}
	}
	if other.load {
		if leave("Deviation limit", loadThat, degrees.name, &row.DeviationLimitDeg) {
			unknown("Deviation limit", audit.CellDeviationLimit)
			if slices.Contains(s.stated, "deviation_limit_deg") {
				left.cells[len(left.cells)-1].until = "set states deviation_limit_deg, since the criterion of that name is for lines that state none"
			}
		}
		left.others |= audit.LimitSuperseded
	}
	left.standsIn(row, table, other.nominal)
	return left
}

// standsIn says what is taken for a highest voltage where a scenario sets the nominal one alone, as an audit takes it; isOther tells whether to
// another than it was.
func (left *leftOf) standsIn(row *audit.LineRow, table basis.VoltageTable, isOther bool) {
	if !row.Set.Columns["Nominal voltage"] || !math.IsNaN(row.HighestKV) || row.Faulty.Has(audit.CellVoltage) {
		return
	}
	source := table.Source().Document
	if row.System.IsRailway() {
		source = basis.RailwayVoltageSource.Document
	}
	um, ok := row.System.HighestOf(row.NominalKV, table)
	if !ok {
		why := fmt.Sprintf("%s has none for %g kV", source, row.NominalKV)
		if row.System == audit.DirectCurrent {
			why = "no table has one of direct current"
		}
		left.um = "Lines whose highest voltage is not known, since " + why + ", so that nothing is judged by it"
		return
	}
	instead := fmt.Sprintf("%g kV, of %s for the nominal one, is taken", um, source)
	for i := range left.cells {
		if left.cells[i].what == "Highest voltage" {
			left.cells[i].instead = instead
			return
		}
	}
	if isOther {
		left.um = "Lines that state no highest voltage, so that " + instead
	}
}

// What a figure went with, in the words of a note.
const (
	voltageThat = "voltage"
	loadThat    = "conductors and tensions"
)

func setsColumn(heading, unit string) string { return keyOf(heading, unit) + " is set" }

// othersSet is what a scenario sets otherwise than it was.
type othersSet struct {
	voltage   bool
	highest   bool // the highest voltage, and the nominal one is not set
	nominal   bool // the nominal voltage, and the highest one is not set
	system    bool
	conductor bool
	load      bool // conductor, bundle or a tension
}

func (o *overlays) otherThan(was, row *audit.LineRow) (other othersSet) {
	set, names := row.Set.Columns, &o.project.Symbols
	other.voltage = hasOtherVoltage(was, row)
	other.highest = !set["Nominal voltage"] && isOther(was.HighestKV, row.HighestKV, set["Highest voltage"])
	other.nominal = !set["Highest voltage"] && isOther(was.NominalKV, row.NominalKV, set["Nominal voltage"])
	other.system = set["System"] && was.System != row.System
	other.conductor = set["Conductor"] && nameKey(names.Text(was.Conductor)) != nameKey(names.Text(row.Conductor))
	other.load = other.conductor || set["Subconductors"] && bundleOf(was) != row.Subconductors ||
		isOther(was.MaximumTensionKN, row.MaximumTensionKN, set["Maximum tension"]) ||
		isOther(was.EverydayTensionKN, row.EverydayTensionKN, set["Everyday tension"]) ||
		isOther(was.ColdTensionKN, row.ColdTensionKN, set["Cold tension"])
	return other
}

// givesTension tells whether a load case of the criteria that hold on a line without a scenario gives a tension in kN.
func (o *overlays) givesTension(rules []*overlay) bool {
	r := o.merged(rules)
	return r.Criteria.GivesTension()
}

// keepsLongest tells whether a row states a longest string for the clearances of the voltage that it had, which a scenario with another
// voltage leaves as it is: a fact of the towers, which judges all the same; the note says what it was stated for.
func keepsLongest(was, row *audit.LineRow) bool {
	return hasOtherVoltage(was, row) && !row.Set.Columns["Longest string"] && !math.IsNaN(row.LongestStringMM)
}

// hasOtherVoltage tells whether a scenario gives a row another voltage than it had.
func hasOtherVoltage(was, row *audit.LineRow) bool {
	return isOther(was.NominalKV, row.NominalKV, row.Set.Columns["Nominal voltage"]) || isOther(was.HighestKV, row.HighestKV, row.Set.Columns["Highest voltage"])
}

// isOther tells whether a figure that is set is another than it was; one that was not known is.
func isOther(was, is float64, set bool) bool { return set && was != is }

// voltages is the table of highest voltages on a line of which rules hold.
func (o *overlays) voltages(rules []*overlay) basis.VoltageTable {
	table := o.project.Criteria.Voltages
	for _, e := range rules {
		if slices.Contains(e.stated, "voltages") {
			table = e.criteria.Voltages
		}
	}
	return table
}

// umOf is the highest voltage of a row, by its nominal one where it states none: whose cell is blank although others of its voltages may
// not be readable.
func umOf(row *audit.LineRow, cells *lineCells, columns []column[audit.LineRow], table basis.VoltageTable) float64 {
	if !math.IsNaN(cells.highestKV) {
		return cells.highestKV
	}
	if !math.IsNaN(row.HighestKV) {
		return row.HighestKV
	}
	if row.Faulty.Has(audit.CellVoltage) && (cells.faulty["Highest voltage"] || !cells.blamed(columns, audit.CellVoltage)) {
		return math.NaN()
	}
	um, ok := row.System.HighestOf(row.NominalKV, table)
	if !ok {
		return math.NaN()
	}
	return um
}

// bundleOf is the number of subconductors of a row, one where it states none and its voltages have no more, as in an audit; below 1 where
// that is not known.
func bundleOf(row *audit.LineRow) int {
	if row.Subconductors > 0 || row.Faulty.Has(audit.CellStrings) {
		return row.Subconductors
	}
	mayBeMore := basis.MayHaveBundles(row.HighestKV) || !basis.IsHighestOf(row.HighestKV, row.NominalKV) && basis.NominalMayHaveBundles(row.NominalKV)
	if math.IsNaN(row.HighestKV) && !row.Faulty.Has(audit.CellVoltage) {
		mayBeMore = basis.NominalMayHaveBundles(row.NominalKV)
	}
	if mayBeMore {
		return row.Subconductors
	}
	return 1
}

// leftBehind are the lines whose figures a scenario takes since they went with what it changes.
type leftBehind struct {
	cells       []leftCell // in the order found
	lines       map[leftCell][]audit.Symbol
	aboutUm     []string // in the order found
	um          map[string][]audit.Symbol
	others      map[audit.Symbol]audit.Superseded // by line, what it takes of what other inputs state
	superseded  map[audit.Symbol]audit.Superseded // by line, all that its rows call superseded then
	keepLongest []audit.Symbol
}

func newLeftBehind() leftBehind {
	return leftBehind{lines: map[leftCell][]audit.Symbol{}, um: map[string][]audit.Symbol{}, others: map[audit.Symbol]audit.Superseded{}, superseded: map[audit.Symbol]audit.Superseded{}}
}

func (l *leftBehind) note(line audit.Symbol, left leftOf) {
	for _, cell := range left.cells {
		if l.lines[cell] == nil {
			l.cells = append(l.cells, cell)
		}
		l.lines[cell] = withLine(l.lines[cell], line)
	}
	if left.um != "" {
		if l.um[left.um] == nil {
			l.aboutUm = append(l.aboutUm, left.um)
		}
		l.um[left.um] = withLine(l.um[left.um], line)
	}
	l.others[line] |= left.others
}

// withLine adds a line to those found so far, of which each comes with all of its rows before the next.
func withLine(lines []audit.Symbol, line audit.Symbol) []audit.Symbol {
	if len(lines) > 0 && lines[len(lines)-1] == line {
		return lines
	}
	return append(lines, line)
}

// namedAtOnce is how many lines a note names.
const namedAtOnce = 20

// linesNamed says how many lines a note is about, and which.
func linesNamed(p *audit.Project, lines []audit.Symbol) string {
	names := make([]string, min(len(lines), namedAtOnce))
	for i := range names {
		names[i] = p.Symbols.Text(lines[i])
	}
	text := fmt.Sprintf("%d (%s", len(lines), strings.Join(names, ", "))
	if more := len(lines) - len(names); more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text + ")"
}

// supersede writes into a row what the scenario takes of what other inputs state for its line: of structures what one of them states.
func (l *leftBehind) supersede(row *audit.LineRow, line audit.Symbol, byStructures audit.Superseded) {
	row.Superseded |= l.others[line] & (byStructures | audit.TensionSuperseded | audit.SlipSuperseded)
	l.superseded[line] |= row.Superseded
}

// statedBy are the figures that a structure states and that a scenario may take.
func statedBy(p *audit.Project, row *audit.StructureRow) (figures audit.Superseded) {
	if p.StatesClearance(row) {
		figures |= audit.ClearanceSuperseded
	}
	if row.StatesLimit() {
		figures |= audit.LimitSuperseded
	}
	return figures
}

// statedByStructures are these figures by line.
func statedByStructures(p *audit.Project) map[audit.Symbol]audit.Superseded {
	figures := map[audit.Symbol]audit.Superseded{}
	for _, row := range p.Structures.All() {
		if stated := statedBy(p, &row); stated != 0 {
			figures[row.Line] |= stated
		}
	}
	return figures
}

// notes says what is taken and what is kept.
func (l *leftBehind) notes(p *audit.Project) (notes []string) {
	for _, cell := range l.cells {
		notes = append(notes, fmt.Sprintf("Lines whose %s went with the %s that they have, so that %s until %s: %s.", cell.what, cell.with, cell.follows(), cell.until, linesNamed(p, l.lines[cell])))
	}
	for _, text := range l.aboutUm {
		notes = append(notes, fmt.Sprintf("%s until %s: %s.", text, setsColumn("Highest voltage", kilovolts.name), linesNamed(p, l.um[text])))
	}
	clearances, limits := 0, 0
	for _, row := range p.Structures.All() {
		taken := statedBy(p, &row) & l.others[row.Line]
		if taken.Has(audit.ClearanceSuperseded) {
			clearances++
		}
		if taken.Has(audit.LimitSuperseded) {
			limits++
		}
	}
	if clearances > 0 {
		notes = append(notes, fmt.Sprintf("Structures whose clearance went with the voltage that their line has, so that no swing is judged there: %d.", clearances))
	}
	if limits > 0 {
		notes = append(notes, fmt.Sprintf("Structures whose deviation limit went with the %s that their line has, so that nothing is judged by it: %d.", loadThat, limits))
	}
	if len(l.keepLongest) > 0 {
		notes = append(notes, fmt.Sprintf("Lines whose Longest string was stated for the clearances of the voltage that they have, and still judges here until %s: %s.",
			setsColumn("Longest string", millimetres.name), linesNamed(p, l.keepLongest)))
	}
	return notes
}
