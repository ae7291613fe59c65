package report

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/paulmach/orb"
)

// What names of places take on a map on paper, in millimetres.
const (
	placeSizeMM    = 2.5
	placeDotMM     = 0.55 // radius
	mostPlaceNames = 24
)

// addPlaces names the places of the project that have room on the map, the most important first, below all else: a name has a dot, or neither is there.
func (m *briefMap) addPlaces(p *audit.Project, paper *sheetMap, taken *placed) {
	order := slices.Clone(p.Places)
	slices.SortStableFunc(order, func(a, b audit.NamedPlace) int { return importance(p, &a, &b) })
	var dots strings.Builder
	for i, named := 0, 0; i < len(order) && named < mostPlaceNames; i++ {
		name := cutText(p.Symbols.Text(order[i].Name), longestName)
		x, y := paper.at(orb.Point{order[i].Lon, order[i].Lat})
		if unknown(x) || unknown(y) || name == "" || !m.holds(x, y) {
			continue
		}
		dot := box2{x - placeDotMM - 0.2, y - placeDotMM - 0.2, x + placeDotMM + 0.2, y + placeDotMM + 0.2}
		label, found := taken.beside(dot, emsOf(name)*placeSizeMM+0.4, placeSizeMM*textHeight)
		if !found || !taken.free(dot) {
			continue
		}
		named++
		taken.add(dot)
		taken.add(label)
		fmt.Fprintf(&dots, "M%s %sa%g %g 0 1 0 %g 0a%g %g 0 1 0-%g 0z", millimetre(x-placeDotMM), millimetre(y), placeDotMM, placeDotMM, 2*placeDotMM, placeDotMM, placeDotMM, 2*placeDotMM)
		m.Labels = append(m.Labels, briefLabel{"place", millimetre((label.x0 + label.x1) / 2), millimetre(label.y1 - textDepth*placeSizeMM), name})
	}
	m.Places = dots.String()
}

// beside finds room for a box right of another, left, above or below.
func (p *placed) beside(b box2, wide, high float64) (box2, bool) {
	const apart = 0.3
	x, y := (b.x0+b.x1)/2, (b.y0+b.y1)/2
	for _, try := range [...]box2{
		{b.x1 + apart, y - high/2, b.x1 + apart + wide, y + high/2},
		{b.x0 - apart - wide, y - high/2, b.x0 - apart, y + high/2},
		{x - wide/2, b.y0 - apart - high, x + wide/2, b.y0 - apart},
		{x - wide/2, b.y1 + apart, x + wide/2, b.y1 + apart + high},
	} {
		if p.free(try) {
			return try, true
		}
	}
	return box2{}, false
}
