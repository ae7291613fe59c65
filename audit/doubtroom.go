package audit

import (
	"fmt"

	"dryarc/audit/basis"
)

// doubtRoom finds clearances of a line and of its structures that no line of the voltage has: likely another measure, or a slip of the pen.
// Nothing is judged by them. The row of a structure stays as it was read: a scenario in which the voltage is another shares it.
func (n *Network) doubtRoom(line *Line) {
	if row := &line.Row; !row.Faulty.Has(CellLength) && n.doubtClearance(line, &row.Room, row.Source, "Clearance") {
		row.Faulty = row.Faulty.With(CellLength)
	}
	for i := line.First; i < line.End; i++ {
		if row := n.row(i); row.Room > 0 && !n.isRoomFaulty(line, &row, i) {
			n.structures[i].set(roomDoubted, n.doubtClearance(line, &n.Project.Rooms[row.Room-1], row.Source, "clearance_mm"))
		}
	}
}

// doubtClearance makes a fault of a clearance that is implausible on the line, and tells whether one is.
func (n *Network) doubtClearance(line *Line, room *Room, at Source, column string) bool {
	least := basis.LeastClearancePerKV * line.HighestKV
	doubtful := isStated(room.ClearanceMM) && basis.Contradicts(room.ClearanceMM, least)
	for _, f := range room.ClearancesMM {
		doubtful = doubtful || basis.Contradicts(f.Value, least)
	}
	if doubtful {
		n.Project.Faults.Add(Fault{Kind: Implausible, At: at, Column: column, Value: CasesInWords(room.ClearanceMM, room.ClearancesMM),
			Expected: fmt.Sprintf("mm is implausible at Um %g kV, expected %.10g mm or more; nothing is judged by it", line.HighestKV, least)})
	}
	return doubtful
}
