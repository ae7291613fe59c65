package read

import (
	"fmt"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// adviseKinds notes of each sheet of units those that hang somewhere and whose kind nobody states: what concerns some kinds alone is not
// assessed for them.
func (r *register) adviseKinds() {
	p := r.project
	hangs := map[int]bool{}
	for _, makeup := range p.Makeups { // of which each is on some row
		for _, part := range makeup.Parts {
			hangs[part.Unit] = hangs[part.Unit] || p.Units[part.Unit].Kind == basis.KindUnknown && !audit.FaultsOf(p.UnitFaults, part.Unit).Has(audit.CellKind)
		}
	}
	names := map[uint16][]string{}
	for i := range p.Units {
		if at := audit.SourceOf(p.UnitRows, i); hangs[i] && at.Row > 0 {
			names[at.Table] = append(names[at.Table], p.Units[i].Name)
		}
	}
	for i := range r.understood {
		if of := names[r.understood[i].Number]; len(of) > 0 {
			r.understood[i].Notes = append(r.understood[i].Notes, fmt.Sprintf("units that hang and whose Kind is not stated: %s; what concerns some kinds alone is not assessed for them: fill in a column Kind, "+
				"or where all of the file are of one say it under register in the project file, such as fixed: {Kind: cap-and-pin}", quotedList(of)))
		}
	}
}
