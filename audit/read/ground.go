package read

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"path"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/read/raster"
)

const terrainHint = "convert it, for example: gdalwarp -t_srs EPSG:4326 -r bilinear -dstnodata -32768 -ot Float32 -co TILED=YES -co COMPRESS=DEFLATE IN OUT.tif; " +
	"where some of its samples are no levels and it names no value for these, state that with -srcnodata"

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
