package audit

import (
	"cmp"
	"slices"
	"sync"

	"dryarc/geo"
)

// Arrange orders the rows of a project into lines of structures with their assemblies. Rows that cannot be placed, and
// rows that repeat another, become faults of the project; every row is either placed or left out.
// It fails only where the numbers of structures overflow their store.
func Arrange(p *Project) (*Network, error) {
	n := &Network{Project: p, unplaced: slices.Clone(p.UnplacedStructures), sites: new(once[site]), crossings: new(once[spanCrosses]), subjects: new(sync.Pool)}
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
		n.doubtBlankCircuits(&n.Lines[i])
		n.matchCircuits(&n.Lines[i])
		n.matchPhases(&n.Lines[i])
		n.doubtPhaseCounts(&n.Lines[i])
	}
	n.rank = rankSymbols(p) // with the circuits that were written otherwise
	for i := range n.Lines {
		n.findCircuits(&n.Lines[i])
	}
	n.leaveOutDuplicates()
	n.joinInspections()
	n.resolveVoltages()
	for i := range n.Lines {
		n.doubtFigures(&n.Lines[i])
		n.tellSuperseded(&n.Lines[i])
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
	sheet, somewhere := n.lineRows()
	ordered := order[:0]
	for len(order) > 0 {
		symbol, count := p.Structures[order[0]].Line, 1
		for count < len(order) && p.Structures[order[count]].Line == symbol {
			count++
		}
		own := order[:count]
		order = order[count:]
		if !p.RoutesAlone {
			own = n.joinTwice(own)
		}
		if len(own) == 0 {
			continue
		}
		first, end := len(ordered), len(ordered)+len(own)
		ordered = append(ordered, own...)
		own = ordered[first:]
		line := Line{Symbol: symbol, Row: UnknownLineRow(), First: first, End: end}
		if row, ok := sheet[symbol]; ok {
			line.Row = row
		} else {
			line.Row.Superseded = somewhere
			if p.LinesUnnamed {
				line.Row.Faulty = EveryCell
			}
		}
		route := routes[symbol]
		line.Ordering = orderStructures(p, own, route)
		line.CourseFaulty = orderFaulty(p, own, line.Ordering)
		if p.RoutesAlone {
			line.Ordering = ByRouteVertex
		}
		line.route = route
		line.Closed = route != nil && route.Closed() && line.Ordering >= ByRoute && line.Ordering <= ByRouteVertex && end-first > 2
		n.Lines = append(n.Lines, line)
	}
	n.newStations(ordered)
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
