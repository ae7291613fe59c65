package read

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/read/raster"

	"github.com/go-spatial/proj/core"
)

// partsOfMetre are those to which levels are rounded, so that every machine has the same.
const partsOfMetre = 1e5

// mostApart is by how much two levels may be apart where nobody states the accuracy of rasters, leastApart how much they may always be, in m
// (choices of this program). The first is two standard errors of the difference of levels that are right to 16 m in nine cases of ten, as the
// levels of SRTM are specified to be (value from memory): 2·√2·16/1.645 = 27.5 m. The second is since levels are written in whole metres.
const (
	mostApart  = 30.0
	leastApart = 1.0
)

// errorM is the standard error of the levels of a raster, in m; false where nobody states it.
func (r *groundReader) errorM(from *audit.Terrain) (errorM float64, stated bool) {
	if from.AccuracyM > 0 {
		return from.AccuracyM, true
	}
	return r.f.criteria.TerrainAccuracyM.Value, r.f.criteria.TerrainAccuracyM.Known()
}

// apartM is by how much a level of the raster that is read last and that of a structure may be apart, in m: two standard errors of their
// difference, if both are stated. One that is stated is taken to be no better than one from the raster, since nobody states its own.
func (r *groundReader) apartM(row *audit.StructureRow) (metres float64, byErrors bool) {
	here, stated := r.errorM(&r.project.Terrain[len(r.project.Terrain)-1])
	other, also := here, stated
	if row.Terrain != 0 {
		other, also = r.errorM(&r.project.Terrain[row.Terrain-1])
	}
	if !stated || !also {
		return mostApart, false
	}
	return max(basis.SurveyBandSigmas*math.Hypot(here, other), leastApart), true
}

// askedAtOnce is how many structures are asked for in the order of the blocks of a raster (a choice of this program).
const askedAtOnce = 1 << 16

// asked is a structure and what a raster has there.
type asked struct {
	x, y, z float64
	block   uint64
	row     int // of the structures
	state   raster.State
	seam    bool
}

// levels takes the level of every structure that lacks one, and holds those of the others against the raster.
func (r *groundReader) levels(ctx context.Context, name string, grid *raster.Grid, s *system) (count levelCount, err error) {
	seams := r.seamsOf(s, &r.project.Terrain[len(r.project.Terrain)-1])
	for start := 0; start < r.project.Structures.Len(); start += askedAtOnce {
		if ctx.Err() != nil {
			return count, ctx.Err()
		}
		some := r.asked[:0]
		for i := start; i < min(start+askedAtOnce, r.project.Structures.Len()); i++ {
			row := r.project.Structures.At(i)
			if row.Faulty.Has(audit.CellGround) {
				continue
			}
			a := asked{row: i, z: math.NaN(), state: raster.Outside}
			var there bool
			if a.x, a.y, there = positionIn(s, row.Lon, row.Lat); there {
				a.block, there = blockOf(grid, s, a.x, a.y)
			}
			if there {
				some = append(some, a)
			} else {
				r.take(&a, name, &count)
			}
		}
		r.asked = some
		slices.SortFunc(some, func(a, b asked) int { return cmp.Or(cmp.Compare(a.block, b.block), cmp.Compare(a.row, b.row)) })
		for k := range some {
			if k%1024 == 0 && ctx.Err() != nil {
				return count, ctx.Err()
			}
			if err := some[k].ask(grid, seams, s); err != nil {
				return count, err
			}
		}
		slices.SortFunc(some, func(a, b asked) int { return cmp.Compare(a.row, b.row) })
		for k := range some {
			r.take(&some[k], name, &count)
		}
	}
	if count.contradicts >= fewestContradicted && 2*count.contradicts > count.compared {
		r.disbelieve(name, &count)
	}
	return count, nil
}

// fewestContradicted is how many known levels a raster contradicts, and most of those that it is held against, before it is believed nowhere (a
// choice of this program).
const fewestContradicted = 2

// disbelieve makes unknown the levels that a raster gave, that which is read last.
func (r *groundReader) disbelieve(name string, count *levelCount) {
	for i, row := range r.project.Structures.All() {
		if int(row.Terrain) == len(r.project.Terrain) {
			r.doubt(&row, strconv.FormatFloat(row.GroundM, 'f', -1, 64), "disbelieved "+name,
				fmt.Sprintf("is the level that %s has, and of the levels that are known otherwise it contradicts %d of %d; it is taken nowhere", name, count.contradicts, count.compared))
			r.project.Structures.Set(i, row)
		}
	}
}

// ask finds what a raster has at a structure, and with those before it between them.
func (a *asked) ask(grid *raster.Grid, seams *raster.Seams, s *system) (err error) {
	if a.z, a.state, err = levelAt(grid, s, a.x, a.y); err != nil || a.state != raster.Outside {
		return err
	}
	a.z, a.state, err = levelBetween(seams, a.row, grid, s, a.x, a.y)
	a.seam = a.state != raster.Outside
	return err
}

// take gives a structure that lacks a level that of the raster that is read last, or holds its own against it.
func (r *groundReader) take(a *asked, name string, count *levelCount) {
	row := r.project.Structures.At(a.row)
	z := math.Round(a.z*partsOfMetre) / partsOfMetre
	if !math.IsNaN(row.GroundM) {
		if a.state == raster.Known {
			apartM, byErrors := r.apartM(&row)
			if count.compared++; math.Abs(z-row.GroundM) > apartM {
				count.contradicts++
				r.contradict(&row, name, z, apartM, byErrors)
				r.project.Structures.Set(a.row, row)
			}
		}
		return
	}
	switch a.state {
	case raster.Known, raster.ByZero:
		byZero := a.state == raster.ByZero
		if count.known++; byZero {
			count.zero++
		}
		if a.seam {
			count.seam++
		}
		row.GroundM, row.Terrain, row.NoGround, row.ByZero = z, uint16(len(r.project.Terrain)), audit.NoReason, byZero
	case raster.Void:
		count.void++
		lacks(&row, audit.GroundVoid)
	case raster.Beyond:
		count.beyond++
		lacks(&row, audit.GroundBeyond)
	case raster.Torn:
		count.torn++
		lacks(&row, audit.GroundTorn)
	case raster.Outside:
		count.outside++
		lacks(&row, audit.GroundOutsideRasters)
	}
	r.project.Structures.Set(a.row, row)
}

// lacks notes why a raster has no level of a structure. What the first says that has samples there stays.
func lacks(row *audit.StructureRow, reason audit.Reason) {
	if row.NoGround == audit.NoReason || row.NoGround == audit.GroundOutsideRasters {
		row.NoGround = reason
	}
}

// seamsOf are the seams between rasters in one system of which the same is true.
func (r *groundReader) seamsOf(s *system, of *audit.Terrain) *raster.Seams {
	alike := *of
	alike.File = ""
	key := seamKey{s.code, alike}
	if r.seams[key] == nil {
		if r.seams == nil {
			r.seams = map[seamKey]*raster.Seams{}
		}
		r.seams[key] = new(raster.Seams)
	}
	return r.seams[key]
}

type seamKey struct {
	code  int
	alike audit.Terrain // of no file
}

// contradict makes unknown the level of a structure that a raster contradicts: nobody can tell which of the two is right.
func (r *groundReader) contradict(row *audit.StructureRow, name string, levelM, apartM float64, byErrors bool) {
	from := "that is stated"
	if row.Terrain != 0 {
		from = "from " + r.project.Terrain[row.Terrain-1].File
	}
	by := "twice the standard error of their difference, by accuracy_m or terrain_accuracy_m"
	if !byErrors {
		by = "the most that is passed over where neither accuracy_m nor terrain_accuracy_m is stated"
	}
	r.doubt(row, strconv.FormatFloat(row.GroundM, 'f', -1, 64), from+name,
		fmt.Sprintf("is the level %s, and %s has %.1f m there, expected them no more than %.1f m apart (%s); neither is taken", from, name, levelM, apartM, by))
}

// doubt makes a level unknown for a fault that others of its table have with the same key.
func (r *groundReader) doubt(row *audit.StructureRow, value, key, says string) {
	r.project.Faults.Gather(audit.Fault{Kind: audit.Implausible, At: row.Source, Column: r.f.structures.groundM.name, Value: value, Expected: says}, key)
	row.GroundM, row.Terrain, row.ByZero, row.Faulty = math.NaN(), 0, false, row.Faulty.With(audit.CellGround)
}

// shoreM is how high the ground may rise beside a sample of exactly 0, or along a line that has levels of exactly 0 and no others up to there,
// before 0 is taken for a mark of no value, in m.
const shoreM = basis.ShoreM

// doubtZeros makes unknown the levels of exactly 0 from rasters on lines whose other levels are all above shoreM, and on those whose levels all
// are 0, as those that are stated are.
func (r *groundReader) doubtZeros() {
	type levels struct{ zeros, others, low int }
	lines := map[audit.Symbol]levels{}
	for _, row := range r.project.Structures.All() {
		of := lines[row.Line]
		switch {
		case math.IsNaN(row.GroundM):
			continue
		case row.GroundM == 0 && row.Terrain != 0:
			of.zeros++
		case row.GroundM <= shoreM:
			of.low++
		default:
			of.others++
		}
		lines[row.Line] = of
	}
	for i, row := range r.project.Structures.All() {
		if of := lines[row.Line]; row.GroundM != 0 || row.Terrain == 0 || of.low > 0 || of.others == 0 && of.zeros < fewestHeights {
			continue
		} else if name, line := r.project.Terrain[row.Terrain-1].File, r.project.Symbols.Text(row.Line); of.others == 0 {
			r.doubt(&row, "0", name+line, fmt.Sprintf("is the level that %s has of all structures of line %q, expected their ground levels; they are taken as not known", name, line))
		} else {
			r.doubt(&row, "0", name+line, fmt.Sprintf("is the level that %s has, and every other level of line %q is above %g m; 0 is taken for a mark of no value", name, line, shoreM))
		}
		r.project.Structures.Set(i, row)
	}
}

var believed = raster.Believed{Low: lowestGroundM, High: highestGroundM, BesideZero: shoreM}

// positionIn is a longitude and latitude in a system; false where it is no place of it.
func positionIn(s *system, lon, lat float64) (x, y float64, there bool) {
	if s.project == nil {
		return lon, lat, true
	}
	at, err := s.project.Forward(&core.CoordLP{Lam: lon * math.Pi / 180, Phi: lat * math.Pi / 180})
	if err != nil {
		return 0, 0, false
	}
	return at.X, at.Y, true
}

// turns are what is added to a longitude to find a position east and west of the 180th meridian; nothing to an easting.
func turns(s *system) []float64 {
	if s.project == nil {
		return []float64{0, 360, -360}
	}
	return []float64{0}
}

// blockOf is the block of a raster that has samples around a position in its system; false where none has.
func blockOf(grid *raster.Grid, s *system, x, y float64) (uint64, bool) {
	for _, turn := range turns(s) {
		if block, there := grid.Block(x+turn, y); there {
			return block, true
		}
	}
	return 0, false
}

// levelAt is the level of a raster at a position in its system.
func levelAt(grid *raster.Grid, s *system, x, y float64) (float64, raster.State, error) {
	for _, turn := range turns(s) {
		if z, state, err := grid.At(x+turn, y, believed); err != nil || state != raster.Outside {
			return z, state, err
		}
	}
	return math.NaN(), raster.Outside, nil
}

// levelBetween is the level at a position of a structure between a raster and those before it, once they have all samples around it.
func levelBetween(seams *raster.Seams, structure int, grid *raster.Grid, s *system, x, y float64) (float64, raster.State, error) {
	for _, turn := range turns(s) {
		if z, state, err := seams.At(structure, grid, -turn, x, y, believed); err != nil || state != raster.Outside {
			return z, state, err
		}
	}
	return math.NaN(), raster.Outside, nil
}
