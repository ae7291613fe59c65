package audit

import (
	"math"
	"strings"

	"dryarc/audit/basis"
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
		a := &r.Project.Assemblies[at.Assembly]
		tell("Strings", a.Faulty.Has(CellStrings), a.Blank&BlankStrings != 0, a.Strings > 1 && (a.Arrangement != VSet || a.Strings > 2))
		tell("Arrangement", a.Faulty.Has(CellArrangement), a.Arrangement == 0, a.Arrangement == VSet)
		tell("Mounting", a.Faulty.Has(CellMounting), a.Mounting == 0, a.Mounting != Upright)
		tell("Defective units", a.Faulty.Has(CellDefective), a.Blank&BlankDefective != 0, a.Defective > 0)
	}
	if at.Structure >= 0 && at.To < 0 {
		s := r.Network.row(at.Structure)
		tell("Deviation limit of the structure", s.Faulty.Has(CellDeviationLimit), math.IsNaN(s.DeviationLimitDeg), true)
		room := r.Project.roomOf(s)
		tell("Wall distance of the structure", s.Faulty.Has(CellLength), !isStated(room.WallDistanceMM), true)
		tell("Clearance of the structure", s.Faulty.Has(CellLength), !room.asksClearance(), true)
		tell("Subconductors of the structure", s.Faulty.Has(CellStrings), s.SubconductorsAhead == 0, true)
	}
	l := &r.Network.Lines[at.Line].Row
	voltage := l.Faulty.Has(CellVoltage)
	tell("System", voltage, l.System == SystemUnknown, l.System != Earthed)
	assumedKV, _ := basis.HighestVoltage(l.NominalKV)
	tell("Highest voltage", voltage, math.IsNaN(l.HighestKV), l.HighestKV != assumedKV)
	tell("Creepage voltage", voltage, math.IsNaN(l.CreepageKV), true)
	tell("Subconductors", l.Faulty.Has(CellStrings), l.Subconductors < 0, l.Subconductors > 1)
	tell("Deviation limit", l.Faulty.Has(CellDeviationLimit), math.IsNaN(l.DeviationLimitDeg), true)
	clearance, limit := l.Room.asksClearance(), isStated(l.SwingLimitDeg) || len(l.SwingLimitsDeg) > 0
	tell("Clearance", l.Faulty.Has(CellLength), !clearance, true)
	tell("Swing limit", l.Faulty.Has(CellLimits), !limit, clearance) // where no clearance is stated nothing stands in for it
	return stated, blank
}

// Stated are the first of the columns of Defaulted, as one text.
func (r *Result) Stated(at *Location) string {
	stated, _ := r.Defaulted(at)
	return strings.Join(stated, ", ")
}
