package read

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/read/raster"
)

// verticalSystem names a vertical system in metres by its EPSG code; empty for one that is not known here.
//
// Source: EPSG Geodetic Parameter Dataset, as PROJ 9.1 has it.
func verticalSystem(code int) string {
	return map[int]string{3855: "EGM2008", 5773: "EGM96", 5798: "EGM84", 5703: "NAVD88", 5714: "MSL", 5621: "EVRF2007", 5730: "EVRF2000", 5711: "AHD", 7837: "DHHN2016", 5783: "DHHN92"}[code]
}

// noSeaLevel finds words for levels in feet, depths, and heights above an ellipsoid.
var noSeaLevel = regexp.MustCompile(`(?i)ell?ips|(^|[^a-z])(feet|foot|u?s?ft|ftus|pies|pieds?|hae|depths?)([^a-z]|$)`)

// aboveEllipsoid finds heights above an ellipsoid in a text that may name the ellipsoid of the positions too.
var aboveEllipsoid = regexp.MustCompile(`(?i)ell?ips\w*[ _-]*(h(eight|gt)|alt)|h(eight|gt)s?[^|\n]*ell?ips`)

// vertical is the datum of the levels of a raster, in words; empty where nobody states it.
func (r *groundReader) vertical(name string, grid *raster.Grid) (string, error) {
	stated := r.entry.vertical
	for _, says := range [...]struct {
		text  string
		isNot *regexp.Regexp
	}{{grid.VerticalCitation, noSeaLevel}, {grid.Citation, aboveEllipsoid}} {
		if says.text != "" && says.isNot.MatchString(says.text) {
			return "", &InputError{File: name, Message: fmt.Sprintf("says that its heights are %q, expected metres above the sea", excerpt(says.text)), Hint: "convert them, for example with gdalwarp and the vertical systems of both, and calculate in metres"}
		}
	}
	if grid.Vertical == 0 {
		if code, is := epsgCode(stated); is {
			return verticalSystem(code), nil
		}
		return stated, nil
	}
	code := fmt.Sprintf("EPSG:%d", grid.Vertical)
	known := verticalSystem(grid.Vertical)
	switch {
	case known == "":
		return "", &InputError{File: name, Message: fmt.Sprintf("names the vertical system %s, which is none of those that are known to be in metres", code), Hint: "see in what its levels are, and convert it without that system where they are metres above the sea"}
	case stated != "" && !strings.EqualFold(stated, known) && !strings.EqualFold(stated, code):
		return "", &InputError{File: name, Message: fmt.Sprintf("names the vertical system %s (%s), but vertical under terrain in the project file is %q", known, code, stated), Hint: "find out which of the two its levels are in; take out vertical, or correct the file"}
	}
	return known, nil
}

// mixedDatums says on how many lines levels of more than one origin are taken for those of one vertical datum, as far as no two datums are named.
func mixedDatums(p *audit.Project) (assumed []string) {
	const named = "levels from rasters above "
	ofLine := map[audit.Symbol][]string{}
	for _, row := range p.Structures.All() {
		origin := "levels that are stated"
		switch {
		case math.IsNaN(row.GroundM):
			continue
		case row.Terrain != 0:
			origin = "levels from rasters of which no datum is stated"
			if vertical := p.Terrain[row.Terrain-1].Vertical; vertical != "" {
				origin = named + vertical
			}
		}
		if known := ofLine[row.Line]; !slices.ContainsFunc(known, func(of string) bool { return strings.EqualFold(of, origin) }) {
			known = append(known, origin)
			slices.Sort(known)
			ofLine[row.Line] = known
		}
	}
	lines := map[string]int{}
	for _, origins := range ofLine {
		if len(origins) > 1 {
			lines[strings.Join(origins, ", ")]++
		}
	}
	for _, origins := range slices.Sorted(maps.Keys(lines)) {
		taken := "they are taken to be above one vertical datum"
		switch count := strings.Count(origins, named); {
		case count > 1 && count == strings.Count(origins, ", ")+1:
			taken = "nothing that takes the difference of two of them is assessed"
		case count > 1:
			taken = "between two datums that are named nothing that takes a difference is assessed, and others are taken to be above one vertical datum"
		}
		assumed = append(assumed, fmt.Sprintf("On one line there are %s; %s (lines: %d).", origins, taken, lines[origins]))
	}
	return assumed
}
