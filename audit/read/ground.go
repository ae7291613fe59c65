package read

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"os"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/read/raster"

	"github.com/go-spatial/proj/core"
)

const terrainHint = "convert it, for example: gdalwarp -t_srs EPSG:4326 -r bilinear -dstnodata -32768 -ot Float32 -co TILED=YES -co COMPRESS=DEFLATE IN OUT.tif; " +
	"where some of its samples are no levels and it names no value for these, state that with -srcnodata"

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

// groundReader takes levels of structures from one file after another.
type groundReader struct {
	f       *half
	project *audit.Project
	entry   *terrainEntry // of the file at hand
	seams   map[seamKey]*raster.Seams
	asked   []asked // taken again for each file
	last    int     // index in Inputs of the raster that gave levels last, -1 where none did
}

// readGround takes the ground levels of structures that state none from the rasters of the section terrain: from the first, in the
// order of the project file, that has one there. A cell of a level that cannot be read stays unknown, and so does a level that a raster
// contradicts.
func readGround(ctx context.Context, f *half, p *audit.Project) error {
	if len(f.terrain.entries) == 0 {
		return nil
	}
	r := groundReader{f: f, project: p, last: -1}
	var trouble problems
	for _, r.entry = range f.terrain.entries {
		for _, name := range r.entry.files {
			if trouble.stop(r.file(ctx, name)) {
				return trouble.err()
			}
		}
	}
	if trouble.err() == nil {
		r.doubtZeros()
	}
	if r.last >= 0 {
		last := &p.Inputs[r.last]
		last.Assumed = append(last.Assumed, mixedDatums(p)...)
	}
	return trouble.err()
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

// file takes levels from one file.
func (r *groundReader) file(ctx context.Context, name string) (err error) {
	if unfound := r.entry.unfound[name]; unfound != nil {
		return unfound
	}
	in, err := r.f.open(ctx, name)
	if err != nil {
		return err
	}
	defer in.close()
	content, err := in.held(true)
	if err != nil {
		return err
	}
	in.taken = false // the rest of it is hashed at the end
	if content.own {
		defer func() { err = errors.Join(err, content.close()) }()
	}
	if err := content.takeSum(); err != nil {
		return in.problem(err)
	}
	unpacked := name
	if in.packed != notPacked {
		unpacked = strings.TrimSuffix(strings.TrimSuffix(name, ".gz"), ".zst")
	}
	beside := []string{name, unpacked}
	placed, err := refuseSidecars(r.f.folder, slices.Compact(beside)...)
	if err != nil {
		return err
	}
	grid, err := raster.Open(unpacked, content.file, content.size)
	if err != nil {
		return rasterProblem(in, err)
	}
	system, err := r.system(name, grid)
	if err != nil {
		return err
	}
	for i := range placed {
		if err := placed[i].contradicts(name, grid, system); err != nil {
			return err
		}
	}
	if err := projectionContradicts(r.f.folder, unpacked, system); err != nil {
		return err
	}
	vertical, err := r.vertical(name, grid)
	if err != nil {
		return err
	}
	r.project.Terrain = append(r.project.Terrain, audit.Terrain{File: name, Vertical: vertical, Surface: r.entry.surface, AccuracyM: r.entry.accuracyM})
	count, err := r.levels(ctx, name, grid, system)
	if err != nil {
		return rasterProblem(in, err)
	}
	if err := content.stillThere(in); err != nil {
		return err
	}
	if err := in.finish(r.project); err != nil {
		return err
	}
	r.entry.noteInput(r.project, name, "terrain")
	read := &r.project.Inputs[len(r.project.Inputs)-1]
	if system.code != wgs84 {
		read.System, read.DatumM = system.String(), system.datumM
	}
	if count.known > 0 {
		read.Assumed = r.assumed(name, &count, vertical)
		r.last = len(r.project.Inputs) - 1
	}
	table := r.project.AddTable(audit.Table{File: name, Balance: audit.Balance{Read: count.known, Used: count.known}})
	r.f.understood = append(r.f.understood, Understanding{Table: r.project.Tables[table], Number: table, Section: "terrain", Format: grid.Format, Rows: count.known, Notes: count.notes(grid, system, vertical)})
	return nil
}

// rasterProblem words why a raster cannot be read; other errors stay what they are.
func rasterProblem(in *input, err error) error {
	var damage *raster.Error
	if errors.As(err, &damage) {
		return &InputError{File: in.name, Message: damage.Error(), Err: err, Hint: cmp.Or(damage.Hint, terrainHint)}
	}
	return in.problem(err)
}

// system is the one of the positions of a raster: that which it names, else that of the project file.
func (r *groundReader) system(name string, grid *raster.Grid) (*system, error) {
	code, says := grid.EPSG, "has"
	if code == 0 {
		if r.entry.crs == "" {
			hint := "write its own system, whose number you have to know, under terrain in the project file: crs: EPSG:…"
			prj := strings.TrimSuffix(name, path.Ext(name)) + ".prj"
			if _, err := os.Stat(pathIn(r.f.folder, prj)); err == nil {
				hint += "; " + prj + " may tell it"
			}
			return nil, &InputError{File: name, Message: "does not say its reference system", Hint: hint}
		}
		code, _ = epsgCode(r.entry.crs)
		says = "names none, and the project file under terrain"
	}
	s, known := systemOf(code)
	if !known {
		return nil, &InputError{File: name, Message: fmt.Sprintf("%s the reference system EPSG:%d, which %s", says, code, unknownSystem), Hint: terrainHint}
	}
	return s, nil
}

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

// levelCount counts what a raster says of structures: of those that had no level, and with how many known ones it was compared.
type levelCount struct{ known, zero, seam, void, beyond, outside, torn, compared, contradicts int }

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
	return count, nil
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
// before 0 is taken for a mark of no value, in m (a choice of this program).
const shoreM = 100

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
			r.doubt(&row, "0", name+line, fmt.Sprintf("is the level that %s has, and every other level of line %q is above %d m; 0 is taken for a mark of no value", name, line, shoreM))
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
		{c.torn, fmt.Sprintf("beside a sample of exactly 0 and one above %d m, which may stand for none", shoreM)},
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
