package audit

import (
	"context"
	"math"
	"slices"
	"sync"

	"dryarc/geo"
)

// Derive finds what geometry tells: per line the ends, spans, chainages, deviations, pollution zones, crossings and
// weight spans, then over the whole network the tees, shared structures and lines that run on. Suspicious geometry
// becomes faults of the project. workers is how many lines are worked on at a time. It fails only when ctx ends.
func Derive(ctx context.Context, n *Network, workers int) error { return derive(ctx, n, nil, workers) }

// DeriveLike is Derive for a network whose project is a copy of that of another, which is derived already, with other assemblies, rows of
// lines or rules: what only positions tell is taken from there, so that no polygon is prepared again for a line whose rules are the same.
func DeriveLike(ctx context.Context, n, was *Network, workers int) error {
	if !n.hasStructuresOf(was) {
		was = nil
	}
	return derive(ctx, n, was, workers)
}

func derive(ctx context.Context, n, was *Network, workers int) error {
	if was == nil {
		n.doubtLevels()
	}
	n.resolveConductors()
	layers := n.prepareLayers()
	faults := make([][]Fault, len(n.Lines))
	n.shareOf(was)
	var near sync.WaitGroup
	if was != nil && n.hasNeighboursOf(was) {
		n.near = was.near
	} else {
		near.Go(func() { n.near = n.neighbours() }) // beside the lines, since it works on none of them
	}
	err := n.eachLine(ctx, workers, everyLine, func(i int) {
		faults[i] = append(n.deriveLine(i, layers, was), n.suspect(&n.Lines[i])...)
	})
	near.Wait()
	if err != nil {
		return err
	}
	for _, found := range faults {
		for _, fault := range found {
			n.Project.Faults.Add(fault)
		}
	}
	n.suspectZones(layers.zones[0])
	n.markLost()
	n.missAtStrays()
	n.markNetwork()
	n.Project.keyFaults()
	return nil
}

// layers are the areas and barriers of the project, prepared for look-up when first asked for.
type layers struct {
	zones    []func() *zoneAreas // by the rules under which they stand
	barriers func() (exact, broken *geo.Barriers)
	kinds    []uint64 // bit of each crossing's kind
	mayCross uint64   // kinds of crossings that may lie anywhere
}

func (n *Network) prepareLayers() layers {
	p := n.Project
	in := layers{zones: make([]func() *zoneAreas, len(p.Rules)+1), kinds: make([]uint64, len(p.Crossings))}
	for rules := range in.zones {
		in.zones[rules] = sync.OnceValue(func() *zoneAreas { return n.prepareZones(rules) })
	}
	for i, crossing := range p.Crossings {
		kind := p.Symbols.Text(crossing.Kind)
		if crossing.Kind == 0 {
			kind = UnreadableKind
		}
		in.kinds[i] = n.kindBit(kind)
		if crossing.Anywhere {
			in.mayCross |= in.kinds[i]
		}
	}
	in.barriers = sync.OnceValues(n.prepareBarriers)
	return in
}

// prepareBarriers makes crossings ready for look-up; broken are boxes in which some may lie.
func (n *Network) prepareBarriers() (exact, broken *geo.Barriers) {
	var known, boxes []geo.Barrier
	for i, crossing := range n.Project.Crossings {
		barrier := geo.Barrier{Lines: crossing.Lines, Polygons: crossing.Polygons, Key: i}
		switch {
		case crossing.Anywhere:
		case crossing.Broken:
			boxes = append(boxes, barrier)
		default:
			known = append(known, barrier)
		}
	}
	return geo.NewBarriers(known), geo.NewBarriers(boxes)
}

// hasStructuresOf tells whether the structures of all lines are those of another network, in the same order, with the same spans.
func (n *Network) hasStructuresOf(was *Network) bool {
	return n.Project.Structures.are(was.Project.Structures) && sameStore(n.Project.Crossings, was.Project.Crossings) &&
		slices.EqualFunc(n.Lines, was.Lines, func(a, b Line) bool {
			return a.Symbol == b.Symbol && a.First == b.First && a.End == b.End && a.Closed == b.Closed
		}) && (sameStore(n.courses, was.courses) || slices.EqualFunc(n.courses, was.courses, func(a, b course) bool { return a.row == b.row }))
}

// hasZonesOf tells whether a line stands under the same zones and criteria as in a network with the same structures.
func (n *Network) hasZonesOf(was *Network, line int) bool {
	rules := n.Lines[line].rules
	return sameStore(n.Project.Zones, was.Project.Zones) && rules == was.Lines[line].rules && (rules == 0 || sameStore(n.Project.Rules, was.Project.Rules))
}

// sameStore tells whether two slices are one.
func sameStore[T any](a, b []T) bool { return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0]) }

// shareOf takes what only positions and zones tell from a network with the same structures, or makes room for it where that is nil.
func (n *Network) shareOf(was *Network) {
	switch {
	case was != nil:
		n.courses, n.chainages, n.crossings = was.courses, was.chainages, was.crossings
	case n.like != nil:
		n.newCourses(len(n.structures), func(i int) uint32 { return n.like.courses[i].row })
	}
	switch {
	case was != nil && n.allZonesOf(was):
		n.around, n.sites = was.around, was.sites
	case n.around == nil:
		n.around = make([]surroundings, len(n.structures))
	}
}

// allZonesOf is hasZonesOf every line.
func (n *Network) allZonesOf(was *Network) bool {
	for l := range n.Lines {
		if !n.hasZonesOf(was, l) {
			return false
		}
	}
	return true
}

// deriveLine finds what the geometry of a line tells, and what contradicts it; was is a network that has the same structures, nil for none.
func (n *Network) deriveLine(l int, in layers, was *Network) (faults []Fault) {
	line := &n.Lines[l]
	if was == nil {
		n.deriveCourse(line, in)
	}
	faults = append(n.doubtSlack(line), n.doubtCases(line)...)
	for i := line.First; i < line.End; i++ {
		n.structures[i].set(terminal, n.endsHere(line, i))
	}
	switch {
	case was != nil && n.sites == was.sites:
	case was != nil && n.hasZonesOf(was, l):
		for i := line.First; i < line.End; i++ {
			n.stand(i, was.siteOf(i))
			n.around[i].nearZoneM = was.around[i].nearZoneM
		}
	default:
		zones := in.zones[line.zones]()
		for i := line.First; i < line.End; i++ {
			n.lookUpZone(line, i, zones)
		}
	}
	taken := was != nil && was == n.like && n.isTaken(l)
	if taken || was != nil && was == n.like && n.hasProfileOf(was, l) {
		copy(n.profiles[line.First:line.End], was.profiles[line.First:line.End])
	} else {
		n.deriveProfile(l)
	}
	if !taken {
		line.Usual = n.usualStrings(l)
	}
	return faults
}

// deriveCourse finds the spans of a line, what they cross and where they turn.
func (n *Network) deriveCourse(line *Line, in layers) {
	var chainage float64
	barriers, broken := in.barriers()
	arriving := math.NaN()
	if line.Closed {
		arriving = n.leg(line.End-1, line.First).AzimuthIn
	}
	for i := line.First; i < line.End; i++ {
		st := &n.courses[i]
		here := n.Position(i)
		if i%chainageStep == 0 {
			n.chainages[i/chainageStep] = chainage
		}
		next := n.next(line, i)
		if next < 0 {
			arriving = math.NaN()
			if i+1 < line.End {
				chainage += n.leg(i, i+1).LengthM
			}
			continue
		}
		leg := n.leg(i, next)
		st.spanAheadM = leg.LengthM
		st.deviationDeg = geo.Deviation(arriving, leg.AzimuthOut)
		chainage += leg.LengthM
		arriving = leg.AzimuthIn
		by := spanCrosses{mayCross: in.mayCross}
		barriers.Crossed(here, n.Position(next), func(key int) { by.crossed |= in.kinds[key] })
		broken.Crossed(here, n.Position(next), func(key int) { by.mayCross |= in.kinds[key] })
		n.cross(i, by)
	}
}
