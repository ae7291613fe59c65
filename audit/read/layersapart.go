package read

import (
	"fmt"
	"math"

	"dryarc/audit"
	"dryarc/geo"

	"github.com/paulmach/orb"
)

// Where no structure of a file lies anywhere near a layer, the layer says nothing of them, and one of the two may be in another system than
// is stated. That is one fault. What the layer might ask for is then in doubt there: no default stands in for its classes, and a line
// that crosses nothing of it is not taken for one that crosses nothing.

// How far apart the boxes are, in degrees, from which on a wrong system is suspected, of which one degree of longitude between zones
// is the least; and by how much the box of the structures is widened where doubt holds. Both are choices of this program.
const (
	apartDegrees = 0.5
	doubtDegrees = 0.1
)

// doubtApart says of each file of structures, or of routes where these stand for them, how it lies to the zones and the crossings.
func doubtApart(p *audit.Project) {
	zones, crossings := nothing(), nothing()
	for i := range p.Zones {
		if !p.Zones[i].Broken {
			zones = boundOf(zones, p.Zones[i].Polygons, nil)
		}
	}
	for i := range p.Crossings {
		if !p.Crossings[i].Broken {
			crossings = boundOf(crossings, p.Crossings[i].Polygons, p.Crossings[i].Lines)
		}
	}
	for _, of := range structureBoxes(p) {
		what := "structure"
		if p.RoutesAlone {
			what = "route"
		}
		if !zones.IsEmpty() && sayApart(p, of, what, "zone", zones, p.Zones[0].Source.Table, "what its classes ask for is not assessed there, unless a class is no worse than the one in force") {
			p.Zones = append(p.Zones, doubtfulZones(p.Zones, of.Bound)...)
		}
		if !crossings.IsEmpty() && sayApart(p, of, what, "crossing", crossings, p.Crossings[0].Source.Table, "what their kinds ask for is not assessed there") {
			p.Crossings = append(p.Crossings, doubtfulCrossings(p.Crossings, of.Bound)...)
		}
	}
}

// tableBox is the box around the structures of a file.
type tableBox struct {
	orb.Bound
	table uint16
}

func structureBoxes(p *audit.Project) (boxes []tableBox) {
	box := func(table uint16) *orb.Bound {
		if n := len(boxes); n == 0 || boxes[n-1].table != table { // rows stand in the order of their files
			boxes = append(boxes, tableBox{nothing(), table})
		}
		return &boxes[len(boxes)-1].Bound
	}
	for i := range p.Structures {
		row := &p.Structures[i]
		to := box(row.Source.Table)
		*to = to.Extend(orb.Point{row.Lon, row.Lat})
	}
	if p.RoutesAlone {
		for i := range p.Routes {
			to := box(p.Routes[i].Source.Table)
			for _, part := range p.Routes[i].Parts {
				for _, at := range part {
					*to = to.Extend(at)
				}
			}
		}
	}
	return boxes
}

// boundOf widens a box by shapes.
func boundOf(box orb.Bound, polygons []geo.Polygon, lines [][]orb.Point) orb.Bound {
	for i := range polygons {
		box = box.Union(polygons[i].Bound())
	}
	for _, line := range lines {
		for _, at := range line {
			box = box.Extend(at)
		}
	}
	return box
}

// sayApart says that a file of structures and a layer do not meet, and tells whether they lie so far apart that the layer is doubted.
func sayApart(p *audit.Project, of tableBox, what, layer string, box orb.Bound, table uint16, doubted string) bool {
	distance := math.Inf(1)
	for _, turn := range [...]float64{-360, 0, 360} { // the antimeridian parts nothing
		distance = min(distance, apart(of.Bound, orb.Bound{Min: orb.Point{box.Min[0] + turn, box.Min[1]}, Max: orb.Point{box.Max[0] + turn, box.Max[1]}}))
	}
	if distance == 0 {
		return false
	}
	far := distance > apartDegrees
	fault := audit.Fault{Kind: audit.Implausible, At: audit.Source{Table: of.table}, Column: "geometry", Value: boxText(of.Bound), Weight: audit.ByTheWay,
		Expected: fmt.Sprintf("is the box of its %ss, and that of the %ss of %s is %s: they do not meet", what, layer, p.Tables[table].File, boxText(box))}
	if far {
		cause := "one of the two may be in another system than is stated, or of another place"
		if of.Min[1] <= box.Max[1] && box.Min[1] <= of.Max[1] {
			cause = "as they agree in latitude, one of the two may be in another zone than is stated, or of another place"
		}
		fault.Weight = audit.Matters
		fault.Expected += fmt.Sprintf("; %s; %s. If they are right and of another place, audit these %ss without them", cause, doubted, what)
	}
	p.Faults.Add(fault)
	return far
}

// boxText words a box for people.
func boxText(box orb.Bound) string {
	return fmt.Sprintf("longitude %.3f to %.3f, latitude %.3f to %.3f", box.Min[0], box.Max[0], box.Min[1], box.Max[1])
}

// doubtfulZones are zones that may hold in a box, one for each thing that zones ask for.
func doubtfulZones(zones []audit.Zone, box orb.Bound) (doubtful []audit.Zone) {
	type asks struct {
		class, creepage, base, unknown any
	}
	known := map[asks]bool{}
	for _, zone := range zones {
		key := asks{zone.Class, zone.SpecificCreepage, zone.StatedBase, zone.Unknown}
		if zone.Broken || known[key] {
			continue
		}
		known[key] = true
		zone.Polygons, zone.Broken = []geo.Polygon{polygonOf(box.Pad(doubtDegrees))}, true
		doubtful = append(doubtful, zone)
	}
	return doubtful
}

// doubtfulCrossings are crossings that may lie in a box, one of each kind.
func doubtfulCrossings(crossings []audit.Crossing, box orb.Bound) (doubtful []audit.Crossing) {
	known := map[audit.Symbol]bool{}
	for _, crossing := range crossings {
		if crossing.Broken || known[crossing.Kind] {
			continue
		}
		known[crossing.Kind] = true
		crossing.Lines, crossing.Polygons, crossing.Broken = nil, []geo.Polygon{polygonOf(box.Pad(doubtDegrees))}, true
		doubtful = append(doubtful, crossing)
	}
	return doubtful
}
