package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/paulmach/orb"
)

// placesJSON are the names of places that the map may write, the most important first.
type placesJSON struct {
	Name pageColumn `json:"name"` // text
	Lon  pageColumn `json:"lon"`  // 1e-6 degrees, differences
	Lat  pageColumn `json:"lat"`  // 1e-6 degrees, differences
}

// pagePlaces are the places that a page holds.
type pagePlaces struct {
	shown []audit.NamedPlace
	near  int // places that lie where the lines are
	inAll int
}

// places takes the places near the structures of the page, the most important first.
func (h *htmlPage) places() pagePlaces {
	p := h.result.Project
	out := pagePlaces{inAll: len(p.Places)}
	bound, known := h.bound()
	if !known || out.inAll == 0 {
		return out
	}
	padded := bound.Pad(max(bound.Right()-bound.Left(), bound.Top()-bound.Bottom(), 0.02) / 2)
	for _, place := range p.Places {
		place.Lon = nearLongitude(place.Lon, bound.Center()[0])
		if padded.Contains(orb.Point{place.Lon, place.Lat}) {
			out.shown = append(out.shown, place)
		}
	}
	slices.SortStableFunc(out.shown, func(a, b audit.NamedPlace) int { return importance(p, &a, &b) })
	out.near = len(out.shown)
	out.shown = out.shown[:min(out.near, h.limits.places)]
	return out
}

// importance orders places by their rank, those without one last, then by their names.
func importance(p *audit.Project, a, b *audit.NamedPlace) int {
	switch {
	case unknown(a.Rank) && unknown(b.Rank):
	case unknown(a.Rank):
		return 1
	case unknown(b.Rank):
		return -1
	}
	return cmp.Or(cmp.Compare(a.Rank, b.Rank), strings.Compare(p.Symbols.Text(a.Name), p.Symbols.Text(b.Name)))
}

// data is nil where there are no places.
func (n *pagePlaces) data(p *audit.Project, t *texts) *placesJSON {
	if len(n.shown) == 0 {
		return nil
	}
	var out placesJSON
	for _, place := range n.shown {
		out.Name.add(t.number(p.Symbols.Text(place.Name)))
		out.Lon.addFigure(place.Lon, positionUnit)
		out.Lat.addFigure(place.Lat, positionUnit)
	}
	out.Lon.toDifferences()
	out.Lat.toDifferences()
	return &out
}

// cut says which places the page leaves out; empty where it holds all.
func (n *pagePlaces) cut() string {
	if n.inAll == len(n.shown) {
		return ""
	}
	told := fmt.Sprintf("The map holds %s of %s", grouped(len(n.shown)), counted(n.inAll, "place", "places"))
	if away := n.inAll - n.near; away > 0 {
		told += fmt.Sprintf("; %s away from what it shows", counted(away, "lies", "lie"))
	}
	if left := n.near - len(n.shown); left > 0 {
		told += fmt.Sprintf("; %s left out, the least important by rank, then the last by name", counted(left, "is", "are"))
	}
	return told + "."
}
