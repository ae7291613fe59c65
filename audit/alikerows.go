package audit

import (
	"fmt"
	"slices"
	"strings"
)

// What rows of the register a structure has beside one, or in its place: of those that nothing but their figures tells apart, and of
// those that are together what one row was.

// rowsOfOneKey is what an exception notes where that many rows have its key.
const rowsOfOneKey = "%d rows of one key"

// RowsAlike counts the rows of assemblies at a structure that have circuit, phase and side of one of them, itself included, and hold what
// it holds, and those that are left out since they repeat one of these; 0 where the location is of no assembly.
func (r *Result) RowsAlike(at *Location) (count int) {
	if at.Assembly < 0 {
		return 0
	}
	assemblies := &r.Project.Assemblies
	own := assemblies.At(at.Assembly)
	for _, row := range r.Network.circuitRows(at.Structure, own.Circuit) {
		a, repeats := assemblies.At(int(row)), r.Network.repeatsOf(row)
		alike := a.Phase == own.Phase && a.Side == own.Side && a.Duty.beside() == own.Duty.beside()
		if alike || slices.ContainsFunc(repeats, func(other repeat) bool { return int(other.row) == at.Assembly }) {
			count += 1 + len(repeats)
		}
	}
	return count
}

// RowsAlikeThen is how many rows had the key of what something was stated of.
func RowsAlikeThen(stated string) int {
	most := 1
	for part := range strings.SplitSeq(stated, ", ") {
		var count int
		if _, err := fmt.Sscanf(part, rowsOfOneKey, &count); err == nil {
			most = max(most, count)
		}
	}
	return most
}

// RowsAlikeNoted is what Stated notes of that many rows of one key; empty where it is one.
func RowsAlikeNoted(count int) string {
	if count < 2 {
		return ""
	}
	return fmt.Sprintf(rowsOfOneKey, count)
}

// Cover tells whether assemblies of a structure are what one row of all phases of a circuit was, or one of any side: whether they have
// each phase that the circuit has, on each side on which it has spans.
func (r *Result) Cover(at []Location, allPhases, allSides bool) bool {
	n := r.Network
	for i := range at {
		a := r.Project.Assemblies.At(at[i].Assembly)
		line := &n.Lines[at[i].Line]
		k := line.circuitIndex(a.Circuit)
		if k < 0 {
			continue
		}
		circuit, structure := &line.Circuits[k], n.Structure(at[i].Line, at[i].Structure)
		wanted := circuit.Phases
		if !allPhases {
			wanted = a.Phases
		} else if wanted == EveryPhase && a.Phases != EveryPhase || line.MayLackPhases(wanted) {
			return false // nobody says which they are
		}
		sides := a.Side.each()
		if allSides && a.Duty.HasSides() && a.Side != NoSide {
			sides = sidesOf(&structure, circuit)
		}
		for _, side := range sides {
			var there Phases
			for j := range at {
				if b := r.Project.Assemblies.At(at[j].Assembly); b.Circuit == a.Circuit && (!b.Duty.HasSides() || b.Side == NoSide || slices.Contains(b.Side.each(), side)) && !b.Faulty.Has(CellPhase) {
					there |= b.Phases
				}
			}
			if wanted&^there != 0 {
				return false
			}
		}
	}
	return true
}
