package report

import (
	"math"
	"slices"

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
//
// Every route is gone through once for all tolerances, and again for the one that is found, so that no more is held of the exact ones than one.
func (h *htmlPage) lineRoutes(limit int) *lineRoutes {
	out := &lineRoutes{routes: make([]lineRoute, 0, len(h.chosen.lines))}
	reference, count := math.NaN(), 0
	least := leastTolerance{limit: limit}
	var exact lineRoute
	var weights []float64
	weigh := func(above float64) []float64 {
		weights = slices.Grow(weights[:0], len(exact.at))[:len(exact.at)]
		if clear(weights); len(weights) > 0 {
			weigh(exact.at, weights, above, 0)
		}
		return weights
	}
	for _, l := range h.chosen.lines {
		h.follow(&exact, l, &reference)
		count += len(exact.at)
		least.add(weigh(0))
	}
	if count > limit {
		out.simplifiedDeg = least.find()
	}
	for _, l := range h.chosen.lines {
		h.follow(&exact, l, &reference)
		if count > limit {
			exact.simplify(weigh(out.simplifiedDeg), out.simplifiedDeg)
		}
		out.routes = append(out.routes, lineRoute{slices.Clone(exact.at), slices.Clone(exact.ahead)})
	}
	return out
}

// follow makes of a route that of a line past every structure whose position is known; reference is the first longitude of all.
func (h *htmlPage) follow(route *lineRoute, l int, reference *float64) {
	n := h.result.Network
	line := &n.Lines[l]
	route.at, route.ahead = route.at[:0], route.ahead[:0]
	for i := line.First; i < line.End; i++ {
		at := n.Position(i)
		lon, lat := at[0], at[1]
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
		route.ahead = append(route.ahead, !unknown(n.SpanAheadM(i)) && i+1 < line.End)
	}
	if line.Closed && len(route.at) > 0 {
		route.at, route.ahead = append(route.at, route.at[0]), append(route.ahead, false)
		route.ahead[len(route.ahead)-2] = true
	}
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
