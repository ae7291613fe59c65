package audit

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"slices"

	"dryarc/geo"

	"github.com/paulmach/orb"
)

// Ordering is the rule that put the structures of a line in order.
type Ordering uint8

// The rules, in the order they are tried.
const (
	BySequence     Ordering = iota // every structure has a sequence
	ByNumber                       // every structure number has a digit
	ByRoute                        // chainage along the line's route
	ByRouteVertex                  // no structures given: every vertex of the route is one
	ByNumberPoorly                 // natural order of numbers, for want of anything better
)

var orderingNames = [...]string{"sequence", "structure number", "route", "vertices of the route", "structure number, some without a digit"}

func (o Ordering) String() string { return orderingNames[o] }

// orderStructures orders the structures of one line in place. route may be nil.
func orderStructures(p *Project, rows []uint32, route *geo.Route) Ordering {
	number := func(row uint32) []byte { return p.Texts.bytes(p.Structures.ownOf(row).Number) }
	byNumber := func(a, b uint32) int {
		return cmp.Or(naturalCompare(number(a), number(b)), cmp.Compare(a, b))
	}
	if !slices.ContainsFunc(rows, func(row uint32) bool { return math.IsNaN(p.Structures.ownOf(row).Sequence) }) {
		slices.SortFunc(rows, func(a, b uint32) int {
			return cmp.Or(cmp.Compare(p.Structures.ownOf(a).Sequence, p.Structures.ownOf(b).Sequence), byNumber(a, b))
		})
		return BySequence
	}
	slices.SortFunc(rows, byNumber)
	switch {
	case numbersTell(rows, number):
		return ByNumber
	case route == nil:
		return ByNumberPoorly
	}
	orderAlongRoute(p, rows, route)
	return ByRoute
}

// orderFaulty tells whether the order of a line rests on what stands in for a sequence that is blank or cannot be read: some of
// its structures have one, and these do not rise in the order found or leave room elsewhere; or it has no route, and a route names no
// line. A blank one is a fault then.
func orderFaulty(p *Project, rows []uint32, ordering Ordering) bool {
	if ordering == ByNumberPoorly && p.RoutesUnnamed {
		return true
	}
	isFaulty, stated, blank, rises, last := false, 0, nowhere, true, math.Inf(-1)
	for i, row := range rows {
		r := p.Structures.At(int(row))
		isFaulty = isFaulty || r.Faulty.Has(CellSequence)
		switch {
		case !math.IsNaN(r.Sequence):
			stated++
			rises = rises && r.Sequence >= last
			last = r.Sequence
		case blank < 0 && !r.Faulty.Has(CellSequence):
			blank = i
		}
	}
	if !isFaulty && (blank < 0 || stated == 0) || rises && ordering != ByNumberPoorly && !roomElsewhere(p, rows) {
		return false
	}
	if blank >= 0 && stated > 0 {
		r := p.Structures.At(int(rows[blank]))
		p.Faults.Add(Fault{Kind: MissingValue, At: r.Source, Column: "sequence",
			Expected: fmt.Sprintf("is blank, though other structures of line %q have one, and the place of structure %q among them is not plain; what depends on the order of the line is not assessed",
				p.Symbols.Text(r.Line), p.Texts.Get(r.Number))})
	}
	return isFaulty || blank >= 0
}

// roomElsewhere tells whether sequences that otherwise rise by one step leave room between two structures, so that one without
// a sequence may stand there and not where its number puts it.
func roomElsewhere(p *Project, rows []uint32) bool {
	var steps []float64
	before, between := math.NaN(), 0.0
	for _, row := range rows {
		sequence := p.Structures.ownOf(row).Sequence
		if math.IsNaN(sequence) {
			between++
			continue
		}
		if !math.IsNaN(before) {
			steps = append(steps, (sequence-before)/(between+1))
		}
		before, between = sequence, 0
	}
	if len(steps) == 0 {
		return false
	}
	slices.Sort(steps)
	usual, regular := steps[len(steps)/2], 0
	for _, step := range steps {
		if step == usual {
			regular++
		}
	}
	return regular*2 > len(steps) && steps[len(steps)-1] >= 2*usual
}

// numbersTell tells whether sorted structure numbers can order a line: each has a digit and stands once.
func numbersTell(rows []uint32, number func(uint32) []byte) bool {
	for i, row := range rows {
		if !slices.ContainsFunc(number(row), isDigit) || i > 0 && bytes.Equal(number(row), number(rows[i-1])) {
			return false
		}
	}
	return true
}

// orderAlongRoute orders rows, which stand in natural order of their numbers, by chainage along the route. Where more
// numbers fall than rise along the route as it is drawn, the rising numbers set the direction.
func orderAlongRoute(p *Project, rows []uint32, route *geo.Route) {
	at := make(map[uint32]float64, len(rows))
	rank := make(map[uint32]int, len(rows))
	for i, row := range rows {
		chainage, _ := route.Locate(p.Structures.place(row))
		at[row], rank[row] = chainage, i
	}
	slices.SortStableFunc(rows, func(a, b uint32) int { return cmp.Compare(at[a], at[b]) })
	rising, last := 0, -1
	for _, row := range rows {
		if !slices.ContainsFunc(p.Texts.bytes(p.Structures.ownOf(row).Number), isDigit) {
			continue
		}
		if last >= 0 {
			rising += cmp.Compare(rank[row], last)
		}
		last = rank[row]
	}
	if rising < 0 {
		slices.Reverse(rows)
	}
}

// prepareRoutes joins the routes of each line. A route that cannot be used is a fault; so are pieces that do not meet.
func prepareRoutes(p *Project) map[Symbol]*geo.Route {
	parts := map[Symbol][][]orb.Point{}
	var lines []Symbol
	source := map[Symbol]Source{}
	for _, r := range p.Routes {
		if _, seen := parts[r.Line]; !seen {
			lines = append(lines, r.Line)
			source[r.Line] = r.Source
		}
		parts[r.Line] = append(parts[r.Line], r.Parts...)
	}
	routes := map[Symbol]*geo.Route{}
	for _, line := range lines {
		route, err := geo.NewRoute(parts[line])
		if err != nil {
			p.Faults.Add(Fault{Kind: BadGeometry, At: source[line], Column: "route", Value: p.Symbols.Text(line),
				Expected: "has no usable route: " + err.Error()})
			continue
		}
		if route.Pieces() > 1 {
			p.Faults.Add(Fault{Kind: BadGeometry, At: source[line], Column: "route", Value: p.Symbols.Text(line),
				Expected: fmt.Sprintf("has a route of %d pieces whose ends do not meet; chainage runs on without the gaps", route.Pieces())})
		}
		routes[line] = route
	}
	return routes
}

// structuresFromRoutes makes every vertex of the routes a structure, numbered from 1 along the route. A closed route
// has no vertex twice.
func structuresFromRoutes(p *Project, routes map[Symbol]*geo.Route) error {
	done := map[Symbol]bool{}
	for _, r := range p.Routes {
		route := routes[r.Line]
		if route == nil || done[r.Line] {
			continue
		}
		done[r.Line] = true
		points := route.Points()
		if route.Closed() {
			points = points[:len(points)-1]
		}
		for i, point := range points {
			number, err := p.Texts.Add(fmt.Sprint(i + 1))
			if err != nil {
				return err
			}
			p.Structures.Append(StructureRow{
				Lon: point[0], Lat: point[1], Sequence: float64(i + 1), GroundM: math.NaN(), AttachmentM: math.NaN(),
				DeviationLimitDeg: math.NaN(), Line: r.Line, Number: number, Source: r.Source,
			})
		}
	}
	return nil
}
