package read

import (
	"errors"
	"fmt"
	"slices"

	"dryarc/audit/read/raster"
)

// RasterLook is what a raster tells of itself.
type RasterLook struct {
	Refused       string // why it is not read as it is; empty where it is
	Width, Height int    // in samples
	System        string // of its positions, such as EPSG:4326; empty where it names none
	Vertical      string // datum of its levels; empty where it names none
}

// raster looks at a raster of ground levels as the section terrain reads it.
func (l *Look) raster(f *half, in *input) (err error) {
	content, err := in.held(true)
	if err != nil {
		return err
	}
	if content.own {
		defer func() { err = errors.Join(err, content.close()) }()
	}
	l.Raster = &RasterLook{}
	grid, err := raster.Open(in.plainName(), content.file, content.size)
	if err == nil {
		l.Format, l.Raster.Width, l.Raster.Height = grid.Format, grid.Width, grid.Height
		err = l.Raster.understand(f, in, grid)
	}
	var refused *InputError
	if err != nil && errors.As(rasterProblem(in, err), &refused) {
		l.Raster.Refused, err = refused.Message, nil
	}
	return err
}

// understand finds out where the samples of a raster are and what its levels are above.
func (l *RasterLook) understand(f *half, in *input, grid *raster.Grid) error {
	placed, err := refuseSidecars(f.folder, slices.Compact([]string{in.name, in.plainName()})...)
	if err != nil {
		return err
	}
	r := groundReader{f: f, entry: &terrainEntry{}}
	if l.Vertical, err = r.vertical(in.name, grid); err != nil || grid.EPSG == 0 {
		return err
	}
	system, err := r.system(in.name, grid)
	if err != nil {
		return err
	}
	for i := range placed {
		if err := placed[i].contradicts(in.name, grid, system); err != nil {
			return err
		}
	}
	l.System = fmt.Sprintf("EPSG:%d", grid.EPSG)
	return projectionContradicts(f.folder, in.plainName(), system)
}
