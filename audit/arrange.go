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
	n := newNetwork(p)
	n.unplaced = slices.Clone(p.UnplacedStructures)
	n.matchLines()
	n.lost = findLost(p)
	listed := len(p.Faults.list)
	routes := prepareRoutes(p)
	n.found(ofRoutes, nowhere, listed)
	if p.RoutesAlone {
		if err := structuresFromRoutes(p, routes); err != nil {
			return nil, err
		}
	}
	sheet := n.lineRows()
	listed = len(p.Faults.list)
	n.arrangeLines(routes, sheet)
	n.takeRules()
	at, _ := n.placeRows(0)
	n.found(ofPlaces, nowhere, listed)
	n.sortRows(at)
	n.settleLines()
	return n, nil
}

func newNetwork(p *Project) *Network {
	return &Network{Project: p, sites: new(once[site]), crossings: new(once[spanCrosses]), subjects: new(sync.Pool)}
}

// settleLines finds what hangs on the lines by the rows that are placed, and what of it is in doubt.
func (n *Network) settleLines() {
	p := n.Project
	for i := range n.Lines {
		if n.isTaken(i) {
			n.equal.takeLine(&n.like.equal, n.Lines[i].Symbol)
		}
		n.settle(ofNames, i, func(line *Line) {
			n.doubtBlankCircuits(line)
			n.matchCircuits(line)
			n.matchPhases(line)
			n.doubtPhaseCounts(line)
		})
	}
	n.rank = rankSymbols(p) // with the circuits that were written otherwise
	for i := range n.Lines {
		n.settle(ofCircuits, i, n.findCircuits)
	}
	n.leaveOutDuplicates()
	n.joinInspections()
	for i := range n.Lines {
		n.settle(ofVoltages, i, n.resolveVoltages)
	}
	for i := range n.Lines {
		n.settle(ofFigures, i, func(line *Line) {
			n.doubtFigures(line)
			n.tellSuperseded(line)
		})
	}
	n.counted = nil
	n.RowsLeftOut = p.RowsRead - p.RowsPassedOver - n.RowsPlaced
}

// arrangeLines groups the structures by line, lines in natural order of their names, and orders each line.
func (n *Network) arrangeLines(routes map[Symbol]*geo.Route, sheet *sheetLines) {
	p := n.Project
	rank := rankSymbols(p)
	order := make([]uint32, p.Structures.Len())
	for i := range order {
		order[i] = uint32(i)
	}
	slices.SortStableFunc(order, func(a, b uint32) int {
		return cmp.Compare(rank[p.Structures.ownOf(a).Line], rank[p.Structures.ownOf(b).Line])
	})
	ordered := order[:0]
	for len(order) > 0 {
		symbol, count := p.Structures.ownOf(order[0]).Line, 1
		for count < len(order) && p.Structures.ownOf(order[count]).Line == symbol {
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
		line := Line{Symbol: symbol, Row: sheet.of(p, symbol), First: first, End: end}
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
