package read

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// leave takes from a row what went with the voltage or the conductor that it had, where a scenario sets another and not that: a level or
// a tension of today says nothing of what is looked at. It returns the headings of what it took. was is the row of today.
//
// A level and a tension are then not stated. A creepage voltage is not known, since without one the row would ask for Um/√3, which
// may be less; nor is a clearance, of the line or of a structure of it, since another voltage asks for another.
func (o *overlays) leave(was, row *audit.LineRow) (headings []string) {
	leave := func(heading string, figure *float64) bool {
		if row.Set.Columns[heading] || math.IsNaN(*figure) {
			return false
		}
		*figure, headings = math.NaN(), append(headings, heading)
		return true
	}
	if hasOtherVoltage(was, row) {
		if leave("Creepage voltage", &row.CreepageKV) {
			row.Faulty = row.Faulty.With(audit.CellVoltage)
		}
		leave("Lightning level", &row.LightningKV)
		leave("Switching level", &row.SwitchingKV)
		ofLine := !row.Set.Columns[clearanceHeading] && row.Room.AsksClearance()
		if ofLine {
			row.Room.ClearanceMM, row.Room.ClearancesMM, headings = math.NaN(), nil, append(headings, clearanceHeading)
		}
		ofStructures := o.clearedStructures()[row.Line]
		if ofStructures {
			headings = append(headings, clearanceOfStructures)
		}
		if ofLine || ofStructures {
			row.Faulty = row.Faulty.With(audit.CellLength)
		}
	}
	names := &o.project.Symbols
	if row.Set.Columns["Conductor"] && nameKey(names.Text(was.Conductor)) != nameKey(names.Text(row.Conductor)) {
		leave("Maximum tension", &row.MaximumTensionKN)
		leave("Everyday tension", &row.EverydayTensionKN)
		leave("Cold tension", &row.ColdTensionKN)
	}
	return headings
}

// clearanceOfStructures stands for the heading where structures state clearances of their own.
const clearanceOfStructures = clearanceHeading + " of structures"

// clearedStructures are the lines of which a structure states a clearance of its own, which no scenario sets.
func (o *overlays) clearedStructures() map[audit.Symbol]bool {
	if o.cleared == nil {
		o.cleared = map[audit.Symbol]bool{}
		for i := range o.project.Structures {
			if row := &o.project.Structures[i]; row.Room > 0 && o.project.Rooms[row.Room-1].AsksClearance() {
				o.cleared[row.Line] = true
			}
		}
	}
	return o.cleared
}

// keeps returns the headings of what a row states of the clearances for the voltage that it had, and a scenario with another voltage
// leaves as it is. They are facts of the towers, which judge all the same; the note says what they were stated for.
func keeps(was, row *audit.LineRow) (headings []string) {
	if !hasOtherVoltage(was, row) {
		return nil
	}
	for _, limit := range [...]struct {
		heading  string
		isStated bool
	}{{"Swing limit", !math.IsNaN(row.SwingLimitDeg) || len(row.SwingLimitsDeg) > 0}, {"Longest string", !math.IsNaN(row.LongestStringMM)}} {
		if !row.Set.Columns[limit.heading] && limit.isStated {
			headings = append(headings, limit.heading)
		}
	}
	return headings
}

// hasOtherVoltage tells whether a scenario gives a row another voltage than it had.
func hasOtherVoltage(was, row *audit.LineRow) bool {
	return isOther(was.NominalKV, row.NominalKV, row.Set.Columns["Nominal voltage"]) || isOther(umOf(was), row.HighestKV, row.Set.Columns["Highest voltage"])
}

// isOther tells whether a figure that is set is another than it was; one that was not known is.
func isOther(was, is float64, set bool) bool { return set && was != is }

// umOf is the highest voltage of a row, by its nominal one where it states none.
func umOf(row *audit.LineRow) float64 {
	if !math.IsNaN(row.HighestKV) || row.Faulty.Has(audit.CellVoltage) {
		return row.HighestKV
	}
	um, ok := basis.HighestVoltage(row.NominalKV)
	if !ok {
		return math.NaN()
	}
	return um
}

// leftBehind are the lines whose figures a scenario takes since they went with what it changes, by heading.
type leftBehind struct {
	headings []string // in the order found
	lines    map[string]map[audit.Symbol]bool
	kept     map[string]map[audit.Symbol]bool // lines whose figures stay that were stated for their voltage
}

func (l *leftBehind) note(line audit.Symbol, headings []string) {
	for _, heading := range headings {
		if l.lines == nil {
			l.lines = map[string]map[audit.Symbol]bool{}
		}
		if l.lines[heading] == nil {
			l.headings, l.lines[heading] = append(l.headings, heading), map[audit.Symbol]bool{}
		}
		l.lines[heading][line] = true
	}
}

func (l *leftBehind) keep(line audit.Symbol, headings []string) {
	for _, heading := range headings {
		if l.kept == nil {
			l.kept = map[string]map[audit.Symbol]bool{}
		}
		if l.kept[heading] == nil {
			l.kept[heading] = map[audit.Symbol]bool{}
		}
		l.kept[heading][line] = true
	}
}

func (l *leftBehind) notes() (notes []string) {
	for _, heading := range l.headings {
		if heading == clearanceOfStructures {
			notes = append(notes, fmt.Sprintf("Lines whose structures state a clearance that went with the voltage that they have, so that no swing is judged there: %d.", len(l.lines[heading])))
			continue
		}
		of, key := "voltage", keyOf(heading, kilovolts.name)
		switch heading {
		case "Maximum tension", "Everyday tension", "Cold tension":
			of, key = "conductor", keyOf(heading, kilonewtons.name)
		case clearanceHeading:
			key = keyOf(heading, millimetres.name)
		}
		notes = append(notes, fmt.Sprintf("Lines whose %s went with the %s that they have, so that nothing is judged by it until %s is set: %d.", heading, of, key, len(l.lines[heading])))
	}
	for _, heading := range slices.Sorted(maps.Keys(l.kept)) {
		unit := degrees.name
		if heading == "Longest string" {
			unit = millimetres.name
		}
		notes = append(notes, fmt.Sprintf("Lines whose %s was stated for the clearances of the voltage that they have, and still judges here until %s is set: %d.",
			heading, keyOf(heading, unit), len(l.kept[heading])))
	}
	return notes
}
