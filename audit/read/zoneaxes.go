package read

import (
	"fmt"

	"dryarc/audit"
	"dryarc/geo"

	"github.com/paulmach/orb"
)

// distrustExchanged finds single zones that lie far from every structure but among them with the two coordinates exchanged,
// in a layer whose other zones do not. Where such a zone may belong, its class counts as that of a broken zone: it can only
// make the one in force there doubtful.
func distrustExchanged(p *audit.Project, structures orb.Bound) {
	for _, zone := range p.Zones {
		if zone.Broken {
			continue
		}
		var boxes []geo.Polygon
		far := 0.0
		for _, polygon := range zone.Polygons {
			bound := polygon.Bound()
			distance := apart(structures, bound)
			if distance > farDegrees && apart(structures, swapped(bound)) == 0 {
				boxes, far = append(boxes, polygonOf(swapped(bound))), max(far, distance)
			}
		}
		if len(boxes) == 0 {
			continue
		}
		p.Faults.Add(audit.Fault{Kind: audit.BadGeometry, At: zone.Source, Column: "geometry", Value: coordinates(orb.Point(zone.Polygons[0].Flat[:2])),
			Expected: fmt.Sprintf("lies %.0f degrees from every structure, but among them with the two coordinates exchanged; in the box where it may belong "+
				"creepage is not assessed, unless its class is no worse than the one in force there", far)})
		zone.Polygons, zone.Broken = boxes, true
		p.Zones = append(p.Zones, zone)
	}
}
