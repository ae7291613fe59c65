package history

import (
	"cmp"
	"maps"
	"math"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"dryarc/audit"
)

// file is an input of an earlier run.
type file struct {
	name, sha256 string
	query        string         // whose rows it was; empty for a file
	pattern      string         // of the project file that found it; empty where this named it by itself
	section      string         // the key that it stood under; empty where the run does not tell it
	twice        bool           // another file of its section held the same features
	ended        bool           // it was a table of text whose last row had an end of line
	filled       map[string]int // how many of its tables held rows, by kind; nil where the run does not tell it
}

// Vanished is a file that an earlier run read and that is not read any more.
type Vanished struct {
	File, Pattern, Section, AsOf string // Pattern and Section may be empty, as those of audit.Input
	Path                         string // where it would be, by the project file of today
	Kind                         string // of the tables of which fewer hold rows; empty where the whole file is not read
	SameAs                       string // another file whose content it has now and had not then; empty for none
	Open                         bool   // its last row had an end of line and has none now
}

// Vanished are the files that the run read and that are not read now, but for those that a person took out: by the key without, with their section, or by taking
// out the name of one that was named by itself. Nothing can be said of what they held: neither that it is gone, nor by which zone or crossing
// what is left stands. Each input answers for one file of its own section at most: by its name, else by its content, else by its place; that of a query by its
// text, else by its place among those of its section and sheet, since its number is another where one was added or taken out. A file of which a table held rows then and does not now has lost what that held; how many
// of its tables hold rows is told by file and kind, as audit.Network has it. One that has become the same as another of its section has lost its own. One whose text ended with an end of
// line and does not now may be cut within its last cell.
func (e *Earlier) Vanished(p *audit.Project, filled map[string]map[string]int) (vanished []Vanished) {
	at := func(name string) string {
		name = filepath.FromSlash(name)
		if !filepath.IsAbs(name) {
			name = filepath.Join(filepath.Dir(p.File), name)
		}
		return name
	}
	answers := e.answers(p.Inputs, at)
	for i, f := range e.files {
		ofSection := func(l audit.FileList) bool { return f.section == "" || l.Section == f.section }
		switch {
		case answers[i] != nil && f.section == "terrain" && !lacksLevels(p) && sameAs(p.Inputs, answers[i]) == "": // others give what it gave
		case answers[i] != nil:
			for _, kind := range slices.Sorted(maps.Keys(f.filled)) {
				if filled[answers[i].File][kind] < f.filled[kind] {
					vanished = append(vanished, Vanished{File: answers[i].File, Pattern: f.pattern, Section: f.section, AsOf: e.AsOf, Path: at(answers[i].File), Kind: kind})
				}
			}
			if f.ended && answers[i].LastRow == audit.Open {
				vanished = append(vanished, Vanished{File: answers[i].File, Pattern: f.pattern, Section: f.section, AsOf: e.AsOf, Path: at(answers[i].File), Open: true})
			}
			if other := cmp.Or(sameAs(p.Inputs, answers[i]), answers[i].SameAs); other != "" && f.section != "" && !f.twice && f.sha256 != answers[i].SHA256 {
				vanished = append(vanished, Vanished{File: answers[i].File, Pattern: f.pattern, Section: f.section, AsOf: e.AsOf, Path: at(answers[i].File), SameAs: other})
			}
		case !slices.ContainsFunc(p.Files, ofSection):
		case slices.ContainsFunc(p.Files, func(l audit.FileList) bool { return ofSection(l) && l.LeavesOut(f.name) }):
		case f.pattern == "" && !slices.ContainsFunc(p.Files, func(l audit.FileList) bool { return ofSection(l) && l.Names(f.name) }):
		case f.query != "": // each that the project file has is read, and its name may be that of another now
		default:
			vanished = append(vanished, Vanished{File: f.name, Pattern: f.pattern, Section: f.section, AsOf: e.AsOf, Path: at(f.name)})
		}
	}
	return vanished
}

// lacksLevels tells whether a structure has no ground level, neither stated nor from a raster.
func lacksLevels(p *audit.Project) bool {
	for _, s := range p.Structures.All() {
		if math.IsNaN(s.GroundM) && !s.Faulty.Has(audit.CellGround) {
			return true
		}
	}
	return false
}

// sameAs is another input of the section with the same content; empty where there is none.
func sameAs(inputs []audit.Input, input *audit.Input) string {
	i := slices.IndexFunc(inputs, func(other audit.Input) bool {
		return other.Section == input.Section && other.File != input.File && other.SHA256 == input.SHA256
	})
	if i < 0 {
		return ""
	}
	return inputs[i].File
}

// answers are the inputs that answer for the files of the run, nil where none does. It is told where a file of a name is.
func (e *Earlier) answers(inputs []audit.Input, at func(name string) string) (answers []*audit.Input) {
	inputs = slices.Clone(inputs)
	answers = make([]*audit.Input, len(e.files))
	pair := func(ofFile func(file) string, ofInput func(audit.Input) string) {
		left := map[string][]int{}
		for i, f := range e.files {
			if key := ofFile(f); answers[i] == nil && key != "" {
				left[key] = append(left[key], i)
			}
		}
		inputs = slices.DeleteFunc(inputs, func(input audit.Input) bool {
			key := ofInput(input)
			found := len(left[key]) > 0
			if found {
				answers[left[key][0]], left[key] = &input, left[key][1:]
			}
			return found
		})
	}
	of := func(section, what string) string { return section + "\x00" + what }
	for _, text := range [...]func(query string) string{strings.TrimSpace, func(string) string { return "" }} { // where it is another, as they follow each other
		asked := func(section, name, query string) string {
			if query == "" {
				return ""
			}
			return of(section, of(strings.TrimRight(name, " 0123456789"), text(query)))
		}
		pair(func(f file) string { return asked(f.section, f.name, f.query) }, func(i audit.Input) string { return asked(i.Section, i.File, i.Query) })
	}
	pair(func(f file) string { return of(f.section, path.Clean(f.name)) }, func(i audit.Input) string { return of(i.Section, path.Clean(i.File)) })
	pair(func(f file) string { // of one without a section the name alone is known
		if f.section != "" {
			return ""
		}
		return path.Clean(f.name)
	}, func(i audit.Input) string { return path.Clean(i.File) })
	pair(func(f file) string { return of(f.section, f.sha256) }, func(i audit.Input) string { return of(i.Section, i.SHA256) })
	pair(func(f file) string { return of(f.section, realPath(at(f.name))) }, func(i audit.Input) string { return of(i.Section, realPath(i.Path)) })
	for at, f := range e.files { // where the project file has moved or the file was packed
		if answers[at] == nil {
			if i := slices.IndexFunc(inputs, func(i audit.Input) bool { return i.Section == f.section && endAlike(f.name, i.File) }); i >= 0 {
				input := inputs[i]
				answers[at], inputs = &input, slices.Delete(inputs, i, i+1)
			}
		}
	}
	return answers
}

// realPath is where a path leads to, absolute; itself where it leads nowhere.
func realPath(name string) string {
	if absolute, err := filepath.Abs(name); err == nil {
		name = absolute
	}
	if real, err := filepath.EvalSymlinks(name); err == nil {
		name = real
	}
	return name
}

// endAlike tells whether one of two names is the end of the other, by whole names of folders, whatever the case, and packed or not.
func endAlike(a, b string) bool {
	rest := func(name string) string {
		name = path.Clean(name)
		for strings.HasPrefix(name, "../") {
			name = name[len("../"):]
		}
		name = strings.ToLower(strings.TrimPrefix(name, "/"))
		return "/" + strings.TrimSuffix(strings.TrimSuffix(name, ".gz"), ".zst")
	}
	a, b = rest(a), rest(b)
	return strings.HasSuffix(a, b) || strings.HasSuffix(b, a)
}

// rasters tells the rasters of ground levels of the run.
func (e *Earlier) rasters() string {
	var contents []string
	for _, f := range e.files {
		if f.section == "terrain" {
			contents = append(contents, f.sha256)
		}
	}
	return audit.RastersOf(contents)
}

// otherRasters says what an earlier run had for an exception in place of the rasters of this one; empty where it had the same, in one order.
func (c *comparison) otherRasters(rests string) string {
	was, told := audit.RastersThen(rests)
	if !told {
		was = c.rasters
	}
	switch {
	case was == c.r.Rasters():
		return ""
	case was != "":
		return "others"
	case told:
		return "none"
	}
	return "one that it did not note"
}
