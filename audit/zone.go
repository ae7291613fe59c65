package audit

import (
	"math"

	"github.com/paulmach/orb"

	"dryarc/audit/basis"
	"dryarc/geo"
)

// WorseZone is a zone near a structure that asks for more creepage than the one it stands in.
type WorseZone struct {
	Class            basis.Class
	SpecificCreepage float64
	DistanceM        float64
}

// setZone finds the pollution class in force and the worse zone near by.
func (n *Network) setZone(s *Structure, st *station, criteria *Criteria) {
	s.Class, s.SpecificCreepage = criteria.DefaultClass, criteria.SpecificCreepage(criteria.DefaultClass)
	if st.zone >= 0 {
		s.Class, s.SpecificCreepage = n.zoneFigures(st.zone)
	}
	s.Worse.DistanceM = math.NaN()
	if st.nearZone >= 0 {
		s.Worse.Class, s.Worse.SpecificCreepage = n.zoneFigures(st.nearZone)
		s.Worse.DistanceM = float64(st.nearZoneM)
	}
}

func (n *Network) zoneFigures(zone int32) (basis.Class, float64) {
	z := &n.Project.Zones[zone]
	if z.SpecificCreepage > 0 {
		return z.Class, z.SpecificCreepage
	}
	return z.Class, n.Project.Criteria.SpecificCreepage(z.Class)
}

// zoneRank orders zones by what they ask for: by specific creepage, so that a zone with a figure of its own finds its
// place among the classes. Figures are told apart to a thousandth of a mm/kV.
func (n *Network) zoneRank(zone Zone) int {
	figure := n.Project.Criteria.SpecificCreepage(zone.Class)
	if zone.SpecificCreepage > 0 {
		figure = zone.SpecificCreepage
	}
	if math.IsNaN(figure) { // a class without a figure: worse than all that have one, so that it is not passed over
		return math.MaxInt32
	}
	return int(math.Round(figure * 1000))
}

func (n *Network) lookUpZone(st *station, here orb.Point, zones *geo.Areas) {
	rank := n.zoneRank(Zone{Class: n.Project.Criteria.DefaultClass})
	if zone, ok := zones.Worst(here); ok {
		st.zone = int32(zone)
		rank = n.zoneRank(n.Project.Zones[zone])
	}
	if margin := n.Project.Criteria.ZoneMarginM; margin.Known() {
		if zone, distance, ok := zones.NearestWorse(here, rank, margin.Value); ok {
			st.nearZone, st.nearZoneM = int32(zone), float32(distance)
		}
	}
}

func (n *Network) specificCreepageAt(structure int) float64 {
	if zone := n.structures[structure].zone; zone >= 0 {
		_, figure := n.zoneFigures(zone)
		return figure
	}
	return n.Project.Criteria.SpecificCreepage(n.Project.Criteria.DefaultClass)
}

// worsenClass puts a structure into the next worse pollution class; the worst, an unknown class and one without a worse
// one stay.
func (s *Structure) worsenClass(criteria *Criteria) {
	if worse := s.Class.Worse(); worse != s.Class {
		s.Class, s.SpecificCreepage = worse, criteria.SpecificCreepage(worse)
	}
}
