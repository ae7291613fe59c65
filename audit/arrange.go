package audit

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"slices"

	"dryarc/audit/basis"
	"dryarc/geo"
)

// Arrange orders the rows of a project into lines of structures with their assemblies. Rows that cannot be placed, and
// rows that repeat another, become faults of the project; every row is either placed or left out.
// It fails only where the numbers of structures overflow their store.
func Arrange(p *Project) (*Network, error) {
	n := &Network{Project: p}
	routes := prepareRoutes(p)
	if p.RoutesAlone {
		if err := structuresFromRoutes(p, routes); err != nil {
			return nil, err
		}
	}
	n.arrangeLines(routes)
	at := n.placeRows()
	n.sortRows(at)
	for i := range n.Lines {
		n.findCircuits(&n.Lines[i])
	}
	n.leaveOutDuplicates()
	n.resolveVoltages()
	n.RowsLeftOut = p.RowsRead - n.RowsPlaced
	return n, nil
}

// arrangeLines groups the structures by line, lines in natural order of their names, and orders each line.
func (n *Network) arrangeLines(routes map[Symbol]*geo.Route) {
	p := n.Project
	rank := rankSymbols(p)
	order := make([]uint32, len(p.Structures))
	for i := range order {
		order[i] = uint32(i)
	}
	slices.SortStableFunc(order, func(a, b uint32) int {
		return cmp.Compare(rank[p.Structures[a].Line], rank[p.Structures[b].Line])
	})
	sheet := n.lineRows()
	n.structures = make([]station, len(order))
	for first := 0; first < len(order); {
		symbol := p.Structures[order[first]].Line
		end := first + 1
		for end < len(order) && p.Structures[order[end]].Line == symbol {
			end++
		}
		line := Line{Symbol: symbol, Row: UnknownLineRow(), First: first, End: end}
		if row, ok := sheet[symbol]; ok {
			line.Row = p.Lines[row]
		}
		route := routes[symbol]
		line.Ordering = orderStructures(p, order[first:end], route)
		if p.RoutesAlone {
			line.Ordering = ByRouteVertex
		}
		line.route = route
		line.Closed = route != nil && route.Closed() && line.Ordering >= ByRoute && line.Ordering <= ByRouteVertex && end-first > 2
		n.Lines = append(n.Lines, line)
		first = end
	}
	for i, row := range order {
		n.structures[i] = newStation(row)
	}
}

// rankSymbols returns for every symbol its place in natural order.
func rankSymbols(p *Project) []uint32 {
	byName := make([]Symbol, len(p.Symbols.texts))
	for i := range byName {
		byName[i] = Symbol(i)
	}
	slices.SortFunc(byName, func(a, b Symbol) int {
		return naturalCompare([]byte(p.Symbols.Text(a)), []byte(p.Symbols.Text(b)))
	})
	rank := make([]uint32, len(byName))
	for place, symbol := range byName {
		rank[symbol] = uint32(place)
	}
	return rank
}

// lineRows finds the row of the Lines sheet for each line; the first of two wins, and a row of no line is a fault.
func (n *Network) lineRows() map[Symbol]int {
	p := n.Project
	known := map[Symbol]bool{}
	for i := range p.Structures {
		known[p.Structures[i].Line] = true
	}
	rows := map[Symbol]int{}
	for i, row := range p.Lines {
		name := p.Symbols.Text(row.Line)
		if _, twice := rows[row.Line]; twice {
			p.Faults.Add(Fault{Kind: DuplicateRow, At: row.Source, Column: "Line", Value: name,
				Expected: "stands in an earlier row of this sheet, which is used"})
			continue
		}
		rows[row.Line] = i
		if !known[row.Line] {
			p.Faults.Add(Fault{Kind: NoSuchLine, At: row.Source, Column: "Line", Value: name,
				Expected: "is no line of the structures"})
		}
	}
	return rows
}

// lineOf returns the place of each line by its symbol, −1 for symbols that are none.
func (n *Network) lineOf() []int32 {
	lines := make([]int32, len(n.Project.Symbols.texts)+1)
	for i := range lines {
		lines[i] = nowhere
	}
	for i, line := range n.Lines {
		lines[line.Symbol] = int32(i)
	}
	return lines
}

// placeRows finds the structure of every assembly row, −1 where there is none. It joins by sorting: each line's
// structures once by the bytes of their numbers, then each run of rows that name one structure by bisection.
func (n *Network) placeRows() []int32 {
	p := n.Project
	lines := n.lineOf()
	byNumber := make([]uint32, len(n.structures))
	number := func(structure uint32) []byte {
		return p.Texts.bytes(p.Structures[n.structures[structure].row].Number)
	}
	for _, line := range n.Lines {
		part := byNumber[line.First:line.End]
		for i := range part {
			part[i] = uint32(line.First + i)
		}
		slices.SortFunc(part, func(a, b uint32) int { return cmp.Or(bytes.Compare(number(a), number(b)), cmp.Compare(a, b)) })
	}
	at := make([]int32, len(p.Assemblies))
	for i := range p.Assemblies {
		row := &p.Assemblies[i]
		at[i] = nowhere
		wanted := p.Texts.bytes(row.Number)
		if i > 0 && row.Line == p.Assemblies[i-1].Line && bytes.Equal(wanted, p.Texts.bytes(p.Assemblies[i-1].Number)) && at[i-1] >= 0 {
			at[i] = at[i-1]
			continue
		}
		line := lines[row.Line]
		if line < 0 {
			p.Faults.Add(Fault{Kind: NoSuchLine, At: row.Source, Column: "Line", Value: p.Symbols.Text(row.Line),
				Expected: "is no line of the structures; the row is left out"})
			continue
		}
		part := byNumber[n.Lines[line].First:n.Lines[line].End]
		place, found := slices.BinarySearchFunc(part, wanted, func(structure uint32, text []byte) int {
			return bytes.Compare(number(structure), text)
		})
		if !found {
			p.Faults.Add(Fault{Kind: NoSuchStructure, At: row.Source, Column: "Structure", Value: string(wanted),
				Expected: fmt.Sprintf("is no structure of line %q; the row is left out", p.Symbols.Text(row.Line))})
			continue
		}
		at[i] = int32(part[place])
	}
	return at
}

// sortRows brings the placed rows into the order of their structures, and within one by circuit, duty, side and the
// order of the register.
func (n *Network) sortRows(at []int32) {
	p := n.Project
	rank := rankSymbols(p)
	n.placed = make([]uint32, 0, len(at))
	for i, structure := range at {
		if structure >= 0 {
			n.placed = append(n.placed, uint32(i))
		}
	}
	slices.SortFunc(n.placed, func(a, b uint32) int {
		x, y := &p.Assemblies[a], &p.Assemblies[b]
		return cmp.Or(cmp.Compare(at[a], at[b]), cmp.Compare(rank[x.Circuit], rank[y.Circuit]), cmp.Compare(x.Duty, y.Duty),
			cmp.Compare(x.Side, y.Side), cmp.Compare(a, b))
	})
	next := 0
	for i := range n.structures {
		n.structures[i].firstAssembly = uint32(next)
		for next < len(n.placed) && at[n.placed[next]] == int32(i) {
			next++
		}
	}
}

// findCircuits lists the circuits of a line and the phases each has: those the Lines sheet states, else those that
// the rows of the register name. A circuit that the sheet counts is expected along the whole line, another one
// from the first to the last structure that has it; it ends there where another circuit goes on.
func (n *Network) findCircuits(line *Line) {
	p := n.Project
	for structure := line.First; structure < line.End; structure++ {
		for _, r := range n.AssemblyRows(structure) {
			row := &p.Assemblies[r]
			line.RowsPlaced++
			if row.Duty != DutyUnknown && !row.Duty.CarriesPhase() {
				continue
			}
			i := slices.IndexFunc(line.Circuits, func(c Circuit) bool { return c.Symbol == row.Circuit })
			if i < 0 {
				i = len(line.Circuits)
				line.Circuits = append(line.Circuits, Circuit{Symbol: row.Circuit, First: structure})
			}
			line.Circuits[i].Last = structure
			if row.Phases != EveryPhase {
				line.Circuits[i].Phases |= row.Phases
			}
		}
	}
	if line.Row.Circuits > 0 && line.RowsPlaced > 0 {
		n.expectStatedCircuits(line)
	}
	markCircuitEnds(line.Circuits)
	slices.SortFunc(line.Circuits, func(a, b Circuit) int {
		return naturalCompare([]byte(p.Symbols.Text(a.Symbol)), []byte(p.Symbols.Text(b.Symbol)))
	})
	for i := range line.Circuits {
		c := &line.Circuits[i]
		if line.Row.Phases != 0 {
			c.Phases = line.Row.Phases
		}
		if c.Phases == 0 {
			c.Phases = EveryPhase
		}
	}
}

// goesOn is how many structures farther another circuit must be registered for a circuit to count as ending: a single
// structure without rows is no end.
const goesOn = 3

func markCircuitEnds(circuits []Circuit) {
	for i := range circuits {
		for _, other := range circuits {
			circuits[i].EndsFirst = circuits[i].EndsFirst || other.First <= circuits[i].First-goesOn
			circuits[i].EndsLast = circuits[i].EndsLast || other.Last >= circuits[i].Last+goesOn
		}
	}
}

// expectStatedCircuits widens the circuits that the Lines sheet counts to the whole line, and adds those of which the
// register has no row, as long as circuits go by the numbers 1, 2, …
func (n *Network) expectStatedCircuits(line *Line) {
	for number := 1; len(line.Circuits) < line.Row.Circuits && number <= line.Row.Circuits; number++ {
		symbol := n.Project.Symbols.Number(fmt.Sprint(number))
		if !slices.ContainsFunc(line.Circuits, func(c Circuit) bool { return c.Symbol == symbol }) {
			line.Circuits = append(line.Circuits, Circuit{Symbol: symbol})
		}
	}
	if len(line.Circuits) <= line.Row.Circuits {
		for i := range line.Circuits {
			line.Circuits[i].First, line.Circuits[i].Last = line.First, line.End-1
		}
	}
}

// leaveOutDuplicates keeps the first of the rows that name one phase of one line, structure, circuit, side and duty.
func (n *Network) leaveOutDuplicates() {
	p := n.Project
	kept := n.placed[:0]
	next := 0
	for i := range n.structures {
		end := len(n.placed)
		if i+1 < len(n.structures) {
			end = int(n.structures[i+1].firstAssembly)
		}
		n.structures[i].firstAssembly = uint32(len(kept))
		var taken Phases
		for ; next < end; next++ {
			row := &p.Assemblies[n.placed[next]]
			if len(kept) == int(n.structures[i].firstAssembly) || !sameGroup(row, &p.Assemblies[kept[len(kept)-1]]) {
				taken = 0
			}
			named := row.Faulty&keyCells == 0 && // what a faulty cell would have said is not known
				(row.Duty.CarriesPhase() || row.Phases != EveryPhase) // two earth wires share no phase
			if named && taken&row.Phases != 0 {
				p.Faults.Add(Fault{Kind: DuplicateRow, At: row.Source, Column: "Structure", Value: string(p.Texts.bytes(row.Number)),
					Expected: "has an earlier row for this circuit, phase, side and duty, which is used; the row is left out"})
				continue
			}
			if named {
				taken |= row.Phases
			}
			kept = append(kept, n.placed[next])
		}
	}
	n.placed = kept
	n.RowsPlaced = len(kept)
}

// keyCells are the cells that tell one assembly from another at a structure.
const keyCells = Cells(1<<CellPhase | 1<<CellCircuits | 1<<CellDuty | 1<<CellSide)

func sameGroup(a, b *AssemblyRow) bool {
	return a.Circuit == b.Circuit && a.Duty == b.Duty && a.Side == b.Side
}

// resolveVoltages finds for each line the highest voltage and the voltage along a string.
func (n *Network) resolveVoltages() {
	for i := range n.Lines {
		line := &n.Lines[i]
		line.HighestKV = line.Row.HighestKV
		if math.IsNaN(line.HighestKV) && !line.Row.Faulty.Has(CellVoltage) {
			if um, ok := basis.HighestVoltage(line.Row.NominalKV); ok {
				line.HighestKV, line.HighestAssumed = um, true
			}
		}
		line.PhaseToEarthKV, line.NoVoltage = phaseToEarth(line)
		line.WetKV = wetLevel(line)
	}
}

func phaseToEarth(line *Line) (float64, Reason) {
	row := &line.Row
	switch {
	case row.System == DirectCurrent:
		return math.NaN(), DirectCurrentLine
	case !math.IsNaN(row.CreepageKV):
		return row.CreepageKV, NoReason
	case row.Faulty.Has(CellVoltage):
		return math.NaN(), FaultyField
	case math.IsNaN(line.HighestKV) && math.IsNaN(row.NominalKV):
		return math.NaN(), VoltageUnknown
	case basis.IsLowVoltage(row.NominalKV) || basis.IsLowVoltage(line.HighestKV):
		return math.NaN(), LowVoltage
	case math.IsNaN(line.HighestKV):
		return math.NaN(), VoltageNotStandard
	case row.System != SystemUnknown && row.System != Earthed:
		return math.NaN(), NeutralNotEarthed
	}
	return basis.PhaseToEarth(line.HighestKV), NoReason
}

// wetLevel is the standard power frequency level of the pair to which the line's lightning level belongs; range I
// only, NaN where the level is no standard one.
func wetLevel(line *Line) float64 {
	level, _ := basis.PowerFrequencyLevel(line.HighestKV, line.Row.LightningKV)
	return level
}

// VoltageKV is the nominal voltage, else the highest: what tells whether two lines are of the same voltage and whether a
// line is of low voltage; NaN if unknown.
func (l *Line) VoltageKV() float64 {
	if !math.IsNaN(l.Row.NominalKV) {
		return l.Row.NominalKV
	}
	return l.HighestKV
}
