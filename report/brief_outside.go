package report

import (
	"fmt"
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
	count := r.Network.StructureCount()
	lon, lat := make([]float64, 0, count), make([]float64, 0, count)
	for l := range r.Network.Lines {
		if !r.Lines[l].Assessed {
			continue
		}
		for i := r.Network.Lines[l].First; i < r.Network.Lines[l].End; i++ {
			at := r.Network.Position(i)
			if unknown(at[0]) || unknown(at[1]) {
				continue
			}
			if len(lon) > 0 {
				at[0] = nearLongitude(at[0], lon[0])
			}
			lon, lat = append(lon, at[0]), append(lat, at[1])
		}
	}
	if len(lon) == 0 {
		return orb.Bound{}, false
	}
	west, east, wideX := mainStretch(lon)
	south, north, wideY := mainStretch(lat)
	if !wideX && !wideY {
		west, east, south, north = lon[0], lon[len(lon)-1], lat[0], lat[len(lat)-1]
	}
	return orb.Bound{Min: orb.Point{west, south}, Max: orb.Point{east, north}}, true
}

// mainStretch sorts figures, and returns the stretch that holds the central share of them with a little more, and whether all of them take much more.
func mainStretch(figures []float64) (from, to float64, much bool) {
	slices.Sort(figures)
	last := float64(len(figures) - 1)
	from, to = figures[int((1-mainShare)/2*last)], figures[int(math.Ceil((1+mainShare)/2*last))]
	least, most := figures[0], figures[len(figures)-1]
	pad := aroundMain * (to - from)
	from, to = max(least, from-pad), min(most, to+pad)
	return from, to, most-least > wasted*(to-from)
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
