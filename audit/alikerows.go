package audit

import (
	"fmt"
	"slices"
	"strings"
)

// What rows of the register a structure has beside one, or in its place: of those that nothing but their figures tells apart, and of
// those that are together what one row was.

// rowsOfOneKey is what an exception notes where that many rows have its key.
const rowsOfOneKey = "%d rows of one circuit, phase and side"

// RowsAlike counts the rows of assemblies at a structure that have circuit, phase and side of one of them, itself included, and hold what
// it holds; 0 where the location is of no assembly.
func (r *Result) RowsAlike(at *Location) (count int) {
	if at.Assembly < 0 {
		return 0
	}
	assemblies := r.Project.Assemblies
	own := &assemblies[at.Assembly]
	for _, row := range r.Network.circuitRows(at.Structure, own.Circuit) {
		if a := &assemblies[row]; a.Phase == own.Phase && a.Side == own.Side && a.Duty.beside() == own.Duty.beside() {
			count++
		}
	}
	return count
}

// RowsAlikeThen is how many rows had the key of what something was stated of.
func RowsAlikeThen(stated string) (count int) {
	for part := range strings.SplitSeq(stated, ", ") {
		if _, err := fmt.Sscanf(part, rowsOfOneKey, &count); err == nil && part == fmt.Sprintf(rowsOfOneKey, count) {
			return count
		}
	}
	return 1
}

// Cover tells whether assemblies of a structure are what one row of all phases of a circuit was, or one of any side: whether they have
// each phase that the circuit has, on each side on which it has spans.
func (r *Result) Cover(at []Location, allPhases, allSides bool) bool {
	n := r.Network
	for i := range at {
		a := &r.Project.Assemblies[at[i].Assembly]
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
				if b := &r.Project.Assemblies[at[j].Assembly]; b.Circuit == a.Circuit && (!b.Duty.HasSides() || b.Side == NoSide || slices.Contains(b.Side.each(), side)) && !b.Faulty.Has(CellPhase) {
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
