package audit

import "fmt"

// doubtBlankCircuits finds the rows of a line of several circuits that leave their circuit blank where 1, which stands in for it, may be
// another's: another row at the structure says 1, there are more of them than one circuit has of a phase, or the circuits of the line go by letters. One
// fault for the line, after which the circuit of these rows is not known.
//
// Where no row at a structure names a circuit, and nothing on the line shows that a blank is 1, they are taken for those of 1, and may be of another or of all: a fault too, after which no phase of any circuit is missed there, and one of
// their strings where they are several, which may be those of all.
func (n *Network) doubtBlankCircuits(line *Line) {
	p := n.Project
	named := map[Symbol]int{} // the number that the name says
	blanks, blankIsOne, first, last := 0, false, line.End, line.First
	each := func(structure int, do func(r uint32, row *RowSaid)) {
		for _, r := range n.AssemblyRows(structure) {
			if row := p.Assemblies.saidOf(r); (row.Duty == DutyUnknown || row.Duty.CarriesPhase()) && !row.Faulty.Has(CellCircuits) {
				do(r, row)
			}
		}
	}
	for structure := line.First; structure < line.End; structure++ {
		blanksBefore, names := blanks, false
		each(structure, func(_ uint32, row *RowSaid) {
			if row.Blank&BlankCircuit != 0 {
				blanks++
				return
			}
			number, known := named[row.Circuit]
			if !known {
				number = circuitNumber(p.Symbols.Text(row.Circuit))
				named[row.Circuit] = number
			}
			if names = true; number != 1 {
				first, last = min(first, structure), structure
			}
		})
		blankIsOne = blankIsOne || names && blanks > blanksBefore
	}
	if blanks == 0 || len(named) < 2 && line.Row.Circuits < 2 {
		return
	}
	numbered := false
	for _, number := range named {
		numbered = numbered || number > 0
		blankIsOne = blankIsOne && number != 1
	}
	if line.Row.Circuits >= 2 {
		first, last = line.First, line.End-1
	}
	var taken, open, several blankCircuits
	strings := int16(0) // of the first of several
	for structure := line.First; structure < line.End; structure++ {
		is := !numbered && len(named) > 1
		names := false
		var sets setsOfPhases
		var blank []uint32
		each(structure, func(r uint32, row *RowSaid) {
			if row.Blank&BlankCircuit == 0 {
				is, names = is || named[row.Circuit] == 1, true
			} else {
				sets.add(row, p.Assemblies.ownOf(r).Side)
				blank = append(blank, r)
			}
		})
		switch {
		case len(blank) == 0:
		case is || sets.areOfSeveral(structure == line.First || structure == line.End-1):
			for _, r := range blank {
				row := p.Assemblies.At(int(r))
				row.Faulty, row.Circuit = row.Faulty.With(CellCircuits), 0
				p.Assemblies.Set(int(r), row)
				taken.add(row.Source)
			}
		case !names && !blankIsOne && structure >= first && structure <= last:
			n.structures[structure].mark(circuitOpen)
			for _, r := range blank {
				row := p.Assemblies.At(int(r))
				open.add(row.Source)
				if row.Strings < 2 || row.hasLeastStrings() || row.Blank&BlankStrings != 0 {
					continue
				}
				if several.add(row.Source); several.first == row.Source {
					strings = row.Strings
				}
				row.Strings, row.Faulty = -1, row.Faulty.With(CellStrings)
				p.Assemblies.Set(int(r), row)
			}
		}
	}
	name := p.Symbols.Text(line.Symbol)
	if taken.rows > 0 {
		n.sortByCircuit(line)
		p.Faults.Add(Fault{Kind: MissingValue, At: taken.first, Column: "Circuit", Rows: taken.rows,
			Expected: fmt.Sprintf("is blank, and line %q has other circuits: whether it is 1 is not known, nor which circuit the row is of", name)})
	}
	if open.rows > 0 {
		p.Faults.Add(Fault{Kind: MissingValue, At: open.first, Column: "Circuit", Rows: open.rows,
			Expected: fmt.Sprintf("is blank, line %q has several circuits, and no row at the structure names one: the row may be of another than 1, or of all; it is judged as of circuit 1, phase-missing is not assessed", name)})
	}
	if several.rows > 0 {
		p.Faults.Add(Fault{Kind: Implausible, At: several.first, Column: "Strings", Value: fmt.Sprint(strings), Rows: several.rows,
			Expected: fmt.Sprintf("may be those of all circuits of line %q, of which it has several and no row at the structure names one; what rests on them is not assessed, expected rows for each circuit, or strings said to be parallel", name)})
	}
}

// blankCircuits counts rows that leave their circuit blank.
type blankCircuits struct {
	rows  int
	first Source
}

func (b *blankCircuits) add(at Source) {
	if b.rows++; b.rows == 1 || at.Before(b.first) {
		b.first = at
	}
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
