package audit

import (
	"cmp"
	"slices"

	"dryarc/geo"
)

// Arrange orders the rows of a project into lines of structures with their assemblies. Rows that cannot be placed, and
// rows that repeat another, become faults of the project; every row is either placed or left out.
// It fails only where the numbers of structures overflow their store.
func Arrange(p *Project) (*Network, error) {
	n := &Network{Project: p}
	n.matchLines()
	n.lost = findLost(p)
	routes := prepareRoutes(p)
	if p.RoutesAlone {
		if err := structuresFromRoutes(p, routes); err != nil {
			return nil, err
		}
	}
	n.arrangeLines(routes)
	n.takeRules()
	at := n.placeRows()
	n.sortRows(at)
	for i := range n.Lines {
		n.matchCircuits(&n.Lines[i])
		n.matchPhases(&n.Lines[i])
	}
	n.rank = rankSymbols(p) // with the circuits that were written otherwise
	for i := range n.Lines {
		n.findCircuits(&n.Lines[i])
	}
	n.leaveOutDuplicates()
	n.resolveVoltages()
	for i := range n.Lines {
		n.doubtFigures(&n.Lines[i])
	}
	n.RowsLeftOut = p.RowsRead - p.RowsPassedOver - n.RowsPlaced
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
		} else if p.LinesUnnamed {
			line.Row.Faulty = EveryCell
		}
		route := routes[symbol]
		line.Ordering = orderStructures(p, order[first:end], route)
		line.CourseFaulty = orderFaulty(p, order[first:end], line.Ordering)
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
				Expected: "is no line of the structures" + n.ambiguousLines[row.Line]})
		}
	}
	return rows
}
