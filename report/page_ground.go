package report

import (
	"dryarc/audit"
)

// groundColumns writes what map and strip draw of structures on any page: where they stand, how the line turns there, and the class in force.
type groundColumns struct {
	*htmlPage
	out       *structureJSON
	texts     *texts
	reference float64 // longitude of the first structure; NaN before it
}

func (g *groundColumns) add(s *audit.Structure) {
	lon, out := s.Position[0], g.out
	if unknown(g.reference) {
		g.reference = lon
	}
	out.Number.add(g.texts.number(g.result.Project.Texts.Get(s.Number)))
	out.Lon.addFigure(nearLongitude(lon, g.reference), positionUnit)
	out.Lat.addFigure(s.Position[1], positionUnit)
	out.Chainage.addFigure(g.result.Network.ChainageM(s.Line, s.Index), decimetre)
	out.Ground.addFigure(s.GroundM, decimetre)
	out.Deviation.addFigure(s.DeviationDeg, hundredth)
	out.Role.add(g.texts.number(s.Role.String()))
	out.Requires.add(int64(tensionOrSuspension(g.result, s)))
	out.Class.add(int64(s.ClassInForce()))
	out.Zone.add(g.zoneIndex(zoneOfSite(s)))
	out.Ahead.add(oneIf(!unknown(s.SpanAheadM)))
}

// finish writes columns that change little from one to the next as differences.
func (g *groundColumns) finish() {
	for _, c := range []pageColumn{g.out.Lon, g.out.Lat, g.out.Chainage, g.out.Ground} {
		c.toDifferences()
	}
}
