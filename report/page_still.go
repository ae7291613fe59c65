package report

import (
	"math"
	"strings"
)

// stillBytes is how long the map of the page without scripts may get; that of a large network is drawn coarser for it.
const stillBytes = 30_000

// stillMap is the map that the page shows where no script runs, and what is said below it.
type stillMap struct {
	briefMap
	Route string // of all lines
}

// still draws the map of the brief as fine as fits.
func (h *htmlPage) still() (m stillMap) {
	const widthMM, heightMM, coarsest = 190, 100, 64
	bound, known := mainBound(h.result)
	across := acrossOf(h.result)
	for coarse := 1.0; ; coarse *= 1.4 {
		most := stillBytes
		if coarse >= coarsest {
			most = math.MaxInt
		}
		m.briefMap = coarseMapOf(h.result, h.changes.Decided, nil, bound, known, widthMM, heightMM, coarse, most, across)
		if m.bytes() <= most {
			m.Route = strings.Join(m.Routes, "")
			return m
		}
	}
}

// bytes is about how long the map gets on a page.
func (m *briefMap) bytes() int {
	const element = 75 // a mark, or what stands around a border or a name
	n := len(m.Places) + element*(len(m.Zones)+len(m.Marks)+len(m.Labels))
	for _, route := range m.Routes {
		n += len(route)
	}
	for _, zone := range m.Zones {
		n += len(zone.D)
	}
	for _, label := range m.Labels {
		n += len(label.Text)
	}
	return n
}
