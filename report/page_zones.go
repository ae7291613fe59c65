package report

import (
	"cmp"
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
	// simplifiedDeg is by how much borders may be off, 0 where they are exact.
	simplifiedDeg float64
}

type zoneShape struct {
	zone  *audit.Zone
	rings []orb.LineString // of all polygons; the even-odd rule fills them
}

// zoneShapes takes the zones near the structures of the page. Longitudes go on beyond ±180° from those of the first
// structure, so that nothing is torn at the 180th meridian.
func (h *htmlPage) zoneShapes() zoneShapes {
	p := h.result.Project
	out := zoneShapes{index: slices.Repeat([]int{-1}, len(p.Zones))}
	bound, known := h.bound()
	if !known {
		return out
	}
	padded := bound.Pad(max(bound.Right()-bound.Left(), bound.Top()-bound.Bottom(), 0.02) / 2)
	var order []int
	rings := make([][]orb.LineString, len(p.Zones))
	for i := range p.Zones {
		near := false
		for _, polygon := range p.Zones[i].Polygons {
			shape := ringsOf(polygon, bound.Center()[0])
			if len(shape) > 0 && shape[0].Bound().Intersects(padded) {
				near = true
			}
			rings[i] = append(rings[i], shape...)
		}
		if near {
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
		out.zones = append(out.zones, zoneShape{&p.Zones[i], rings[i]})
	}
	out.simplify(bound, h.limits.zonePositions)
	return out
}

// bound is the box around the structures of the page, or of its lines where it holds every line; known is false where no position is.
func (h *htmlPage) bound() (bound orb.Bound, known bool) {
	for k, l := range h.chosen.lines {
		structures := h.chosen.structures[k]
		if h.chosen.everyLine {
			structures = structuresOf(&h.result.Network.Lines[l])
		}
		for _, i := range structures {
			at := h.result.Network.Position(i)
			switch {
			case unknown(at[0]) || unknown(at[1]):
			case !known:
				bound, known = at.Bound(), true
			default:
				bound = bound.Extend(orb.Point{nearLongitude(at[0], bound.Min[0]), at[1]})
			}
		}
	}
	return bound, known
}

// nearLongitude is a longitude plus as many turns as bring it within 180° of another.
func nearLongitude(lon, to float64) float64 { return lon - 360*math.Round((lon-to)/360) }

func ringsOf(p geo.Polygon, near float64) (rings []orb.LineString) {
	start := 0
	for _, end := range p.Ends {
		ring := make(orb.LineString, 0, (end-start)/2)
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
		if len(ring) > 3 {
			rings = append(rings, ring)
		}
	}
	return rings
}
