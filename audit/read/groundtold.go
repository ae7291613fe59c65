package read

import (
	"fmt"
	"slices"

	"dryarc/audit/read/raster"
)

// levelCount counts what a raster says of structures: of those that had no level, and with how many known ones it was compared.
type levelCount struct{ known, zero, seam, void, beyond, outside, torn, compared, contradicts int }

// notes are what is told of a raster beside its format.
func (c *levelCount) notes(grid *raster.Grid, s *system, vertical string) []string {
	if vertical == "" {
		vertical = "a vertical datum that is not stated"
	}
	notes := []string{fmt.Sprintf("%d by %d samples in %s, above %s; a level is bilinear between the centres of the samples around a structure", grid.Width, grid.Height, s, vertical)}
	if grid.Bands > 1 {
		notes = append(notes, fmt.Sprintf("the first of %d bands is read", grid.Bands))
	}
	for _, n := range []struct {
		count int
		are   string
	}{
		{c.void, "beside a sample without a value"}, {c.outside, "outside its samples"},
		{c.beyond, fmt.Sprintf("beside a sample beyond %d to %d m, which is not believed", lowestGroundM, highestGroundM)},
		{c.torn, fmt.Sprintf("beside a sample of exactly 0 and one above %g m, which may stand for none", shoreM)},
	} {
		if n.count > 0 {
			notes = append(notes, fmt.Sprintf("structures without a level that are %s: %d", n.are, n.count))
		}
	}
	if c.seam > 0 {
		notes = append(notes, fmt.Sprintf("levels between its samples and those of files before it, which stand on one lattice: %d", c.seam))
	}
	if c.contradicts > 0 {
		notes = append(notes, fmt.Sprintf("levels that are stated or from a raster before it, and that it contradicts: %d of %d compared", c.contradicts, c.compared))
	}
	return notes
}

// assumed says what a result rests on where levels come from a raster.
func (r *groundReader) assumed(name string, count *levelCount, vertical string) []string {
	datum := "their vertical datum is not stated, and is taken for that of the other ground levels"
	if vertical != "" {
		datum = "they are above " + vertical
	}
	assumed := []string{fmt.Sprintf("The ground levels of structures that state none are taken from %s, bilinear between its samples (structures: %d); %s.", name, count.known, datum)}
	if _, stated := r.errorM(&r.project.Terrain[len(r.project.Terrain)-1]); !stated && slices.ContainsFunc(r.f.terrain.entries, func(e *terrainEntry) bool { return e.accuracyM > 0 }) {
		assumed = append(assumed, fmt.Sprintf("The accuracy of the levels of %s is not stated, beside rasters of which it is; what rests on levels of both is judged as computed.", name))
	}
	if count.zero > 0 {
		assumed = append(assumed, fmt.Sprintf("Samples of exactly 0 m of %s are taken as they stand, though a raster may hold 0 where it has no value (structures: %d).", name, count.zero))
	}
	if r.entry.surface {
		assumed = append(assumed, fmt.Sprintf("The levels of %s are those of a surface model, which has trees and roofs for ground where they stand.", name))
	}
	return assumed
}
