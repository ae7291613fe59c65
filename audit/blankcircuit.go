package audit

import "fmt"

// doubtBlankCircuits finds the rows of a line of several circuits that leave their circuit blank where 1, which stands in for it, may be
// another's: another row at the structure says 1, there are more of them than one circuit has of a phase, or the circuits of the line go by letters. One
// fault for the line, after which the circuit of these rows is not known.
func (n *Network) doubtBlankCircuits(line *Line) {
	p := n.Project
	named := map[Symbol]int{} // the number that the name says
	blanks := 0
	each := func(structure int, do func(r uint32, row *RowSaid)) {
		for _, r := range n.AssemblyRows(structure) {
			if row := p.Assemblies.saidOf(r); (row.Duty == DutyUnknown || row.Duty.CarriesPhase()) && !row.Faulty.Has(CellCircuits) {
				do(r, row)
			}
		}
	}
	for structure := line.First; structure < line.End; structure++ {
		each(structure, func(_ uint32, row *RowSaid) {
			if row.Blank&BlankCircuit != 0 {
				blanks++
			} else if _, known := named[row.Circuit]; !known {
				named[row.Circuit] = circuitNumber(p.Symbols.Text(row.Circuit))
			}
		})
	}
	if blanks == 0 || len(named) < 2 && line.Row.Circuits < 2 {
		return
	}
	numbered := false
	for _, number := range named {
		numbered = numbered || number > 0
	}
	doubted, first := 0, Source{}
	for structure := line.First; structure < line.End; structure++ {
		taken := !numbered && len(named) > 1
		var sets setsOfPhases
		each(structure, func(r uint32, row *RowSaid) {
			if row.Blank&BlankCircuit == 0 {
				taken = taken || named[row.Circuit] == 1
			} else {
				sets.add(row, p.Assemblies.ownOf(r).Side)
			}
		})
		taken = taken || sets.areOfSeveral(structure == line.First || structure == line.End-1)
		if !taken {
			continue
		}
		each(structure, func(r uint32, said *RowSaid) {
			if said.Blank&BlankCircuit == 0 {
				return
			}
			row := p.Assemblies.At(int(r))
			row.Faulty, row.Circuit = row.Faulty.With(CellCircuits), 0
			p.Assemblies.Set(int(r), row)
			if doubted++; doubted == 1 || row.Source.Before(first) {
				first = row.Source
			}
		})
	}
	if doubted == 0 {
		return
	}
	n.sortByCircuit(line)
	p.Faults.Add(Fault{Kind: MissingValue, At: first, Column: "Circuit", Rows: doubted,
		Expected: fmt.Sprintf("is blank, and line %q has other circuits: whether it is 1 is not known, nor which circuit the row is of", p.Symbols.Text(line.Symbol))})
}

// setsOfPhases counts the sets that rows at a structure name of each phase, by duty: in tension by their side.
type setsOfPhases [Shackle + 1][len(phaseNames)]struct{ once, eitherSide, back, ahead int }

func (s *setsOfPhases) add(row *RowSaid, side Side) {
	if row.Faulty.Has(CellPhase) || row.Faulty.Has(CellDuty) {
		return
	}
	for phase := range s[row.Duty] {
		if row.Phases&(1<<phase) == 0 {
			continue
		}
		of := &s[row.Duty][phase]
		switch {
		case row.Duty != Tension:
			of.once++
		case side == NoSide:
			of.eitherSide++
		case side == BothSides:
			of.back, of.ahead = of.back+1, of.ahead+1
		case side == Back:
			of.back++
		default:
			of.ahead++
		}
	}
}

// areOfSeveral tells whether there are more than one circuit has: one of a phase, in tension one each way, of which a line end has one.
func (s *setsOfPhases) areOfSeveral(atEnd bool) bool {
	most := 2
	if atEnd {
		most = 1
	}
	for duty := range s {
		for _, of := range s[duty] {
			if of.once > 1 || of.back > 1 || of.ahead > 1 || of.eitherSide > most || of.eitherSide+of.back+of.ahead > 2 {
				return true
			}
		}
	}
	return false
}
