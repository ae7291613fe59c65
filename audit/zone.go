package audit

import (
	"fmt"
	"math"
	"slices"

	"dryarc/audit/basis"
	"dryarc/geo"
)

// Zone is an area of one pollution class, or of a specific creepage that somebody states for it.
type Zone struct {
	Polygons         []geo.Polygon // where Broken, boxes in which it may lie
	Class            basis.Class   // unknown where only a figure is stated
	SpecificCreepage float64       // mm/kV on the project's basis, 0 where the class decides
	StatedBase       basis.Base    // on which the file states it
	Unknown          Reason        // why it cannot be told what the zone asks for; NoReason where it can
	Broken           bool          // where in its boxes it lies cannot be told, or whether it is one at all
	Anywhere         bool          // nor where they are: it may hold everywhere
	Label            string
	Source           Source
	Stated           StatedFigure // of which Class and SpecificCreepage are what the criteria make
	of               int          // index in Project.Zones of what it is under other rules, −1 for none
	rules            int          // 1 + index in Project.Rules of those under which it stands so, 0 for those of the project
}

// InDoubt tells whether what the zone asks for, or where, cannot be told.
func (z *Zone) InDoubt() bool { return z.Unknown != NoReason || z.Broken }

// why says what about a zone in doubt cannot be told.
func (z *Zone) why() Reason {
	if z.Unknown == NoReason && z.Broken {
		return ZoneAreaUnreadable
	}
	return z.Unknown
}

// WorseZone is a zone near a structure that asks for more creepage than the one it stands in.
type WorseZone struct {
	Class            basis.Class
	SpecificCreepage float64
	DistanceM        float64
	Doubt            Reason // why it cannot be told what it asks for, or where it begins
	StatedBase       basis.Base
}

// siteDoubt is what a zone in doubt makes of a structure within it.
type siteDoubt uint8

const (
	certain     siteDoubt = iota
	mayAskLess            // the default class is in force, or that of a zone which asks for less
	mayAskMore            // what is in force is, or something worse
	asksUnknown           // nothing is certain
)

// zoneRank orders zones by what they ask for: by specific creepage, so that a zone with a figure of its own finds its
// place among the classes. Figures are told apart to a thousandth of a mm/kV.
func (n *Network) zoneRank(zone *Zone) int {
	_, figure := n.figuresOf(zone)
	switch {
	case zone.Unknown != NoReason: // it may ask for anything
		return math.MaxInt
	case math.IsNaN(figure): // a class without a figure: worse than all that have one, so that it is not passed over
		return math.MaxInt32
	}
	return int(math.Round(figure * 1000))
}

// zoneAreas are the zones under one set of rules, prepared for look-up.
type zoneAreas struct {
	known    *geo.Areas
	doubtful *geo.Areas
	anywhere []int // zones in doubt that may hold everywhere
}

// prepareZones makes the zones under some rules ready for look-up, those in doubt apart. Of those that may hold anywhere one of each
// rank will do.
func (n *Network) prepareZones(rules int) *zoneAreas {
	var in zoneAreas
	var areas [2][]geo.Area
	for i := range n.Zones {
		zone, which, rank := &n.Zones[i], 0, n.zoneRank(&n.Zones[i])
		if zone.rules != rules {
			continue
		}
		if zone.Anywhere {
			if !slices.ContainsFunc(in.anywhere, func(other int) bool { return n.zoneRank(&n.Zones[other]) == rank }) {
				in.anywhere = append(in.anywhere, i)
			}
			continue
		}
		if zone.InDoubt() {
			which = 1
		}
		areas[which] = append(areas[which], geo.Area{Polygons: zone.Polygons, Rank: rank, Key: i})
	}
	in.known, in.doubtful = n.Project.outlines.Areas(areas[0]), n.Project.outlines.Areas(areas[1])
	return &in
}

// lookUpZone finds the zone whose class is in force at a structure, what zones in doubt make of it, and the worse zone
// near by.
func (n *Network) lookUpZone(line *Line, structure int, in *zoneAreas) {
	here := n.Position(structure)
	c := n.criteriaOf(line)
	rank := n.zoneRank(&Zone{Class: c.DefaultClass, rules: line.rules})
	at := noSite
	defer func() { n.stand(structure, at) }()
	if zone, ok := in.known.Worst(here); ok {
		at.zone = int32(zone)
		rank = n.zoneRank(&n.Zones[zone])
	}
	leastRank := math.MaxInt
	doubt := func(key, itsRank int) {
		d := n.doubtOf(c, &n.Zones[key], itsRank, at.zone, rank)
		if at.leave(int32(key), d); d == mayAskLess && at.doubt == mayAskLess && itsRank < leastRank {
			at.doubtZone, leastRank = int32(key), itsRank // the least that may be asked
		}
	}
	in.doubtful.Each(here, doubt)
	for _, key := range in.anywhere {
		doubt(key, n.zoneRank(&n.Zones[key]))
	}
	if !c.ZoneMarginM.Known() {
		return
	}
	zone, distance, found := in.known.NearestWorse(here, rank, c.ZoneMarginM.Value)
	// one in doubt that comes first may be the nearest worse one, or none
	if unsure, first, ok := in.doubtful.NearestWorse(here, rank, c.ZoneMarginM.Value); ok && (!found || first <= distance) {
		zone, distance, found = unsure, first, true
	}
	for _, key := range in.anywhere { // it may come nearer than any
		if !found && n.zoneRank(&n.Zones[key]) > rank {
			zone, distance, found = key, 0, true
		}
	}
	if found {
		at.nearZone, n.around[structure].nearZoneM = int32(zone), float32(distance)
	}
}

// doubtOf says what a zone in doubt makes of a structure in it, where a zone, or −1 for the default class, of some rank is in
// force. The default class holds outside every zone only: where one of unknown class holds it does not.
func (n *Network) doubtOf(c *Criteria, zone *Zone, itsRank int, inForce int32, rank int) siteDoubt {
	nothing := inForce < 0 && c.DefaultClass == basis.ClassUnknown
	switch {
	case nothing, inForce < 0 && zone.Unknown != NoReason:
		return asksUnknown
	case itsRank > rank:
		return mayAskMore
	case itsRank < rank && inForce < 0:
		return mayAskLess
	}
	return certain
}

// leave notes what a zone makes of a structure, the gravest first; one that may ask less and another that may ask more
// leave nothing certain.
func (s *site) leave(zone int32, d siteDoubt) {
	if d == certain {
		return
	}
	if d > s.doubt {
		d, s.doubt, s.doubtZone = s.doubt, d, zone
	}
	if d == mayAskLess && s.doubt == mayAskMore {
		s.doubt = asksUnknown
	}
}

// sameZone tells whether two structures stand in the same zone; known is false where a zone in doubt leaves that open. In one
// of unknown class they share it, in a broken one the one may stand and the other not.
func (n *Network) sameZone(a, b int) (same, known bool) {
	one, other := n.siteOf(a), n.siteOf(b)
	same = one.zone == other.zone && one.doubtZone == other.doubtZone
	switch {
	case one.doubt == certain && other.doubt == certain:
		return same, true
	case same:
		return true, !n.Zones[one.doubtZone].Broken
	}
	return false, false
}

// setZone finds the pollution class in force, what is in doubt about it, and the worse zone near by.
func (n *Network) setZone(s *Structure, structure int, line *Line) {
	criteria := n.criteriaOf(line)
	n.findZone(s, structure, criteria)
	if line.GoesByPole(criteria) {
		n.goByPole(s, criteria)
	}
}

// findZone is setZone by the specific creepages of alternating current.
func (n *Network) findZone(s *Structure, structure int, criteria *Criteria) {
	s.Class, s.SpecificCreepage = criteria.DefaultClass, criteria.SpecificCreepage(criteria.DefaultClass)
	at := n.siteOf(structure)
	if s.Zone = int(at.zone); at.zone >= 0 {
		s.Class, s.SpecificCreepage = n.figuresOf(&n.Zones[at.zone])
		s.StatedBase = n.Zones[at.zone].StatedBase
	}
	s.Worse.DistanceM = math.NaN()
	if at.nearZone >= 0 {
		near := &n.Zones[at.nearZone]
		s.Worse.Class, s.Worse.SpecificCreepage = n.figuresOf(near)
		s.Worse.StatedBase = near.StatedBase
		s.Worse.DistanceM, s.Worse.Doubt = float64(n.around[structure].nearZoneM), near.why()
	}
	s.DoubtfulZone = nowhere
	if at.doubt == certain {
		return
	}
	zone := &n.Zones[at.doubtZone]
	s.Doubt, s.DoubtfulZone = zone.why(), int(at.doubtZone)
	switch at.doubt {
	case asksUnknown:
		s.Class, s.SpecificCreepage, s.Zone = basis.ClassUnknown, math.NaN(), s.DoubtfulZone
	case mayAskLess:
		_, s.LesserCreepage = n.figuresOf(zone)
	}
}

// goByPole puts the project's figures of direct current in the place of those of alternating current. They are by
// class: a zone that states a figure of its own and no class says nothing of them.
func (n *Network) goByPole(s *Structure, criteria *Criteria) {
	figure := func(class basis.Class) float64 { return criteria.DirectCreepage.MMPerKV[class] }
	s.SpecificCreepage, s.StatedBase = figure(s.Class), basis.NoBase
	s.Worse.SpecificCreepage, s.Worse.StatedBase = figure(s.Worse.Class), basis.NoBase
	if s.LesserCreepage == 0 {
		return
	}
	class, _ := n.figuresOf(&n.Zones[s.DoubtfulZone])
	if s.LesserCreepage = figure(class); math.IsNaN(s.LesserCreepage) {
		s.Class, s.SpecificCreepage, s.Zone, s.LesserCreepage = basis.ClassUnknown, math.NaN(), s.DoubtfulZone, 0
	}
}

// ClassInForce is the pollution class of a structure; unknown where a zone states a figure of its own, and where the class
// is in doubt.
func (s *Structure) ClassInForce() basis.Class {
	if s.Doubt != NoReason {
		return basis.ClassUnknown
	}
	return s.Class
}

// AboveTheTable tells whether the class in force is f and nobody states its figure: more than that of class e, which it is beyond.
func (s *Structure) AboveTheTable() bool {
	return s.Class == basis.ClassF && math.IsNaN(s.SpecificCreepage)
}

// figuresOf returns the class of a zone and what it asks for in mm/kV; NaN where that is not known.
func (n *Network) figuresOf(zone *Zone) (basis.Class, float64) {
	switch {
	case zone.Unknown != NoReason:
		return basis.ClassUnknown, math.NaN()
	case zone.SpecificCreepage > 0:
		return zone.Class, zone.SpecificCreepage
	}
	return zone.Class, n.zoneCriteria(zone).SpecificCreepage(zone.Class)
}

// SpecificCreepageAt is what the site of a structure asks for; NaN where that is not known or in doubt.
func (n *Network) SpecificCreepageAt(line *Line, structure int) float64 {
	at := n.siteOf(structure)
	if at.doubt != certain {
		return math.NaN()
	}
	c := n.criteriaOf(line)
	if at.zone >= 0 {
		class, figure := n.figuresOf(&n.Zones[at.zone])
		if line.GoesByPole(c) {
			return c.SpecificCreepageOn(line, class)
		}
		return figure
	}
	return c.SpecificCreepageOn(line, c.DefaultClass)
}

// zoneCriteria are the criteria by which a zone asks for what it does.
func (n *Network) zoneCriteria(zone *Zone) *Criteria {
	if zone.rules > 0 {
		return &n.Project.Rules[zone.rules-1].Criteria
	}
	return &n.Project.Criteria
}

// worsenClass puts a structure into the next worse pollution class; the worst, an unknown class and one without a worse
// one stay.
func (s *Structure) worsenClass(criteria *Criteria, line *Line) {
	if worse := s.Class.Worse(); worse != s.Class {
		s.Class, s.SpecificCreepage = worse, criteria.SpecificCreepageOn(line, worse)
	}
}

// suspectZones finds zones all of which lie far from every structure: no map of the pollution along these lines.
func (n *Network) suspectZones(zones func() *zoneAreas) {
	if len(n.Project.Zones) == 0 || len(n.structures) == 0 {
		return
	}
	if _, near := n.nearestZone(zones, basis.FarZoneM, true); near {
		return
	}
	nearestM, ok := n.nearestZone(zones, halfWayRoundM, false)
	if !ok {
		return // no zone has an area
	}
	n.Project.Faults.Add(Fault{Kind: BadGeometry, At: Source{Table: n.Project.Zones[0].Source.Table}, Column: "geometry",
		Value: fmt.Sprintf("%d zones", len(n.Project.Zones)),
		Expected: fmt.Sprintf("lie far from every structure: the nearest is %.0f km away, expected one within %g km; see that both are of the same area and system",
			nearestM/1000, basis.FarZoneM/1000)})
}

// nearestZone returns how far the zone nearest to any structure is, or for one that will do any within a distance; ok is false
// where there is none. Beyond 20 km it is a rough figure, as geo.NearestWorse is.
func (n *Network) nearestZone(zones func() *zoneAreas, withinM float64, anyWillDo bool) (nearestM float64, ok bool) {
	for i := range n.structures {
		if at := n.siteOf(i); at.zone >= 0 || at.doubt != certain && !n.Zones[at.doubtZone].Anywhere {
			return 0, true
		}
	}
	in := zones()
	for i := range n.structures {
		for _, areas := range [...]*geo.Areas{in.known, in.doubtful} {
			if _, distM, found := areas.NearestWorse(n.Position(i), math.MinInt, withinM); found {
				nearestM, withinM, ok = distM, distM, true
				if anyWillDo {
					return nearestM, true
				}
			}
		}
	}
	return nearestM, ok
}

// halfWayRoundM is farther than any two places on the earth are apart.
const halfWayRoundM = 20_040_000
