package audit

import (
	"cmp"
	"slices"
)

// UnitCounts are how many units of each kind a string as built has, in the order of Units; or why that is not known.
func (a *Assembly) UnitCounts() ([]int, Reason) {
	switch {
	case a.Makeup == nil:
		return nil, a.lacksString()
	case a.Faulty.Has(CellUnit), a.Faulty.Has(CellUnitsPerString):
		return nil, FaultyField
	case a.lacksCount():
		return nil, UnitsNotStated
	}
	counts := make([]int, len(a.Makeup.Parts))
	for i, part := range a.Makeup.Parts {
		counts[i] = a.count(part)
	}
	return counts, NoReason
}

// CreepageVoltage is the voltage along a string that its creepage has to stand, in kV r.m.s.; or why it is not known.
func (s *Subject) CreepageVoltage() (kV float64, reason Reason) {
	return s.Line.PhaseToEarthKV, s.Line.NoVoltage
}

// StringsAt is how many strings the row of an assembly at a location stands for, on all phases and sides that it names, with the row that is
// taken to be of the other side of the structure. Where that is not known it says why, and strings are as many as there are at least.
func (n *Network) StringsAt(at *Location) (strings int, reason Reason) {
	first := uint32(at.Assembly)
	rows := []uint32{first}
	if k, paired := slices.BinarySearchFunc(n.pairs, first, func(of pair, row uint32) int { return cmp.Compare(of.first, row) }); paired {
		rows = append(rows, n.pairs[k].second)
	}
	for _, r := range rows {
		row := n.Project.Assemblies.At(int(r))
		if row.Duty == Jumper { // whose phases count here
			row.Duty = Suspension
		}
		of := n.stringsOf(at.Line, at.Structure, &row)
		if of < 0 {
			switch {
			case row.Faulty.Has(CellStrings), row.Faulty.Has(CellPhase), row.Faulty.Has(CellCircuits):
				reason = FaultyField
			case row.Strings < 1:
				reason = StringsNotStated
			default:
				reason = PhasesUnknown
			}
			if row.Strings < 1 || row.Faulty.Has(CellStrings) {
				row.Strings, row.Faulty = 1, row.Faulty&^(1<<CellStrings)
			}
			of = max(n.stringsOf(at.Line, at.Structure, &row), int(row.Strings))
		}
		strings += of
	}
	return strings, reason
}
