package audit

import (
	"math/bits"
	"slices"
)

// target is a row of the register that an inspection is of.
type target struct {
	row    uint32
	phases Phases // those of its phases that it is of
	side   Side   // that of its sides that it is of, where it has both; NoSide for all
	places int    // how many assemblies these are, 0 where that is not known
	maybe  bool   // it may be another one
}

// doubtWherePhasesLack doubts that an inspection without a phase is of the rows it was found to be of, where phases of their circuit have no row
// there: it may be of one of these.
func (j *joining) doubtWherePhasesLack(in *Inspection, targets []target) {
	if in.Phases != EveryPhase {
		return
	}
	line := &j.n.Lines[j.line]
	found := map[int]Phases{}
	circuit := func(t *target) int { return line.circuitIndex(j.n.Project.Assemblies.saidOf(t.row).Circuit) }
	for i := range targets {
		found[circuit(&targets[i])] |= targets[i].phases
	}
	for i := range targets {
		if c := circuit(&targets[i]); c >= 0 && line.Circuits[c].Phases&^found[c] != 0 {
			targets[i].maybe = true
		}
	}
}

// doubtWhereSidesLack doubts that an inspection without a side is of rows that state theirs, where none of their circuit and phase states the other: it may
// be of that one.
func (j *joining) doubtWhereSidesLack(in *Inspection, structure int, targets []target) {
	line, p := &j.n.Lines[j.line], j.n.Project
	if in.Side != NoSide || !line.Closed && (structure == line.First || structure == line.End-1) {
		return
	}
	for i := range targets {
		row := p.Assemblies.At(int(targets[i].row))
		if row.Duty != Tension || row.Side == NoSide {
			continue
		}
		var named [BothSides]Phases // by side
		for k := range targets {
			other := p.Assemblies.At(int(targets[k].row))
			if other.Circuit == row.Circuit && other.Duty == Tension && other.Side != NoSide {
				for _, side := range other.Side.each() {
					named[side] |= targets[k].phases
				}
			}
		}
		targets[i].maybe = targets[i].maybe || targets[i].phases&^(named[Back]&named[Ahead]) != 0
	}
}

// phasesIn are the phases of a line in a table of inspections.
type phasesIn struct {
	table uint16
	line  int
}

// isByOtherNames tells whether an inspection names phase B in a table that names the phases of the line at hand by colours where the line has
// letters, or the other way round: B is the second phase of A, B, C and the last of R, Y, B.
func (j *joining) isByOtherNames(in *Inspection) bool {
	letter := func(name string) Phases { return onePhase(name) }
	both := letter("B")
	if in.Phases == EveryPhase || (in.Phases|inLetters(in.Phases))&both == 0 {
		return false
	}
	letters, colours := letter("A")|letter("C"), letter("R")|letter("Y")|letter("red")|letter("yellow")
	there := Phases(0)
	for i := range j.n.Lines[j.line].Circuits {
		if of := j.n.Lines[j.line].Circuits[i].Phases; of != EveryPhase {
			there |= of
		}
	}
	named := j.phases[phasesIn{in.Source.Table, j.line}]
	inColours := named&colours != 0 || in.Phases&letter("blue") != 0
	return there&letters != 0 && there&colours == 0 && inColours || there&colours != 0 && there&letters == 0 && named&letters != 0
}

// targets are the placed rows of a structure of the line at hand that an inspection names. Earth wires and guys carry no phase, and are not looked at for it.
func (j *joining) targets(in *Inspection, structure int) (found []target) {
	n, p, line := j.n, j.n.Project, &j.n.Lines[j.line]
	for _, r := range n.AssemblyRows(structure) {
		row := p.Assemblies.At(int(r))
		if row.Duty == EarthWire || row.Duty == Guy {
			continue
		}
		t := target{row: r, maybe: in.Unread.Has(InspectedCircuit) || in.Unread.Has(InspectedPhase) || in.Unread.Has(InspectedSide)}
		switch {
		case in.Circuit == 0 || in.Circuit == row.Circuit:
		case row.Faulty.Has(CellCircuits):
			t.maybe = true
		default:
			if a := circuitNumber(p.Symbols.Text(in.Circuit)); a == 0 || a != circuitNumber(p.Symbols.Text(row.Circuit)) {
				continue
			}
		}
		switch {
		case in.Side == NoSide || row.Side == NoSide && row.Duty != Jumper || row.Side.Serves(in.Side):
		case row.Faulty.Has(CellSide):
			t.maybe = true
		default:
			continue
		}
		if row.Side == NoSide && row.Duty.HasSides() && in.Side != NoSide { // of a pair it is one, and which is not known
			t.maybe = true
		}
		if row.Side == NoSide && row.Duty.HasSides() && j.mayBeAnotherSide(structure, r) {
			t.maybe = true
		}
		own := n.phasesOfRow(line, &row)
		t.phases = in.Phases
		switch {
		case row.Faulty.Has(CellPhase):
			t.maybe = true
		case own != EveryPhase && in.Phases != EveryPhase:
			t.phases = own & (in.Phases | inLetters(in.Phases))
			if t.phases == 0 {
				continue
			}
		case own != EveryPhase:
			t.phases = own
		}
		if t.places = t.phases.Count(); t.phases == EveryPhase {
			t.places = 0
			if c := line.circuitIndex(row.Circuit); c >= 0 {
				t.places = line.phasesOf(&line.Circuits[c])
			}
		}
		switch {
		case row.Side == BothSides && (in.Side == Back || in.Side == Ahead):
			t.side = in.Side
		case row.Side == BothSides && !line.Closed && (structure == line.First || structure == line.End-1): // on one side, or on both where another line goes on
			t.places = 0
		case row.Side == BothSides, n.IsPair(int(r)) && in.Side == NoSide:
			t.places *= 2
		}
		found = append(found, t)
	}
	return found
}

// mayBeAnotherSide tells whether rows without a side were left out for repeating one: they may be of the other side, of which an inspection may be.
func (j *joining) mayBeAnotherSide(structure int, row uint32) bool {
	n, p := j.n, j.n.Project
	if n.IsPair(int(row)) {
		return false
	}
	a := p.Assemblies.At(int(row))
	return slices.ContainsFunc(n.leftOutOf(structure, structure+1), func(left leftOut) bool {
		other := p.Assemblies.At(int(left.row))
		return n.sameGroup(row, left.row) && p.samePhase(&a, &other)
	})
}

// phasesOfRow are the phases that a row is of; EveryPhase where nobody names them.
func (n *Network) phasesOfRow(line *Line, row *AssemblyRow) Phases {
	if row.Phases != EveryPhase {
		return row.Phases
	}
	if c := line.circuitIndex(row.Circuit); c >= 0 {
		return line.Circuits[c].Phases
	}
	return EveryPhase
}

// inLetters are the letters of phases that are named by colours, and the colours of those that are named by letters.
func inLetters(phases Phases) (other Phases) {
	for _, pair := range colourLetters {
		one, two := onePhase(pair[0]), onePhase(pair[1])
		if phases&one != 0 {
			other |= two
		}
		if phases&two != 0 {
			other |= one
		}
	}
	return other
}

// each lists the phases of a set one by one.
func (p Phases) each() (list []Phases) {
	for left := uint32(p); left != 0; left &= left - 1 {
		list = append(list, Phases(1)<<bits.TrailingZeros32(left))
	}
	return list
}
