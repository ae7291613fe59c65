package report

import (
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/paulmach/orb"
)

// The map of the brief is fitted to where most structures stand, as the page is at first, so that few far away do not waste the paper.
const (
	mainShare  = 0.98 // of the structures, along each axis
	aroundMain = 0.03 // of the box, on each side
	wasted     = 1.3  // all that is no larger than so many times the box is shown whole
)

// mainBound is the box around the central 98 % of the structures of the lines that were assessed; around all of them where that is not much larger.
func mainBound(r *audit.Result) (orb.Bound, bool) {
	lon, known := mainStretch(axisOf(r, 0))
	lat, _ := mainStretch(axisOf(r, 1))
	if lon.isMuch() || lat.isMuch() {
		return orb.Bound{Min: orb.Point{lon.from, lat.from}, Max: orb.Point{lon.to, lat.to}}, known
	}
	return orb.Bound{Min: orb.Point{lon.least, lat.least}, Max: orb.Point{lon.most, lat.most}}, known
}

// axisOf are the longitudes (0) or latitudes (1) of the structures of the lines that were assessed, as far as both are known. Longitudes go on beyond
// ±180° from the first.
func axisOf(r *audit.Result, axis int) iter.Seq[float64] {
	return func(yield func(float64) bool) {
		first, begun := 0.0, false
		for l := range r.Network.Lines {
			if !r.Lines[l].Assessed {
				continue
			}
			for i := r.Network.Lines[l].First; i < r.Network.Lines[l].End; i++ {
				at := r.Network.Position(i)
				if unknown(at[0]) || unknown(at[1]) {
					continue
				}
				if !begun {
					first, begun = at[0], true
				}
				at[0] = nearLongitude(at[0], first)
				if !yield(at[axis]) {
					return
				}
			}
		}
	}
}

// mainly is the stretch that holds the central share of some figures with a little more, and that of all.
type mainly struct{ from, to, least, most float64 }

// isMuch tells whether all figures take much more than most.
func (m *mainly) isMuch() bool { return m.most-m.least > wasted*(m.to-m.from) }

// mainStretch finds that of figures, which are gone through several times; false where there are none.
func mainStretch(figures iter.Seq[float64]) (m mainly, ok bool) {
	count := 0
	m.least, m.most = math.Inf(1), math.Inf(-1)
	for x := range figures {
		m.least, m.most = min(m.least, x), max(m.most, x)
		count++
	}
	if count == 0 {
		return mainly{}, false
	}
	last := float64(count - 1)
	from, to := figureAt(figures, m, int((1-mainShare)/2*last)), figureAt(figures, m, int(math.Ceil((1+mainShare)/2*last)))
	pad := aroundMain * (to - from)
	m.from, m.to = max(m.least, from-pad), min(m.most, to+pad)
	return m, true
}

// figureAt is the figure at a place in the order of figures between the least and the most. Those of a million structures are not sorted, but only
// counted by parts of the stretch that they take, and those sorted that lie in the part of the one sought.
func figureAt(figures iter.Seq[float64], of mainly, place int) float64 {
	if of.least == of.most {
		return of.least
	}
	var counts [4096]int
	partOf := func(x float64) int {
		return int((x - of.least) / (of.most - of.least) * float64(len(counts)-1))
	}
	for x := range figures {
		counts[partOf(x)]++
	}
	part := 0
	for ; counts[part] <= place; part++ {
		place -= counts[part]
	}
	within := make([]float64, 0, counts[part])
	for x := range figures {
		if partOf(x) == part {
			within = append(within, x)
		}
	}
	slices.Sort(within)
	return within[place]
}

// offMap is what lies outside a map: structures, and lines of which no structure is on it.
type offMap struct{ structures, lines int }

// offMapInWords says what a map does not show.
func offMapInWords(unnamed int, outside offMap, letters []string) string {
	var b strings.Builder
	if outside.structures > 0 {
		fmt.Fprintf(&b, " The map is fitted to where most stand: %s outside it", counted(outside.structures, "structure lies", "structures lie"))
		if outside.lines > 0 {
			fmt.Fprintf(&b, ", %s among them", counted(outside.lines, "whole line", "whole lines"))
		}
		switch len(letters) {
		case 0:
		case 1:
			fmt.Fprintf(&b, ", and job %s", letters[0])
		default:
			fmt.Fprintf(&b, ", and the jobs %s", enumerated(letters, len(letters)))
		}
		b.WriteString(".")
	}
	if unnamed > 0 {
		fmt.Fprintf(&b, " %s without a name on the map.", counted(unnamed, "line is", "lines are"))
	}
	return b.String()
}
