package history

import (
	"cmp"
	"fmt"
	"slices"

	"dryarc/audit"
)

// File is an input that a pattern of the project file found.
type File struct {
	Name, SHA256     string
	Pattern, Section string // the pattern, and the key that it stands under
	// Missing is, of one that is not found any more, the day of the run since which it is not, and of one that is found again that since
	// which it was not.
	Missing string
}

// The keys of the project file whose inputs make lines and what hangs there.
const (
	structureFiles = "structures"
	routeFiles     = "routes"
	registerFiles  = "register"
	zoneFiles      = "zones"
	crossingFiles  = "crossings"
)

// size is how much a line has.
type size struct{ structures, assemblies int }

// lessThan tells whether a line has less of anything.
func (s size) lessThan(other size) bool {
	return s.structures < other.structures || s.assemblies < other.assemblies
}

// compareFiles finds the files that patterns found then and do not find now. What they held is lost, and not gone.
func (c *comparison) compareFiles(e *Earlier, repeats bool) {
	then, missing := e.files, []File(nil)
	if e.Since != nil {
		missing = e.Since.FilesMissing
	}
	if repeats { // what the run that is repeated compared with
		isNew := func(f File) bool {
			return slices.ContainsFunc(e.Since.FilesNew, func(n File) bool { return n.Name == f.Name && n.Section == f.Section })
		}
		then, missing = slices.Concat(slices.DeleteFunc(slices.Clone(e.files), isNew), e.Since.FilesReplaced), nil
		for _, f := range e.Since.FilesMissing {
			if f.Missing == e.AsOf {
				f.Missing = ""
				then = append(then, f)
			} else {
				missing = append(missing, f)
			}
		}
		for _, f := range e.Since.FilesNew {
			if f.Missing != "" {
				missing = append(missing, f)
			}
		}
	}
	s := c.out.Since
	for _, f := range slices.Concat(then, missing) {
		if c.isMissing(f, then) {
			f.Missing = cmp.Or(f.Missing, c.r.Run.AsOf)
			s.FilesMissing = append(s.FilesMissing, f)
		}
	}
	for _, input := range c.r.Project.Inputs {
		f := File{input.File, input.SHA256, input.Pattern, input.Section, ""}
		if f.Pattern == "" || f.in(then) {
			continue
		}
		if i := slices.IndexFunc(missing, func(m File) bool { return m.Name == f.Name && m.Section == f.Section }); i >= 0 {
			f.Missing = missing[i].Missing
		}
		s.FilesNew = append(s.FilesNew, f)
	}
	slices.SortFunc(s.FilesMissing, func(a, b File) int {
		return cmp.Or(cmp.Compare(a.Section, b.Section), audit.NaturalCompare(a.Name, b.Name), cmp.Compare(a.Missing, b.Missing))
	})
	c.findShort(e, repeats)
	c.forgetReplaced()
	c.sayNew()
}

// in tells whether a list has the file.
func (f File) in(list []File) bool {
	return slices.ContainsFunc(list, func(other File) bool { return other.Name == f.Name && other.Section == f.Section })
}

// isMissing tells whether a file is not among the inputs, though the project file still has the pattern that found it and does not leave it
// out. One that is there under another name, which the run then did not read, is not missing.
func (c *comparison) isMissing(f File, then []File) bool {
	for _, input := range c.r.Project.Inputs {
		if input.File == f.Name {
			return false
		}
		if input.SHA256 == f.SHA256 && !(File{Name: input.File, Section: input.Section}).in(then) {
			return false
		}
	}
	return slices.ContainsFunc(c.r.Project.Patterns, func(p audit.FilePattern) bool {
		return p.Section == f.Section && p.Pattern == f.Pattern && (p.LeavesOut == nil || !p.LeavesOut(f.Name))
	})
}

// findShort finds the lines that have fewer structures or assemblies than then, or are not there.
func (c *comparison) findShort(e *Earlier, repeats bool) {
	c.short = map[string]bool{}
	if len(c.out.Since.FilesMissing) == 0 {
		return
	}
	for name, was := range e.sizes {
		l, there := c.lines[name]
		now := size{}
		if there {
			line := &c.r.Network.Lines[l]
			now = size{line.End - line.First, line.RowsPlaced}
		}
		c.short[name] = now.lessThan(was) || repeats && slices.Contains(e.Since.LinesShort, name) && !was.lessThan(now)
	}
	if repeats {
		for _, name := range e.Since.LinesShort {
			if _, there := c.lines[name]; !there {
				c.short[name] = true
			}
		}
	}
	for name, short := range c.short {
		if short {
			c.out.Since.LinesShort = append(c.out.Since.LinesShort, name)
		}
	}
	slices.SortFunc(c.out.Since.LinesShort, audit.NaturalCompare)
}

// forgetReplaced takes files for replaced, and not missing, where a pattern of structures or of the register finds as many new ones, and
// no line has less than it had.
func (c *comparison) forgetReplaced() {
	s := c.out.Since
	if len(s.LinesShort) > 0 {
		return
	}
	replaced := func(f File) bool {
		if f.Missing != c.r.Run.AsOf || f.Section != structureFiles && f.Section != registerFiles && f.Section != routeFiles {
			return false
		}
		gone, came := 0, 0
		for _, other := range s.FilesMissing {
			if other.Pattern == f.Pattern && other.Section == f.Section && other.Missing == f.Missing {
				gone++
			}
		}
		for _, other := range s.FilesNew {
			if other.Pattern == f.Pattern && other.Section == f.Section {
				came++
			}
		}
		return gone <= came
	}
	var left []File
	for _, f := range s.FilesMissing {
		if !replaced(f) {
			left = append(left, f)
			continue
		}
		f.Missing = ""
		s.FilesReplaced = append(s.FilesReplaced, f)
		c.remark("%s, which the pattern %s under %s found, is not there any more, and other files that it finds now are; no line has fewer structures or assemblies than it had", f.Name, f.Pattern, f.Section)
	}
	s.FilesMissing = left
}

// sayNew says which files patterns find that were not there then.
func (c *comparison) sayNew() {
	for _, f := range c.out.Since.FilesNew {
		if f.Missing != "" {
			c.remark("%s, which the pattern %s under %s finds, is there again; it was missing since %s", f.Name, f.Pattern, f.Section, f.Missing)
		} else {
			c.remark("%s, which the pattern %s under %s finds, was not there then", f.Name, f.Pattern, f.Section)
		}
	}
}

// InWords says that the file is missing, and what follows.
func (f *File) InWords() string {
	return fmt.Sprintf("%s is missing since %s, which the pattern %s under %s found before: what it held is lost, not gone; put it back, or name it there under without if it is to be no more",
		f.Name, f.Missing, f.Pattern, f.Section)
}

// lostFile finds the missing file that may have held what an exception rested on that would be cleared for a reason.
func (c *comparison) lostFile(b *before, why Why) (File, bool) {
	missing := c.out.Since.FilesMissing
	of := func(now bool, sections ...string) (File, bool) {
		for _, f := range missing {
			if slices.Contains(sections, f.Section) && (!now || f.Missing == c.r.Run.AsOf) {
				return f, true
			}
		}
		return File{}, false
	}
	if len(missing) == 0 {
		return File{}, false
	}
	if i := slices.IndexFunc(missing, func(f File) bool { return f.Name == b.Missing }); i >= 0 && why != Meets {
		return missing[i], true
	}
	line, there := c.lines[b.key.Line]
	if !there || c.lacks(line, b.key.Structure) || c.lacks(line, b.key.To) {
		return of(false, structureFiles, routeFiles)
	}
	if c.short[b.Line] || c.short[b.key.Line] {
		if f, is := of(true, structureFiles, routeFiles, registerFiles); is {
			return f, true
		}
	}
	switch why {
	case RuleChanged:
		return of(true, zoneFiles, crossingFiles)
	case DoesNotApply:
		return of(true, crossingFiles)
	}
	return File{}, false
}
