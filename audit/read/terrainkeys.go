package read

import (
	"fmt"
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// terrainInput is the section terrain of the project file: rasters of levels, for structures that state none.
type terrainInput struct {
	entries []*terrainEntry // in the order in which their files are asked
}

// terrainEntry names files of which the same is true.
type terrainEntry struct {
	fileList
	crs       string  // of files that name none
	vertical  string  // datum of the levels; empty where it is not stated
	surface   bool    // the levels are those of what stands on the ground too
	accuracyM float64 // standard error of the levels in m; 0 where the criterion holds
}

const terrainEntriesHint = "one entry, or a list of them: terrain: [{file: fine.tif, accuracy_m: 0.5}, {file: coarse.tif, accuracy_m: 8}]"

// read reads one entry, or a list of them.
func (t *terrainInput) read(name string, node ast.Node) *ProjectFileError {
	entries, problem := entriesOf(name, node, terrainEntriesHint)
	if problem != nil {
		return problem
	}
	for _, at := range entries {
		var entry terrainEntry
		if problem := entry.keys().read(name, at); problem != nil {
			return problem
		}
		if len(entry.asStated) == 0 {
			return wrong(at, terrainEntriesHint, "an entry of %s names no file", name)
		}
		t.entries = append(t.entries, &entry)
	}
	return nil
}

func (t *terrainEntry) keys() section {
	return append(t.ofFiles(), section{{"crs", crsKey(&t.crs)}, {"vertical", verticalKey(&t.vertical)}, {"surface", boolKey(&t.surface)},
		{"accuracy_m", floatKey(&t.accuracyM, leastAccuracyM, mostAccuracyM)}}...)
}

// leastAccuracyM and mostAccuracyM are what the standard error of a raster may be stated as, in m (choices of this program; the latter that of
// the criterion).
const leastAccuracyM, mostAccuracyM = 0.001, 1000

// files are the files of all entries.
func (t *terrainInput) files() (files []string) {
	for _, entry := range t.entries {
		files = append(files, entry.files...)
	}
	return files
}

// reading is what the section says of how its files are to be read; nothing where it is not there.
func (t *terrainInput) reading(b *strings.Builder) {
	for _, entry := range t.entries {
		fmt.Fprintf(b, "terrain %q %q %q %t", entry.files, entry.crs, entry.vertical, entry.surface)
		if entry.accuracyM > 0 {
			fmt.Fprintf(b, " %g", entry.accuracyM)
		}
		b.WriteByte('\n')
	}
}

// verticalKey reads the name of a vertical datum. Levels are metres above the sea: what names others is refused.
func verticalKey(to *string) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		if problem := textKey(to)(name, node); problem != nil {
			return problem
		}
		code, isCode := epsgCode(*to)
		if isCode && verticalSystem(code) == "" || !isCode && strings.Contains(strings.ToUpper(*to), "EPSG") || noSeaLevel.MatchString(*to) {
			return wrong(node, "where the levels are metres above the sea, write their datum by its name, such as vertical: EGM2008; else convert the files",
				"%s %s is none of the vertical systems that are known to be in metres above the sea, expected one, or the name of one", name, written(node))
		}
		return nil
	}
}
