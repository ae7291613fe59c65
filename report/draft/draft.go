// Package draft writes project files for files that somebody has. What enters are paths of layers and tables in any format that is
// read; what leaves is a project file that reads them where they are. What can be told of them is written as a mapping with the reason beside it; what
// could be misread is a question: a line that is commented out, with the candidates. The files are neither copied nor changed.
package draft

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"dryarc/audit/read"
	"dryarc/report/template"
)

// source is a file with what it holds.
type source struct {
	look *read.Look
	path string // as the project file names it
}

// draft is a project file on its way.
type draft struct {
	sources  []source
	parts    []*part // layers
	rasters  []rasters
	entries  []*entry // of the register
	left     []string // what is not read, and why
	lines    []string // of the layers
	numbers  map[string]bool
	haveKeys map[string]bool // of the lines
}

// ProjectFile is the name of the project file in its folder.
const ProjectFile = "audit.yaml"

// Write writes a project file into a folder, which it makes where there is none, and returns its path. It never overwrites: where a project
// file is there, or a file cannot be looked at, nothing is written.
func Write(ctx context.Context, folder string, files []string) (string, error) {
	text, err := Text(ctx, folder, files)
	if err != nil {
		return "", err
	}
	return template.WriteProject(folder, ProjectFile, text)
}

// Text is the project file for some files, to stand in a folder.
func Text(ctx context.Context, folder string, files []string) (string, error) {
	d := &draft{numbers: map[string]bool{}, haveKeys: map[string]bool{}}
	home, err := filepath.Abs(folder)
	if err != nil {
		return "", err
	}
	var failed []error
	var named []string
	for _, pattern := range files {
		found, err := read.Matching(pattern)
		if err != nil {
			failed = append(failed, err)
		}
		named = append(named, found...)
	}
	for _, file := range withoutParts(named) {
		if why := instead(file); why != "" {
			d.leave(pathFrom(home, file), why)
			continue
		}
		look, err := read.LookAt(ctx, file)
		if ctx.Err() != nil {
			return "", ctx.Err()
		}
		if err != nil {
			failed = append(failed, err)
			continue
		}
		d.sources = append(d.sources, source{look, pathFrom(home, file)})
	}
	if len(failed) > 0 {
		return "", errors.Join(failed...)
	}
	d.sortOut()
	text := d.text("")
	words := d.words(ctx, filepath.Join(home, ProjectFile), text)
	return d.text(words), ctx.Err()
}

// withoutParts leaves out files that are named twice, the parts of a shapefile that are read with its shapes, and what stands beside a raster and
// tells of it.
func withoutParts(files []string) (kept []string) {
	ofShapes := []string{".shx", ".dbf", ".prj", ".cpg", ".qpj", ".sbn", ".sbx", ".qix"}
	besideRaster, ofRaster := []string{".tif", ".tiff", ".asc", ".hgt"}, []string{".prj", ".tfw", ".xml", ".ovr", ".msk"}
	end := func(file string) string { return strings.ToLower(filepath.Ext(file)) }
	stem := func(file string) string { return strings.TrimSuffix(file, filepath.Ext(file)) }
	for _, file := range files {
		isPart := slices.ContainsFunc(files, func(other string) bool {
			switch {
			case end(other) == ".shp" && stem(other) == stem(file):
				return slices.Contains(ofShapes, end(file))
			case slices.Contains(besideRaster, end(other)):
				return slices.Contains(ofRaster, end(file)) && (stem(file) == stem(other) || stem(file) == other || stem(file) == other+".aux")
			}
			return false
		})
		if !isPart && !slices.Contains(kept, file) {
			kept = append(kept, file)
		}
	}
	return kept
}

// pathFrom is the path of a file as a project file in a folder names it.
func pathFrom(folder, file string) string {
	absolute, err := filepath.Abs(file)
	if err != nil {
		return filepath.ToSlash(file)
	}
	if relative, err := filepath.Rel(folder, absolute); err == nil {
		return filepath.ToSlash(relative)
	}
	return filepath.ToSlash(absolute)
}

// leave says of something that it is not read, and why.
func (d *draft) leave(what, why string) { d.left = append(d.left, fmt.Sprintf("%s: %s", what, why)) }

// sortOut finds out what each file is for: the layers first, as what the tables hold is told by the names in them.
func (d *draft) sortOut() {
	registers := []source{}
	for _, s := range d.sources {
		if s.look.Raster != nil {
			d.raster(s)
			continue
		}
		if len(s.look.Sheets) > 0 && (len(s.look.Layers) == 0 || !d.isLayerOfStructures(s.look)) {
			registers = append(registers, s)
			continue
		}
		for i := range s.look.Layers {
			d.layer(s, &s.look.Layers[i], registerNames(d.sources, "Line"), registerNames(d.sources, "Structure"))
		}
	}
	d.choose()
	d.learnNames()
	for _, s := range registers {
		d.register(s)
	}
}

// isLayerOfStructures tells a table of points from a register with coordinates: by its line and structure, else where it is no sheet of the
// register that can be told. A workbook with another sheet of the register is one.
func (d *draft) isLayerOfStructures(look *read.Look) bool {
	l := &look.Layers[0]
	if l.Points == 0 {
		return false
	}
	kinds := 0
	for i := range look.Sheets {
		if fit, _ := d.kindOf(&look.Sheets[i]); fit != nil {
			if fit.Kind == inspections { // of structures that it names, or is near
				return false
			}
			kinds++
		}
	}
	return kinds == 0 || len(look.Sheets) == 1 && len(l.Positions) == 0 && len(l.Meant("structures", "line")) > 0 && len(l.Meant("structures", "structure")) > 0
}

// registerNames are the names that tables have under a heading for a column.
func registerNames(sources []source, column string) map[string]bool {
	names := map[string]bool{}
	for _, s := range sources {
		for _, sheet := range s.look.Sheets {
			for i := range sheet.Fits {
				for _, value := range sheet.Fits[i].Column(sheet.Fits[i].Finds(column)).Values {
					names[read.HeadingKey(value.Text)] = true
				}
			}
		}
	}
	return names
}
