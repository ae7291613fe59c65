package audit

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"dryarc/audit/basis"
	"dryarc/geo"

	"github.com/paulmach/orb"
)

// Within how many standard errors of borders what zones ask for is looked for, in how many directions, and at how many distances in each standard
// error (choices of this program): a zone that is narrower than all of these and whose border is nowhere nearest may be passed over.
const (
	bordersReach      = 3
	bordersDirections = 72
	bordersRings      = 4
)

// zoneStep is what zones ask for from some distance of a structure on, in metres: a zone of Network.Zones, nowhere for the default class.
type zoneStep struct {
	distM float64
	zone  int32
	rank  int
}

// zoneSteps are what zones ask for most, and least, within growing distances of a structure: what is asked where their borders are off by as much.
type zoneSteps struct{ more, less []zoneStep }

// borders finds what zones ask for around structures.
type borders struct {
	n     *Network
	areas []func() *zoneAreas // by rules
}

func (n *Network) newBorders() *borders {
	b := &borders{n: n, areas: make([]func() *zoneAreas, len(n.Project.Rules)+1)}
	for rules := range b.areas {
		b.areas[rules] = sync.OnceValue(func() *zoneAreas { return n.prepareZones(rules) })
	}
	return b
}

// around finds the steps of a structure within some standard errors of its borders. Where a zone in doubt leaves open what is asked there are none.
func (b *borders) around(s *Structure, sigmaM float64) (steps zoneSteps) {
	n := b.n
	if !(sigmaM > 0) || n.siteOf(s.Index).doubt != certain || len(n.Zones) == 0 {
		return steps
	}
	line := &n.Lines[s.Line]
	in := b.areas[line.zones]()
	defaultRank := -1 // without a default class nothing is asked outside
	if class := n.criteriaOf(line).DefaultClass; class != basis.ClassUnknown {
		defaultRank = n.zoneRank(&Zone{Class: class, rules: line.rules})
	}
	asked := func(p orb.Point, distM float64) zoneStep {
		if zone, ok := in.known.Worst(p); ok {
			return zoneStep{distM, int32(zone), n.zoneRank(&n.Zones[zone])}
		}
		return zoneStep{distM, nowhere, defaultRank}
	}
	var found []zoneStep
	here, withinM := n.Position(s.Index), bordersReach*sigmaM
	in.known.EachBorder(here, withinM, func(from, to orb.Point, distM float64) {
		beyond := 1 + max(1e-6, 1e-3/max(distM, 1e-3)) // what lies just beyond the border
		p := orb.Point{math.Remainder(from[0]+(to[0]-from[0])*beyond, 360), from[1] + (to[1]-from[1])*beyond}
		found = append(found, asked(p, distM))
	})
	if len(found) == 0 {
		return steps
	}
	start := asked(here, 0)
	for direction := range bordersDirections {
		sin, cos := math.Sincos(2 * math.Pi * float64(direction) / bordersDirections)
		at := func(distM float64) zoneStep { return asked(geo.Beside(here, distM*sin, distM*cos), distM) }
		last := start
		for ring := 1; ring <= bordersReach*bordersRings; ring++ {
			next := at(sigmaM * float64(ring) / bordersRings)
			if next.rank != last.rank {
				found = append(found, turning(last, next, at))
			}
			last = next
		}
	}
	slices.SortStableFunc(found, func(a, b zoneStep) int { return cmp.Compare(a.distM, b.distM) })
	most, least := start.rank, start.rank
	for _, at := range found {
		switch {
		case at.rank > most:
			most, steps.more = at.rank, append(steps.more, at)
		case at.rank < least:
			least, steps.less = at.rank, append(steps.less, at)
		}
	}
	return steps
}

// turning finds where on the way from one distance to another what is asked becomes that of the other.
func turning(from, to zoneStep, at func(distM float64) zoneStep) zoneStep {
	for range 12 {
		if middle := at((from.distM + to.distM) / 2); middle.rank == to.rank {
			to = middle
		} else {
			from.distM = middle.distM
		}
	}
	return to
}

// atMore and atLess are the last steps within a distance: a border that comes as far as the structure holds it, so that what asks for less does
// not hold yet there. ok is false where nothing changes.
func (z *zoneSteps) atMore(distM float64) (at zoneStep, ok bool) {
	for _, step := range z.more {
		if step.distM <= distM {
			at, ok = step, true
		}
	}
	return at, ok
}

func (z *zoneSteps) atLess(distM float64) (at zoneStep, ok bool) {
	for _, step := range z.less {
		if step.distM < distM {
			at, ok = step, true
		}
	}
	return at, ok
}

// standIn puts a structure into a zone, or with one below 0 where the default class holds.
func (b *borders) standIn(s Structure, zone int32) *Structure {
	c := b.n.Criteria(s.Line)
	s.Class, s.SpecificCreepage, s.StatedBase, s.Zone = c.DefaultClass, c.SpecificCreepage(c.DefaultClass), basis.NoBase, int(zone)
	if zone >= 0 {
		s.Class, s.SpecificCreepage = b.n.figuresOf(&b.n.Zones[zone])
		s.StatedBase = b.n.Zones[zone].StatedBase
	}
	if b.n.Lines[s.Line].GoesByPole(c) {
		b.n.goByPole(&s, c)
	}
	return &s
}
