package audit

import (
	"fmt"

	"dryarc/audit/basis"
)

// doubtRoom finds clearances of a line and of its structures that no line of the voltage has: likely another measure, or a slip of the pen.
// Nothing is judged by them.
func (n *Network) doubtRoom(line *Line) {
	n.doubtClearance(line, &line.Row.Room, line.Row.Source, "Clearance", &line.Row.Faulty)
	for i := line.First; i < line.End; i++ {
		if row := n.row(i); row.Room > 0 {
			n.doubtClearance(line, &n.Project.Rooms[row.Room-1], row.Source, "clearance_mm", &row.Faulty)
		}
	}
}

func (n *Network) doubtClearance(line *Line, room *Room, at Source, column string, faulty *Cells) {
	least := basis.LeastClearancePerKV * line.HighestKV
	doubtful := isStated(room.ClearanceMM) && basis.Contradicts(room.ClearanceMM, least)
	for _, f := range room.ClearancesMM {
		doubtful = doubtful || basis.Contradicts(f.Value, least)
	}
	if !doubtful || faulty.Has(CellLength) {
		return
	}
	*faulty = faulty.With(CellLength)
	n.Project.Faults.Add(Fault{Kind: Implausible, At: at, Column: column, Value: CasesInWords(room.ClearanceMM, room.ClearancesMM),
		Expected: fmt.Sprintf("mm is implausible at Um %g kV, expected %.10g mm or more; nothing is judged by it", line.HighestKV, least)})
}
