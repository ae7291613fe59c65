package read

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/geo"

	"github.com/paulmach/orb"
)

// Where no structure of a file lies anywhere near a layer, the layer says nothing of them, and one of the two may be in another system than
// is stated. That is one fault, and so is a file of a layer beside others that lies by no structures. What the layer or the file might ask
// for is then in doubt there: no default and no other file stands in for its classes, and a line that crosses nothing of it is not taken for
// one that crosses nothing.

// How far apart the boxes are, in degrees, from which on a wrong system is suspected, of which one degree of longitude between zones
// is the least; and by how much the box of the structures is widened where doubt holds. Both are choices of this program.
const (
	apartDegrees = 0.5
	doubtDegrees = 0.1
)

// doubtApart says of each file of structures, or of routes where these stand for them, how it lies to the zones and the crossings.
func doubtApart(p *audit.Project) {
	doubtZonesApart(p)
	files := layerBoxes(len(p.Crossings), func(i int) (orb.Bound, uint16, bool) {
		c := &p.Crossings[i]
		return boundOf(nothing(), c.Polygons, c.Lines), c.Source.Table, c.Broken
	})
	crossings := p.Crossings
	for _, d := range sayApart(p, "crossing", files, "what their kinds ask for is not assessed there") {
		p.Crossings = append(p.Crossings, doubtfulCrossings(crossings, &d)...)
	}
}

// doubtZonesApart says how the files of structures lie to the zones, be they those of today or of a scenario.
func doubtZonesApart(p *audit.Project) {
	files := layerBoxes(len(p.Zones), func(i int) (orb.Bound, uint16, bool) {
		z := &p.Zones[i]
		return boundOf(nothing(), z.Polygons, nil), z.Source.Table, z.Broken
	})
	zones := p.Zones
	for _, d := range sayApart(p, "zone", files, "what its classes ask for is not assessed there, unless a class is no worse than the one in force") {
		p.Zones = append(p.Zones, doubtfulZones(zones, &d)...)
	}
}

// apartDoubt is a box of structures in which files of a layer are doubted.
type apartDoubt struct {
	box    orb.Bound
	tables []uint16 // of the layer
}

// layerBoxes are the boxes around what each file of a layer holds, but for what is broken.
func layerBoxes(count int, at func(i int) (box orb.Bound, table uint16, broken bool)) (boxes []tableBox) {
	for i := range count {
		box, table, broken := at(i)
		if broken || box.IsEmpty() {
			continue
		}
		k := slices.IndexFunc(boxes, func(b tableBox) bool { return b.table == table })
		if k < 0 {
			k, boxes = len(boxes), append(boxes, tableBox{nothing(), table})
		}
		boxes[k].Bound = boxes[k].Union(box)
	}
	return boxes
}

// tableBox is the box around what a file holds.
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
	for _, row := range p.Structures.All() {
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

// byPattern joins the boxes of files that one pattern found: what a file may lie beside is what all parts of a layer hold.
func byPattern(p *audit.Project, boxes []tableBox) (joined []joinedBox) {
	patterns, at := map[string]string{}, map[string]int{}
	for _, input := range p.Inputs {
		patterns[input.File] = input.Pattern
	}
	for _, box := range boxes {
		pattern := patterns[p.Tables[box.table].File]
		k, known := at[pattern]
		if pattern == "" || !known {
			k, joined = len(joined), append(joined, joinedBox{tableBox{nothing(), box.table}, nil})
			at[pattern] = k
		}
		joined[k].Bound, joined[k].tables = joined[k].Union(box.Bound), append(joined[k].tables, box.table)
	}
	return joined
}

// joinedBox is the box around what the files of one pattern hold, or a file that is named by itself.
type joinedBox struct {
	tableBox
	tables []uint16
}

// isMet tells whether a file that lies by others, though not far from them, is a part of a layer that meets them as a whole.
func isMet(file tableBox, distance float64, own, others []joinedBox) bool {
	if distance > apartDegrees {
		return false
	}
	k := slices.IndexFunc(own, func(b joinedBox) bool { return slices.Contains(b.tables, file.table) })
	_, whole := nearestBox(own[k].Bound, others)
	return whole == 0
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

// sayApart says which files of structures meet no file of a layer, and which files of a layer meet no structures while others may. It
// returns where which files lie so far away that they are doubted: all of them at structures that none of them is near, and one that is near
// no structures at all of them, since it may be what should lie there beside the others.
func sayApart(p *audit.Project, layer string, files []tableBox, doubted string) (doubts []apartDoubt) {
	what := "structure"
	if p.RoutesAlone {
		what = "route"
	}
	structures := slices.DeleteFunc(structureBoxes(p), func(of tableBox) bool { return of.IsEmpty() })
	if len(files) == 0 || len(structures) == 0 {
		return nil
	}
	var all, told []uint16
	for _, file := range files {
		all = append(all, file.table)
	}
	layers, places := byPattern(p, files), byPattern(p, structures)
	var rest []tableBox // where a file may be doubted by itself
	for _, of := range structures {
		file, distance := nearestBox(of.Bound, layers)
		if distance > apartDegrees {
			doubts = append(doubts, apartDoubt{of.Bound, all})
		} else {
			rest = append(rest, of)
		}
		if distance > 0 && !isMet(of, distance, places, layers) {
			told = append(told, file.table)
			sayNotMet(p, of, what, file, layer, distance, doubted+fmt.Sprintf(". If they are right and of another place, audit these %ss without them", what))
		}
	}
	for _, file := range files {
		of, distance := nearestBox(file.Bound, places)
		far := distance > apartDegrees && len(rest) > 0
		if distance == 0 || !far && (slices.Contains(told, file.table) || isMet(file, distance, layers, places)) {
			continue
		}
		sayNotMet(p, file, layer, of, what, distance, strings.ReplaceAll(doubted, "there", fmt.Sprintf("where the %ss stand", what))+
			". If it is right and of another place, leave it out of the project file")
		for _, of := range rest {
			if far {
				doubts = append(doubts, apartDoubt{of.Bound, []uint16{file.table}})
			}
		}
	}
	return doubts
}

// sayNotMet says that the box of a file does not meet the nearest other, and what follows where they lie far apart.
func sayNotMet(p *audit.Project, file tableBox, holds string, other tableBox, otherHolds string, distance float64, follows string) {
	fault := audit.Fault{Kind: audit.Implausible, At: audit.Source{Table: file.table}, Column: "geometry", Value: boxText(file.Bound), Weight: audit.ByTheWay,
		Expected: fmt.Sprintf("is the box of its %ss, and that of the %ss of %s is %s: they do not meet", holds, otherHolds, p.Tables[other.table].File, boxText(other.Bound))}
	if distance > apartDegrees {
		cause := "one of the two may be in another system than is stated, or of another place"
		if file.Min[1] <= other.Max[1] && other.Min[1] <= file.Max[1] {
			cause = "as they agree in latitude, one of the two may be in another zone than is stated, or of another place"
		}
		fault.Weight = audit.Matters
		fault.Expected += fmt.Sprintf("; %s; %s", cause, follows)
	}
	p.Faults.Add(fault)
}

// nearestBox is the nearest of some boxes, and how far it lies, in degrees.
func nearestBox(to orb.Bound, boxes []joinedBox) (nearest tableBox, distance float64) {
	distance = math.Inf(1)
	for _, box := range boxes {
		for _, turn := range [...]float64{-360, 0, 360} { // the antimeridian parts nothing
			if d := apart(to, orb.Bound{Min: orb.Point{box.Min[0] + turn, box.Min[1]}, Max: orb.Point{box.Max[0] + turn, box.Max[1]}}); d < distance {
				nearest, distance = box.tableBox, d
			}
		}
	}
	return nearest, distance
}

// boxText words a box for people.
func boxText(box orb.Bound) string {
	return fmt.Sprintf("longitude %.3f to %.3f, latitude %.3f to %.3f", box.Min[0], box.Max[0], box.Min[1], box.Max[1])
}

// doubtfulZones are zones that may hold in a box, one for each thing that those of the doubted files ask for.
func doubtfulZones(zones []audit.Zone, d *apartDoubt) (doubtful []audit.Zone) {
	type asks struct {
		class, creepage, base, unknown any
		stated                         audit.StatedFigure // which other rules may judge otherwise
	}
	known := map[asks]bool{}
	for _, zone := range zones {
		key := asks{zone.Class, zone.SpecificCreepage, zone.StatedBase, zone.Unknown, zone.Stated}
		if zone.Broken || known[key] || !slices.Contains(d.tables, zone.Source.Table) {
			continue
		}
		known[key] = true
		zone.Polygons, zone.Broken = []geo.Polygon{polygonOf(d.box.Pad(doubtDegrees))}, true
		doubtful = append(doubtful, zone)
	}
	return doubtful
}

// doubtfulCrossings are crossings that may lie in a box, one of each kind in the doubted files.
func doubtfulCrossings(crossings []audit.Crossing, d *apartDoubt) (doubtful []audit.Crossing) {
	known := map[audit.Symbol]bool{}
	for _, crossing := range crossings {
		if crossing.Broken || known[crossing.Kind] || !slices.Contains(d.tables, crossing.Source.Table) {
			continue
		}
		known[crossing.Kind] = true
		crossing.Lines, crossing.Polygons, crossing.Broken = nil, []geo.Polygon{polygonOf(d.box.Pad(doubtDegrees))}, true
		doubtful = append(doubtful, crossing)
	}
	return doubtful
}
