package history

import (
	"path"
	"slices"
	"strings"

	"dryarc/audit"
)

// file is an input that a pattern of the project file found.
type file struct {
	name, sha256     string
	pattern, section string // the pattern, and the key that it stands under
}

// Vanished is a file that a pattern of the project file found in an earlier run and that is not there any more.
type Vanished struct{ File, Pattern, Section, AsOf string }

// Vanished are the files that patterns found then, that those of the project file would find still, and that are not read now. Nothing can be said of
// what they held: neither that it is gone, nor by which zone or crossing what is left stands. One that is read in the same section under another
// name, with the same content, has not vanished, nor one whose name is spelt otherwise.
func (e *Earlier) Vanished(p *audit.Project) (vanished []Vanished) {
	for _, f := range e.files {
		if slices.ContainsFunc(p.Inputs, f.isRead) {
			continue
		}
		if slices.ContainsFunc(p.Patterns, func(now audit.FilePattern) bool { return now.Section == f.section && now.Finds(f.name) }) {
			vanished = append(vanished, Vanished{f.name, f.pattern, f.section, e.AsOf})
		}
	}
	return vanished
}

// isRead tells whether an input is the file. Of one that the project file names by itself it is not known in which section it stands.
func (f *file) isRead(input audit.Input) bool {
	if input.Section != "" && input.Section != f.section {
		return false
	}
	return input.SHA256 == f.sha256 || strings.EqualFold(path.Clean(input.File), path.Clean(f.name))
}
