package report

import (
	"math"

	"dryarc/audit"

	"github.com/paulmach/orb"
)

// lineRoutes are the routes of all lines of a network whose structures are too many for the page, drawn coarser.
type lineRoutes struct {
	routes        []lineRoute // of the lines of the page
	simplifiedDeg float64     // by how much they may be off, 0 where they are exact
}

// lineRoute is where a line runs; a stretch that begins at a position with false is not there.
type lineRoute struct {
	at    orb.LineString
	ahead []bool
}

// lineRouteJSON is lineRoutes as the scripts read it.
type lineRouteJSON struct {
	Count pageColumn `json:"count"` // positions of each line
	Lon   pageColumn `json:"lon"`   // 1e-5 degrees, differences
	Lat   pageColumn `json:"lat"`   // 1e-5 degrees, differences
	Ahead pageColumn `json:"ahead"` // 1 where the line leads on to the next position, else 0
}

const routeUnit = 1e-5

// lineRoutes takes the routes with no more positions than the limit, save that every line keeps its ends. What is left out is what zones
// leave out too, see simplify.
func (h *htmlPage) lineRoutes(limit int) *lineRoutes {
	out := &lineRoutes{}
	reference, count := math.NaN(), 0
	for _, l := range h.chosen.lines {
		route := h.routeOf(l, &reference)
		count += len(route.at)
		out.routes = append(out.routes, route)
	}
	if count <= limit {
		return out
	}
	least := leastTolerance{limit: limit}
	weights := make([]float64, count)
	rest := weights
	for _, route := range out.routes {
		if n := len(route.at); n > 0 {
			weigh(route.at, rest[:n], 0, 0)
			least.add(rest[:n])
			rest = rest[n:]
		}
	}
	out.simplifiedDeg = least.find()
	rest = weights
	for i := range out.routes {
		n := len(out.routes[i].at)
		out.routes[i].simplify(rest[:n], out.simplifiedDeg)
		rest = rest[n:]
	}
	return out
}

// routeOf is the route of a line past every structure whose position is known; reference is the first longitude of all.
func (h *htmlPage) routeOf(l int, reference *float64) lineRoute {
	n := h.result.Network
	var route lineRoute
	var s audit.Structure
	for _, i := range structuresOf(&n.Lines[l]) {
		s = n.Structure(l, i)
		lon, lat := s.Position[0], s.Position[1]
		if unknown(lon) || unknown(lat) {
			if last := len(route.ahead) - 1; last >= 0 {
				route.ahead[last] = false
			}
			continue
		}
		if unknown(*reference) {
			*reference = lon
		}
		route.at = append(route.at, orb.Point{nearLongitude(lon, *reference), lat})
		route.ahead = append(route.ahead, !unknown(s.SpanAheadM) && i+1 < n.Lines[l].End)
	}
	if n.Lines[l].Closed && len(route.at) > 0 {
		route.at, route.ahead = append(route.at, route.at[0]), append(route.ahead, false)
		route.ahead[len(route.ahead)-2] = true
	}
	return route
}

// simplify keeps the positions whose weights are above a tolerance; where a position that is left out led nowhere, the one before it does not
// either.
func (r *lineRoute) simplify(weights []float64, tolerance float64) {
	kept := 0
	for i, p := range r.at {
		if weights[i] > tolerance {
			r.at[kept], r.ahead[kept] = p, r.ahead[i]
			kept++
		} else if kept > 0 {
			r.ahead[kept-1] = r.ahead[kept-1] && r.ahead[i]
		}
	}
	r.at, r.ahead = r.at[:kept], r.ahead[:kept]
}

func (r *lineRoutes) data() *lineRouteJSON {
	if r == nil {
		return nil
	}
	out := &lineRouteJSON{}
	for _, route := range r.routes {
		out.Count.add(int64(len(route.at)))
		for i, p := range route.at {
			out.Lon.addFigure(p[0], routeUnit)
			out.Lat.addFigure(p[1], routeUnit)
			out.Ahead.add(oneIf(route.ahead[i]))
		}
	}
	out.Lon.toDifferences()
	out.Lat.toDifferences()
	return out
}

func structuresOf(line *audit.Line) []int {
	out := make([]int, line.End-line.First)
	for i := range out {
		out[i] = line.First + i
	}
	return out
}
