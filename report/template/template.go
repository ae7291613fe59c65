// Package template writes new projects. What enters are the columns that the reader declares and the criteria of an
// audit; what leaves is a folder with a project file, a register and sample layers, which audits as it stands.
package template

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"dryarc/audit"
)

// templateFile is a file of a new project.
type templateFile struct {
	name  string
	write func(path string) error
}

// ExistsError says that a file of a new project is there already.
type ExistsError struct{ File string }

func (e *ExistsError) Error() string {
	return fmt.Sprintf("%s is there already and is not overwritten; nothing was written", e.File)
}

// Write writes a new project into a folder, which it makes where there is none, and returns the paths of the
// files: a project file that names every key, a register with drop-downs and sample layers. All of it is one small sound
// line that audits without a shortfall. It never overwrites: where one of the files is there it writes none, and after
// a failure none is left. Where all are written a *LeftBehind is returned with the paths if what was needed to write them stays.
func Write(folder string) ([]string, error) {
	text := func(content string) func(string) error {
		return func(path string) error { return writeNew(path, []byte(content)) }
	}
	return writeFiles(folder, []templateFile{
		{"audit.yaml", text(templateProject())},
		{"structures.geojson", text(templateStructures)},
		{"zones.geojson", text(templateZones)},
		{"crossings.geojson", text(templateCrossings)},
		{"register.xlsx", writeTemplateRegister},
	})
}

// WriteProject writes a project file of its own into a folder, which it makes where there is none, and returns its path. As Write, it never
// overwrites, and after a failure nothing is left; a *LeftBehind is as there.
func WriteProject(folder, name, text string) (string, error) {
	paths, err := writeFiles(folder, []templateFile{{name, func(path string) error { return writeNew(path, []byte(text)) }}})
	if len(paths) == 0 {
		return "", err
	}
	return paths[0], err
}

// writeFiles stages the files in a folder beside their places. A new folder comes by one rename; in one that is there
// the first file, which makes a project of the others, comes last.
func writeFiles(folder string, files []templateFile) (paths []string, err error) {
	home := folder
	_, err = os.Stat(folder)
	isNew := errors.Is(err, fs.ErrNotExist)
	if isNew {
		home = filepath.Dir(filepath.Clean(folder))
	}
	clearLeftovers(home, files)
	for _, file := range files {
		path := filepath.Join(folder, file.name)
		if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
			if err == nil {
				err = &ExistsError{path}
			}
			return nil, err
		}
		paths = append(paths, path)
	}
	stage, err := newStage(home)
	if err != nil {
		return nil, err
	}
	defer func() {
		left := stage.remove()
		if err == nil && left != nil {
			left = &LeftBehind{stage.dir, left}
		}
		err = errors.Join(err, left)
	}()
	for _, file := range files {
		if err := file.write(stage.path(file.name)); err != nil {
			return nil, err
		}
	}
	if isNew {
		return paths, os.Rename(stage.path(), folder)
	}
	if err := stage.list(files); err != nil {
		return nil, err
	}
	for i := len(files) - 1; i >= 0; i-- {
		if err := place(stage.path(files[i].name), paths[i]); err != nil {
			for _, placed := range paths[i+1:] {
				err = errors.Join(err, os.Remove(placed))
			}
			return nil, err
		}
	}
	return paths, nil
}

// place gives a staged file its name, which nobody may have taken meanwhile.
func place(staged, path string) error {
	err := os.Link(staged, path)
	if err == nil || errors.Is(err, fs.ErrExist) {
		if err != nil {
			err = &ExistsError{path}
		}
		return err
	}
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) { // the file system has no links
		return errors.Join(err, &ExistsError{path})
	}
	return os.Rename(staged, path)
}

// writeNew writes a file that is not there yet.
func writeNew(path string, content []byte) error {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = file.Write(content)
	if err == nil {
		err = file.Sync()
	}
	return errors.Join(err, file.Close())
}

// templateProject is a project file with every key. Those that change nothing are comments.
func templateProject() string { return templateHead + criteria("default_class") + templateTail }

// Criteria are the lines below the key criteria that name every criterion, each as a comment.
func Criteria() string { return criteria("") }

// criteria names every criterion; all but the one that is stated are comments.
func criteria(stated string) string {
	var b strings.Builder
	c := audit.DefaultCriteria()
	for _, criterion := range c.List() {
		fmt.Fprintf(&b, "  # %s", criterion.Means())
		comment := "# "
		switch {
		case criterion.Key == stated:
			comment = ""
		case criterion.Value == audit.NothingStated && criterion.Otherwise == "":
			b.WriteString("; no default")
		}
		if criterion.Value == audit.NothingStated {
			criterion.Value = criterion.Example
		}
		fmt.Fprintf(&b, "\n  %s%s: %s\n", comment, criterion.Key, criterion.Value)
	}
	return b.String()
}

const templateHead = `# A project of dryarc. Paths are relative to this file. Lines that start with # are comments.
# dryarc read audit.yaml    tells how the inputs are understood
# dryarc audit audit.yaml   audits them
title: A sample line

# What is compressed by gzip or zstd may unpack to so many GB, and so many may come out of a pipe; 4 where nothing is said:
# largest_unpacked_gb: 10

# Points, one for each structure and line, in WGS 84 longitude and latitude (GeoJSON or GeoPackage), or in metres of the
# system that crs names, such as crs: EPSG:32719. Where the layer has other names for them, say so:
# properties: {line: line_id, ground_m: {from: elev_ft, unit: ft}}.
structures:
  file: structures.geojson

# Lines, one or more for each line; they order structures whose numbers do not. Without structures, every vertex is one.
# routes: {file: routes.geojson, properties: {line: line}}

# Polygons with a pollution class a to e (or a level of 1986, I to IV), or with a specific_creepage of their own, in mm/kV.
# A figure says its base, in specific_creepage_base beside it or here for all of them: Um/√3 (phase-to-earth, as unified
# specific creepage) or Um (phase-to-phase, as the levels of 1986), such as specific_creepage_base: Um.
zones:
  file: zones.geojson

# Lines and areas that spans cross, each with its kind; what a kind asks for stands under crossing_rules.
crossings:
  file: crossings.geojson

# Points with a name that the maps write where they have room, those with the lowest rank first. Nothing is judged from them.
# places: {file: places.geojson, properties: {name: name, rank: rank}}

# A workbook with the sheets Assemblies, Lines, Units and Conductors, or files of text that are one sheet each:
# register: {file: [assemblies.csv, lines.csv], columns: {Assemblies: {Structure: "Pole no."}}}.
# What the texts of a file are in is found out, or stated, of layers too: {file: assemblies.csv, encoding: Windows-1250}.
# Where texts such as 1.234 may be read in two ways, an entry says which: decimal: comma or decimal: point.
# Without a register the audit gives the schedule of requirements.
register:
  file: register.xlsx
  # Where line or structure stand in the first row of a group alone, blank cells take what stands above them; the outermost first:
  # fill_down: [Line, Structure]
  # The row of the headings, or the first and the last where they stand in several, such as [2, 3]; found where nothing is said:
  # headings: 1

# Where the decisions of people are kept, for which the workbook then has columns. Made for version control.
# decisions: decisions.csv

# Where the tables of each audit go beside its files, with as many runs as are to stand there: PostgreSQL with PostGIS, at "" the one that
# the usual variables name (PGHOST, PGDATABASE, PGSERVICE …). Layers and the register may come from there too, by database and query in place of file.
# write: {database: "", schema: audit, keep: 1}

# What the words of layers and register mean, where they are others than those of dryarc, by column:
# words: {Duty: {Strain pole: tension}, class: {Muy pesado: e}, Unit: {"70 kN disc": U70BL}, Circuit: {Cct 1: 1}}

criteria:
`

const templateTail = `
# What holds on some lines in place of the criteria above:
# for:
#   - {lines: [L-1], criteria: {deviation_limit_deg: 5}}

# What dryarc scope audit.yaml asks: what falls short, and what it takes, if something about the lines were otherwise. It tells on no audit:
# scenarios:
#   - {name: L-1 to 132 kV, lines: [L-1], set: {nominal_voltage_kV: 132, highest_voltage_kV: 145}, classes: worse by 1}
`

const templateStructures = `{"type": "FeatureCollection", "features": [
{"type": "Feature", "properties": {"line": "L-1", "structure": "1", "sequence": 1, "ground_m": 120, "attachment_m": 18}, "geometry": {"type": "Point", "coordinates": [-24.5000, 47.5000]}},
{"type": "Feature", "properties": {"line": "L-1", "structure": "2", "sequence": 2, "ground_m": 124, "attachment_m": 18}, "geometry": {"type": "Point", "coordinates": [-24.4960, 47.5000]}},
{"type": "Feature", "properties": {"line": "L-1", "structure": "3", "sequence": 3, "ground_m": 127, "attachment_m": 18}, "geometry": {"type": "Point", "coordinates": [-24.4920, 47.5000]}},
{"type": "Feature", "properties": {"line": "L-1", "structure": "4", "sequence": 4, "ground_m": 125, "attachment_m": 18}, "geometry": {"type": "Point", "coordinates": [-24.4880, 47.5015]}},
{"type": "Feature", "properties": {"line": "L-1", "structure": "5", "sequence": 5, "ground_m": 122, "attachment_m": 18}, "geometry": {"type": "Point", "coordinates": [-24.4840, 47.5030]}}
]}
`

const templateZones = `{"type": "FeatureCollection", "features": [
{"type": "Feature", "properties": {"class": "c", "label": "coast"}, "geometry": {"type": "Polygon", "coordinates": [[[-24.49, 47.49], [-24.47, 47.49], [-24.47, 47.51], [-24.49, 47.51], [-24.49, 47.49]]]}}
]}
`

const templateCrossings = `{"type": "FeatureCollection", "features": [
{"type": "Feature", "properties": {"kind": "river"}, "geometry": {"type": "LineString", "coordinates": [[-24.494, 47.49], [-24.494, 47.51]]}}
]}
`
