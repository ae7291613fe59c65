package report

import (
	"cmp"
	"iter"
	"math"
	"slices"

	"dryarc/audit"
	"dryarc/geo"

	"github.com/paulmach/orb"
)

// zoneShapes are the pollution zones that lie where the lines are, those that ask for least creepage first, each by the line on which it asks for
// most.
type zoneShapes struct {
	zones []zoneShape
	// index is where each zone of the project is in zones, −1 for not there.
	index []int
	room  orb.LineString // in which a border stands that is gone through
	// simplifiedDeg is by how much borders may be off, 0 where they are exact.
	simplifiedDeg float64
}

type zoneShape struct {
	zone  *audit.Zone
	exact iter.Seq[orb.LineString] // the borders of all polygons as they were judged; each is overwritten by the next
	rings []orb.LineString         // as they are drawn; the even-odd rule fills them
}

// zoneShapes takes the zones near the structures of the page. Longitudes go on beyond ±180° from those of the first
// structure, so that nothing is torn at the 180th meridian.
func (h *htmlPage) zoneShapes() zoneShapes {
	out := zoneShapes{index: slices.Repeat([]int{-1}, len(h.result.Project.Zones))}
	if bound, known := h.bound(); known {
		h.addZones(&out, bound)
		out.draw(bound, h.limits.zonePositions)
	}
	return out
}

// isNear tells whether a zone lies near the box around the structures.
func isNear(z *audit.Zone, bound orb.Bound, room *orb.LineString) bool {
	padded := bound.Pad(max(bound.Right()-bound.Left(), bound.Top()-bound.Bottom(), 0.02) / 2)
	return slices.ContainsFunc(z.Polygons, func(polygon geo.Polygon) (near bool) {
		ringsOf([]geo.Polygon{polygon}, bound.Center()[0], room)(func(outer orb.LineString) bool {
			near = outer.Bound().Intersects(padded)
			return false
		})
		return near
	})
}

// addZones adds the zones of the project that lie near the box around the structures, without their borders.
func (h *htmlPage) addZones(out *zoneShapes, bound orb.Bound) {
	p := h.result.Project
	var order []int
	for i := range p.Zones {
		if isNear(&p.Zones[i], bound, &out.room) {
			order = append(order, i)
		}
	}
	_, asked := h.result.Network.ZoneAsks()
	specific := func(i int) float64 {
		if p.Zones[i].InDoubt() {
			return math.NaN() // below all others
		}
		return asked[i]
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(specific(a), specific(b)) })
	for _, i := range order {
		out.index[i] = len(out.zones)
		out.add(&p.Zones[i], bound)
	}
}

func (z *zoneShapes) add(zone *audit.Zone, bound orb.Bound) {
	z.zones = append(z.zones, zoneShape{zone: zone, exact: ringsOf(zone.Polygons, bound.Center()[0], &z.room)})
}

// bound is the box around the structures of the page, or of its lines where it holds every line; known is false where no position is.
func (h *htmlPage) bound() (bound orb.Bound, known bool) {
	extend := func(structure int) {
		at := h.result.Network.Position(structure)
		switch {
		case unknown(at[0]) || unknown(at[1]):
		case !known:
			bound, known = at.Bound(), true
		default:
			bound = bound.Extend(orb.Point{nearLongitude(at[0], bound.Min[0]), at[1]})
		}
	}
	for k, l := range h.chosen.lines {
		if line := &h.result.Network.Lines[l]; h.chosen.everyLine {
			for i := line.First; i < line.End; i++ {
				extend(i)
			}
			continue
		}
		for _, i := range h.chosen.structures[k] {
			extend(i)
		}
	}
	return bound, known
}

// nearLongitude is a longitude plus as many turns as bring it within 180° of another.
func nearLongitude(lon, to float64) float64 {
	if apart := lon - to; -180 < apart && apart < 180 {
		return lon
	}
	return lon - 360*math.Round((lon-to)/360)
}

// ringsOf goes through the rings of polygons with more than three positions; each is overwritten by the next that stands in the same room.
func ringsOf(polygons []geo.Polygon, near float64, room *orb.LineString) iter.Seq[orb.LineString] {
	return func(yield func(orb.LineString) bool) {
		ring := *room
		defer func() { *room = ring }()
		for _, p := range polygons {
			start := 0
			for _, end := range p.Ends {
				ring = slices.Grow(ring[:0], max(min(end, len(p.Flat))-start, 0)/2)
				for i := start; i+1 < end && i+1 < len(p.Flat); i += 2 {
					lon, lat := p.Flat[i], p.Flat[i+1]
					if unknown(lon) || unknown(lat) {
						continue
					}
					if len(ring) == 0 {
						lon = nearLongitude(lon, near)
					} else {
						lon = nearLongitude(lon, ring[len(ring)-1][0])
					}
					ring = append(ring, orb.Point{lon, lat})
				}
				start = end
				if len(ring) > 3 && !yield(ring) {
					return
				}
			}
		}
	}
}
