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
	axes, known := axesOf(assessedPlaces(r))
	lon, lat := axes[0].main(), axes[1].main()
	if !axes[0].isMuchMore(lon) && !axes[1].isMuchMore(lat) {
		return orb.Bound{Min: orb.Point{axes[0].least, axes[1].least}, Max: orb.Point{axes[0].most, axes[1].most}}, known
	}
	return orb.Bound{Min: orb.Point{lon[0], lat[0]}, Max: orb.Point{lon[1], lat[1]}}, known
}

// assessedPlaces are where the structures of the lines that were assessed stand, as far as that is known. Longitudes go on beyond ±180° from the first.
func assessedPlaces(r *audit.Result) iter.Seq[orb.Point] {
	return func(yield func(orb.Point) bool) {
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
				if !yield(at) {
					return
				}
			}
		}
	}
}

// axis is how far places reach along one axis, and the ends of the central share of them.
type axis struct {
	least, most float64
	counts      [4096]int // of the places in each of so many equal parts of that
	ends        [2]ranked
}

// ranked is a figure by its place in the order of those that lie in the same part.
type ranked struct {
	part, place int
	within      []float64
}

// axesOf finds those of places, of longitudes and of latitudes; false where there are none. Those of a million structures are not sorted, but only
// counted by parts, and those sorted that lie in the same part as one that is sought.
func axesOf(places iter.Seq[orb.Point]) (axes [2]axis, ok bool) {
	count := 0
	for at := range places {
		for k := range axes {
			if a := &axes[k]; count == 0 {
				a.least, a.most = at[k], at[k]
			} else {
				a.least, a.most = min(a.least, at[k]), max(a.most, at[k])
			}
		}
		count++
	}
	if count == 0 {
		return axes, false
	}
	for at := range places {
		for k := range axes {
			axes[k].counts[axes[k].partOf(at[k])]++
		}
	}
	last := float64(count - 1)
	for k := range axes {
		axes[k].ends = [2]ranked{axes[k].seek(int((1 - mainShare) / 2 * last)), axes[k].seek(int(math.Ceil((1 + mainShare) / 2 * last)))}
	}
	for at := range places {
		for k := range axes {
			part := axes[k].partOf(at[k])
			for e := range axes[k].ends {
				if end := &axes[k].ends[e]; end.part == part {
					end.within = append(end.within, at[k])
				}
			}
		}
	}
	for k := range axes {
		for e := range axes[k].ends {
			slices.Sort(axes[k].ends[e].within)
		}
	}
	return axes, true
}

func (a *axis) partOf(x float64) int {
	if a.least == a.most {
		return 0
	}
	return int((x - a.least) / (a.most - a.least) * float64(len(a.counts)-1))
}

// seek finds in which part the figure at a place in the order of all lies.
func (a *axis) seek(place int) (r ranked) {
	for ; a.counts[r.part] <= place; r.part++ {
		place -= a.counts[r.part]
	}
	r.place = place
	r.within = make([]float64, 0, a.counts[r.part])
	return r
}

// main is the stretch that holds the central share, with a little more.
func (a *axis) main() (ends [2]float64) {
	for e, end := range a.ends {
		if len(end.within) > 0 {
			ends[e] = end.within[end.place]
		}
	}
	pad := aroundMain * (ends[1] - ends[0])
	return [2]float64{max(a.least, ends[0]-pad), min(a.most, ends[1]+pad)}
}

// isMuchMore tells whether all places take much more than a stretch.
func (a *axis) isMuchMore(than [2]float64) bool { return a.most-a.least > wasted*(than[1]-than[0]) }

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
