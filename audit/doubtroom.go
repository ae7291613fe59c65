package audit

import (
	"fmt"
	"math"

	"dryarc/audit/basis"
)

// doubtRoom finds figures of the room that strings have, of a line and of its structures, that no line of the voltage has: likely another
// measure, or a slip of the pen. Nothing is judged by them. The row of a structure stays as it was read: a scenario in which the voltage is
// another shares it.
func (n *Network) doubtRoom(line *Line) {
	kV := line.roomKV()
	row := &line.Row
	if !row.Faulty.Has(CellLength) {
		doubtful := n.doubtRoomOf(line, &row.Room, row.Source, [...]string{"Clearance", "Wall distance", "Bracket level"})
		if n.doubtMost(line, row.FittingsMM, basis.MostFittings(kV), row.Source, "Fittings") || doubtful {
			row.Faulty = row.Faulty.With(CellLength)
		}
	}
	for i := line.First; i < line.End; i++ {
		if row := n.row(i); row.Room > 0 && !n.isRoomFaulty(line, &row, i) {
			n.structures[i].set(roomDoubted, n.doubtRoomOf(line, &n.Project.Rooms[row.Room-1], row.Source, [...]string{"clearance_mm", "wall_distance_mm", "bracket_level_mm"}))
		}
	}
}

// doubtRoomOf makes faults of what is implausible of a room on the line, and tells whether anything is. The columns are those of the clearance,
// of the distance to the wall and of the level of the bracket.
func (n *Network) doubtRoomOf(line *Line, room *Room, at Source, columns [3]string) bool {
	kV := line.roomKV()
	least := basis.LeastClearancePerKV * kV
	doubtful := isStated(room.ClearanceMM) && basis.Contradicts(room.ClearanceMM, least)
	for _, f := range room.ClearancesMM {
		doubtful = doubtful || basis.Contradicts(f.Value, least)
	}
	if doubtful {
		n.Project.Faults.Add(Fault{Kind: Implausible, At: at, Column: columns[0], Value: CasesInWords(room.ClearanceMM, room.ClearancesMM),
			Expected: fmt.Sprintf("mm is implausible at %s, expected %.10g mm or more; nothing is judged by it", line.roomVoltage(), least)})
	}
	wall := n.doubtMost(line, room.WallDistanceMM, basis.MostWallDistance(kV), at, columns[1])
	bracket := n.doubtMost(line, room.BracketMM, basis.MostBracketLevel(kV), at, columns[2])
	return doubtful || wall || bracket
}

// doubtMost makes a fault of a figure above the most in mm that is believed of it, on either side of 0, and tells whether it is.
func (n *Network) doubtMost(line *Line, figure, most float64, at Source, column string) bool {
	if !basis.Contradicts(most, math.Abs(figure)) {
		return false
	}
	ends := fmt.Sprintf("%.10g mm or less", most)
	if figure < 0 {
		ends = fmt.Sprintf("%.10g mm or more", -most)
	}
	n.Project.Faults.Add(Fault{Kind: Implausible, At: at, Column: column, Value: fmt.Sprintf("%.10g", figure),
		Expected: fmt.Sprintf("mm is implausible at %s, expected %s; nothing is judged by it", line.roomVoltage(), ends)})
	return true
}

// roomKV is the voltage that the room of strings is held against: Um, the voltage of a pole to earth of direct current, else the most that is
// known of the voltage; NaN if nothing is.
func (l *Line) roomKV() float64 {
	if l.Row.System == DirectCurrent { // whose nominal voltage may be that between the poles
		if isKnown(l.Row.CreepageKV) {
			return l.Row.CreepageKV
		}
		return basis.LeastCreepageShare * l.VoltageKV()
	}
	for _, kV := range [...]float64{l.HighestKV, l.Row.NominalKV} {
		if isKnown(kV) {
			return kV
		}
	}
	return l.PhaseToEarthKV
}

// roomVoltage names it.
func (l *Line) roomVoltage() string {
	kV := l.roomKV()
	if kV == l.HighestKV && l.Row.System != DirectCurrent {
		return fmt.Sprintf("Um %g kV", kV)
	}
	return fmt.Sprintf("%.4g kV", math.Round(kV*100)/100)
}
