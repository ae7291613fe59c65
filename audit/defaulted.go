package audit

import (
	"math"
	"strings"
)

// Defaulted are the columns that say something of what is at a location and for which something stands in where they are blank: those
// that state something else than that, and those that are blank. What cannot be read is neither.
func (r *Result) Defaulted(at *Location) (stated, blank []string) {
	tell := func(column string, faulty, isBlank, otherwise bool) {
		switch {
		case faulty:
		case isBlank:
			blank = append(blank, column)
		case otherwise:
			stated = append(stated, column)
		}
	}
	if at.Assembly >= 0 {
		a := r.Project.Assemblies.At(at.Assembly)
		tell("Strings", a.Faulty.Has(CellStrings), a.Blank&BlankStrings != 0, a.Strings > 1 && (a.Arrangement != VSet || a.Strings > 2))
		tell("Arrangement", a.Faulty.Has(CellArrangement), a.Arrangement == 0, a.Arrangement == VSet)
		tell("Mounting", isMountingUnread(a.Mounting, a.Faulty), a.Mounting == MountingUnknown && a.mayStandAsPost(), a.Mounting == Horizontal)
		o := r.Project.Observed[uint32(at.Assembly)] // what inspections count is noted string by string
		tell(DefectiveColumn, a.Faulty.Has(CellDefective), a.Blank&BlankDefective != 0, a.Defective > 0 && (o == nil || o.Registered > 0))
	}
	if at.Structure >= 0 && at.To < 0 && at.Assembly < 0 {
		r.placeDefaulted(at, tell)
	}
	if at.Structure >= 0 && at.To < 0 {
		s, of := r.Network.row(at.Structure), &r.Network.Lines[at.Line]
		tell("Deviation limit of the structure", s.Faulty.Has(CellDeviationLimit) || of.supersedes(r.Project, &s).Has(LimitSuperseded), math.IsNaN(s.DeviationLimitDeg), true)
		room, roomFaulty := r.Project.roomOf(&s), r.Network.isRoomFaulty(of, &s, at.Structure)
		tell("Wall distance of the structure", roomFaulty, !isStated(room.WallDistanceMM), true)
		tell("Wall lean of the structure", roomFaulty, math.IsNaN(room.WallLean), true)
		tell("Bracket level of the structure", roomFaulty, math.IsNaN(room.BracketMM), true)
		tell("Wall side of the structure", roomFaulty, room.WallSide == WallSideUnknown, true)
		tell("Clearance of the structure", roomFaulty, !room.AsksClearance(), true)
		tell("Subconductors of the structure", s.Faulty.Has(CellStrings), s.SubconductorsAhead == 0, true)
	}
	l := &r.Network.Lines[at.Line].Row
	voltage := l.Faulty.Has(CellVoltage)
	tell("System", voltage, l.System == SystemUnknown, l.System != Earthed)
	assumedKV, _ := l.System.HighestOf(l.NominalKV, r.criteria(at.Line).Voltages)
	tell("Highest voltage", voltage, math.IsNaN(l.HighestKV), l.HighestKV != assumedKV)
	tell("Creepage voltage", voltage, math.IsNaN(l.CreepageKV), true)
	tell("Subconductors", l.Faulty.Has(CellStrings), l.Subconductors < 0, l.Subconductors > 1)
	tell("Deviation limit", l.Faulty.Has(CellDeviationLimit), math.IsNaN(l.DeviationLimitDeg), true)
	clearance, limit := l.Room.AsksClearance(), isStated(l.SwingLimitDeg) || len(l.SwingLimitsDeg) > 0
	tell("Clearance", l.Faulty.Has(CellLength), !clearance, true)
	tell("Wall lean", l.Faulty.Has(CellLength), math.IsNaN(l.Room.WallLean), true)
	tell("Bracket level", l.Faulty.Has(CellLength), math.IsNaN(l.Room.BracketMM), true)
	tell("Swing limit", l.Faulty.Has(CellLimits), !limit, clearance) // where no clearance is stated nothing stands in for it
	return stated, blank
}

// placeDefaulted tells what says which circuits and phases hang at a structure. Only a place rests on it, so that only of a place
// anything is stated.
func (r *Result) placeDefaulted(at *Location, tell func(column string, faulty, isBlank, otherwise bool)) {
	l, place := &r.Network.Lines[at.Line].Row, at.Circuit != 0
	tell("Phases", l.Faulty.Has(CellCircuits), l.Phases == 0, place)
	tell("Circuits", l.Faulty.Has(CellCircuits), l.Circuits <= 0, place)
	tell(circuitColumn, false, r.Network.structures[at.Structure].is(circuitBlank), place)
	named, blank := false, false
	for _, row := range r.Network.circuitRows(at.Structure, at.Circuit) {
		if a := r.Project.Assemblies.At(int(row)); a.Duty.CarriesPhase() {
			named = named || !r.Project.leavesPhase(&a)
			blank = blank || r.Project.leavesPhase(&a)
		}
	}
	tell("Phase", false, blank, place && named)
}

// circuitColumn is the column of the circuit, and what stands in for it.
const (
	circuitColumn   = "Circuit"
	circuitOfBlanks = "1"
)

// DefectiveColumn is the column of the defective units of a string, which go with it.
const DefectiveColumn = "Defective units"

// Stated are the first of the columns of Defaulted, as one text; of an assembly its circuit too, where that is another than stands in and
// every row at its structure names one, and how many rows have its key where it is not the only one; of a check that rests on pollution the zone
// in force, of one that looks at crossings what the spans cross; and which inspections count the defective units of its strings.
func (r *Result) Stated(check int, at *Location) string {
	stated, _ := r.Defaulted(at)
	stated = append(stated, r.statedByInspections(at)...)
	if at.Assembly >= 0 && !r.Network.structures[at.Structure].is(circuitBlank) && r.Project.Symbols.Text(at.Circuit) != circuitOfBlanks {
		stated = append(stated, circuitColumn)
	}
	if zone := r.zoneInForce(at); zone != "" && r.Checks[check].asksPollution() {
		stated = append(stated, zone)
	}
	if near := r.zoneNearBy(at); near != "" && r.Checks[check].asksZoneMargin() {
		stated = append(stated, near)
	}
	if r.asksCrossings(check, at.Line) {
		stated = append(stated, r.statedCrossings(at)...)
	}
	if rows := RowsAlikeNoted(r.RowsAlike(at)); rows != "" {
		stated = append(stated, rows)
	}
	return strings.Join(stated, ", ")
}

// Left are the columns of the key of what is at a location that its row leaves blank, so that something stands in the key for them, and
// what it is where it holds no phase in its spans, so that it may leave them blank for good.
func (r *Result) Left(at *Location) string {
	if at.Assembly < 0 {
		return ""
	}
	var left []string
	row := r.Project.Assemblies.At(at.Assembly)
	if row.Blank&BlankCircuit != 0 {
		left = append(left, circuitColumn)
	}
	if kind := row.Duty.beside(); kind != "" {
		left = append(left, kind)
	}
	return strings.Join(left, ", ")
}

// LeftCircuit tells whether Left said that the row of an assembly named no circuit.
func LeftCircuit(left string) bool { return strings.HasPrefix(left, circuitColumn) }

// LeftBeside is what Left said that an assembly is beside the phases; empty of one that holds them.
func LeftBeside(left string) string {
	return strings.TrimPrefix(strings.TrimPrefix(left, circuitColumn), ", ")
}

// MayBeOf tells whether an assembly may be the one of which Left said something, by what it holds: an earth wire is never a phase that is
// not found any more. One whose duty is not known may be any.
func (r *Result) MayBeOf(left string, at *Location) bool {
	duty := r.Project.Assemblies.At(at.Assembly).Duty
	return duty == DutyUnknown || LeftBeside(left) == duty.beside()
}

// beside is the duty of an assembly that hangs beside those of the phases; empty of these, and where it is not known.
func (d Duty) beside() string {
	if d == DutyUnknown || d.CarriesPhase() {
		return ""
	}
	return d.String()
}

// CircuitLost tells whether rows at a structure name no circuit, or nobody says how many the line has, where what was stated of
// something there had both.
func (r *Result) CircuitLost(stated string, line, structure int) (column string) {
	for column := range strings.SplitSeq(stated, ", ") {
		if column = strings.TrimPrefix(column, "!"); column == circuitColumn && r.Network.structures[structure].is(circuitBlank) || column == "Circuits" && r.Network.Lines[line].Row.Circuits <= 0 {
			return column
		}
	}
	return ""
}
