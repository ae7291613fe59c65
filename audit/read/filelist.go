package read

import (
	"fmt"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/goccy/go-yaml/ast"
)

// fileList is what a section of the project file, or an entry of the register, names as its files: paths and patterns of paths.
type fileList struct {
	queryInput          // in place of files
	asStated   []string // in the order of the project file
	without    []string
	// files are the paths to read, in order: those that are stated, and in the place of each pattern those that it finds, by name. A pattern
	// that finds nothing stands there itself.
	files []string

	from    map[string]string      // the patterns that found files, by these
	unfound map[string]*InputError // patterns that find nothing, or cannot be followed
	notes   map[string][]string    // what is to be told of patterns, by the first file that each found
	taken   []string               // in sentences, which files were found and are not read
	leftOut []string               // the files that were found and that it says under without
}

// of is what an error names where it is of all files of a list.
func (l *fileList) of() string { return strings.Join(l.asStated, ", ") }

const (
	patternHint = "in a pattern * stands for any text within a name and ? for one letter: assemblies-*.csv"
	withoutHint = "write names of files, or patterns of them, that the patterns under file are not to find: without: [assemblies-test.csv]"
)

// keys are the keys by which a section names its files, or a query.
func (l *fileList) keys() section {
	return append(l.ofFiles(), section{{"database", databaseKey(&l.database)}, {"query", l.readQuery}}...)
}

// ofFiles are those by which it names files.
func (l *fileList) ofFiles() section {
	return section{{"file", l.read}, {"without", l.readWithout}}
}

// read reads one path or pattern, or a list of them.
func (l *fileList) read(name string, node ast.Node) *ProjectFileError {
	var texts []string
	problem := filesKey(&texts)(name, node)
	for _, text := range texts {
		if isPattern(text) && strings.Contains(text, "**") {
			return wrong(node, patternHint+"; name each level of folders: north/*/assemblies.csv", "%s %q has **, which is not read", name, text)
		}
	}
	l.asStated, l.files = append(l.asStated, texts...), append(l.files, texts...)
	return problem
}

func (l *fileList) readWithout(name string, node ast.Node) *ProjectFileError {
	problem := filesKey(&l.without)(name, node)
	if problem != nil {
		problem.Hint = withoutHint
	}
	return problem
}

// leavesOut tells whether a file is one that the patterns of the list are not to find.
func (l *fileList) leavesOut(name string) bool {
	return slices.ContainsFunc(l.without, func(without string) bool { return isLeftOut(without, name) })
}

func isLeftOut(without, name string) bool {
	without, name = path.Clean(without), path.Clean(name)
	return fits(without, name) || !strings.Contains(without, "/") && fits(without, path.Base(name))
}

// names tells whether the list names a file, by itself or by a pattern, from the folder of its project file.
func (l *fileList) names(folder string) func(name string) bool {
	at := func(name string) string { return filepath.ToSlash(pathIn(folder, name)) }
	return func(name string) bool {
		return slices.ContainsFunc(l.asStated, func(stated string) bool {
			return at(stated) == at(name) || isPattern(stated) && fits(at(stated), at(name))
		})
	}
}

// mostFiles is how many files a project may name, a choice of this program: each has at least one table of its own, whose numbers are as
// many.
const mostFiles = 20_000

// lists are all lists of files, those of the register last, and before them those of the inspections.
func (f *projectFile) lists() (lists []*fileList) {
	lists = []*fileList{&f.structures.fileList, &f.routes.fileList, &f.zones.fileList, &f.crossings.fileList, &f.places.fileList}
	for _, entry := range f.terrain.entries {
		lists = append(lists, &entry.fileList)
	}
	for _, s := range f.scenarios {
		if s.zones != nil {
			lists = append(lists, &s.zones.in.fileList)
		}
	}
	for i := range f.inspections.entries {
		lists = append(lists, &f.inspections.entries[i].fileList)
	}
	for i := range f.register.entries {
		lists = append(lists, &f.register.entries[i].fileList)
	}
	return lists
}

// sectionOf is the key under which one of the lists stands; that of a scenario is of no run of today.
func (f *projectFile) sectionOf(list int) string {
	layers := [...]string{"structures", "routes", "zones", "crossings", "places"}
	register := len(f.lists()) - len(f.register.entries)
	switch {
	case list < len(layers):
		return layers[list]
	case list < len(layers)+len(f.terrain.entries):
		return "terrain"
	case list < register-len(f.inspections.entries):
		return "scenarios"
	case list < register:
		return inspectionsKey
	}
	return "register"
}

// findFiles puts the files that they find in the places of all patterns. What is wrong with a pattern is told when its section is read, with
// all else that is wrong with the inputs.
func (f *projectFile) findFiles(projectPath string) *ProjectFileError {
	spared := []string{projectPath}
	if f.decisions != "" {
		spared = append(spared, f.decisionsPath())
	}
	seen := newSameFiles(f.folder)
	for i := range f.register.entries { // what an entry names by itself is read as that entry says
		for _, n := range f.register.entries[i].asStated {
			if !isPattern(n) {
				seen.byName(n, &f.register.entries[i].fileList)
			}
		}
	}
	count := 0
	for i, list := range f.lists() {
		registered := seen
		if first := len(f.lists()) - len(f.register.entries); i < first {
			registered = nil
		}
		if problem := list.find(f.folder, spared, registered); problem != nil {
			return problem
		}
		if count += len(list.files); count > mostFiles {
			return tooManyFiles("")
		}
	}
	return nil
}

func tooManyFiles(how string) *ProjectFileError {
	return &ProjectFileError{Message: fmt.Sprintf("names more than %d files with those that its patterns find%s", mostFiles, how), Hint: fullHint}
}

// find finds the files of one list.
func (l *fileList) find(folder string, spared []string, registered *sameFiles) *ProjectFileError {
	if len(l.asStated) < 2 && len(l.without) == 0 && !slices.ContainsFunc(l.asStated, isPattern) {
		return nil
	}
	l.files, l.from, l.unfound, l.notes, l.taken, l.leftOut = nil, map[string]string{}, map[string]*InputError{}, map[string][]string{}, nil, nil
	own := newSameFiles(folder)
	for _, n := range l.asStated { // of a file that is named by itself and by a pattern the former counts
		if !isPattern(n) {
			own.byName(n, l)
		}
	}
	for _, n := range l.asStated {
		if !isPattern(n) {
			if first := own.first(n); first != n {
				l.take("%s is the same file as %s, and is read once.", n, first)
			} else {
				l.files = append(l.files, n)
			}
			continue
		}
		if problem := l.follow(n, folder, spared, own, registered); problem != nil {
			return problem
		}
	}
	for _, without := range l.without {
		if !slices.ContainsFunc(l.leftOut, func(name string) bool { return isLeftOut(without, name) }) {
			l.take("The project file says %s under without, which no pattern beside it finds.", without)
		}
	}
	return nil
}

// follow puts the files of one pattern into the list, unless they are too many to look at each.
func (l *fileList) follow(pattern, folder string, spared []string, own, registered *sameFiles) *ProjectFileError {
	plain, member := archiveMember(pattern)
	if member != "" {
		member = "!" + member
	}
	found, err := filesLike(folder, plain)
	if err != nil {
		l.files = append(l.files, pattern)
		l.unfound[pattern] = &InputError{File: pattern, Message: "cannot be followed: " + err.Error(), Err: err, Hint: pathsHint}
		return nil
	}
	if many := len(found.names); many > mostFiles && many-l.countLeftOut(found.names) > mostFiles {
		return tooManyFiles(fmt.Sprintf(": %s alone finds %d", pattern, many))
	}
	var names, other []string
	inList := false // a file that it finds is read for this list
	for _, name := range found.names {
		whole := name + member
		before := own.first(whole)
		switch {
		case slices.Contains(l.asStated, whole):
			inList = true
		case l.from[whole] != "":
			inList = true
			l.take("The patterns %s and %s find %s both, which is read once.", l.from[whole], pattern, name)
		case l.leavesOut(name):
			other, l.leftOut = append(other, name), append(l.leftOut, name)
			l.take("The pattern %s finds %s, which is not read, as the project file says under without.", pattern, name)
		case isOneOf(folder, name, spared):
			other = append(other, name)
			l.take("The pattern %s finds %s, which is the project file or that of the decisions, and no input.", pattern, name)
		case before != whole:
			inList = true
			l.take("The pattern %s finds %s, which is the same file as %s, and is read once.", pattern, name, before)
		case registered.elsewhere(name, l):
			other = append(other, name)
			l.take("The pattern %s finds %s, which another entry names by itself and reads.", pattern, name)
		default:
			names = append(names, whole)
			l.from[whole] = pattern
			own.byName(whole, l)
		}
	}
	found.dropped = other
	switch {
	case len(names) > 0:
	case inList:
		return nil
	default:
		l.files = append(l.files, pattern)
		l.unfound[pattern] = &InputError{File: pattern, Message: "finds no file" + found.instead(), Hint: found.hint(patternHint + "; " + pathsHint)}
		return nil
	}
	if l.files = append(l.files, names...); len(l.files) > mostFiles {
		return tooManyFiles("")
	}
	note := fmt.Sprintf("the pattern %q finds %s", pattern, countedFiles(len(names)))
	l.notes[names[0]] = append(l.notes[names[0]], append([]string{note}, found.told()...)...)
	return nil
}

func (l *fileList) countLeftOut(names []string) (n int) {
	for _, name := range names {
		if l.leavesOut(name) {
			n++
		}
	}
	return n
}

func countedFiles(n int) string {
	if n == 1 {
		return "1 file"
	}
	return fmt.Sprintf("%d files", n)
}

func (l *fileList) take(format string, names ...any) {
	l.taken = append(l.taken, fmt.Sprintf(format, names...))
}

// noteInput notes of the last input of a project which pattern found it, and in which section.
func (l *fileList) noteInput(p *audit.Project, file, section string) {
	last := &p.Inputs[len(p.Inputs)-1]
	last.Pattern, last.Section, last.Query = l.from[file], section, l.sql
}

// sameFiles finds out which names are of one file: by two patterns, by a link, or by letters that the file system takes for the same.
type sameFiles struct {
	folder string
	bySize map[int64][]knownFile
}

type knownFile struct {
	name string
	list *fileList
	info os.FileInfo
}

func newSameFiles(folder string) *sameFiles {
	return &sameFiles{folder, map[int64][]knownFile{}}
}

// stat looks at the file of a name, nil where there is none.
func (s *sameFiles) stat(name string) os.FileInfo {
	name, _ = archiveMember(name)
	if name == standardInput {
		return nil
	}
	info, err := os.Stat(pathIn(s.folder, name))
	if err != nil {
		return nil
	}
	return info
}

// byName takes up a file under a name.
func (s *sameFiles) byName(name string, list *fileList) {
	if info := s.stat(name); info != nil {
		s.bySize[info.Size()] = append(s.bySize[info.Size()], knownFile{name, list, info})
	}
}

// first is the name under which the file of a name was taken up first; the name itself where it was not.
func (s *sameFiles) first(name string) string {
	info := s.stat(name)
	if info == nil {
		return name
	}
	_, member := archiveMember(name)
	for _, known := range s.bySize[info.Size()] {
		if _, other := archiveMember(known.name); os.SameFile(known.info, info) && other == member {
			return known.name
		}
	}
	return name
}

// elsewhere tells whether another list than one has the file of a name.
func (s *sameFiles) elsewhere(name string, list *fileList) bool {
	if s == nil {
		return false
	}
	info := s.stat(name)
	return info != nil && slices.ContainsFunc(s.bySize[info.Size()], func(known knownFile) bool { return known.list != list && os.SameFile(known.info, info) })
}

// isOneOf tells whether a file that was found is one of some paths.
func isOneOf(folder, name string, paths []string) bool {
	info, err := os.Stat(pathIn(folder, name))
	return err == nil && slices.ContainsFunc(paths, func(path string) bool {
		other, err := os.Stat(path)
		return err == nil && os.SameFile(info, other)
	})
}

// pathIn is the path of a file that a project file in a folder names. On Windows one that begins with a slash alone is on the folder's drive,
// and one that begins with a drive alone stays as it is (leavesRootOpen).
func pathIn(folder, name string) string {
	path := filepath.FromSlash(name)
	switch {
	case filepath.IsAbs(path), leavesRootOpen(path):
		return path
	case runtime.GOOS == "windows" && strings.HasPrefix(path, `\`):
		return filepath.VolumeName(folder) + path
	}
	return filepath.Join(folder, path)
}

// leavesRootOpen tells whether a path names a drive and not from where on it, as D:x does on Windows: the folder that a program happens to
// be in on that drive decides.
func leavesRootOpen(path string) bool {
	drive := filepath.VolumeName(path)
	return len(drive) == 2 && !filepath.IsAbs(path)
}

// emptyPart refuses a file that a pattern found and that holds nothing: it may have held something before, of which nothing tells.
func emptyPart(name, pattern, what string) *InputError {
	return &InputError{File: name, Message: fmt.Sprintf("holds no %s, though the pattern %q finds it", what, pattern),
		Hint: "put what it held back, or where it is to hold nothing name it under without"}
}

// refuseTwice refuses two files that patterns of one section found and that are the same, byte for byte or feature by feature: one of them was
// written over, or is read twice. Those that are named by themselves may be alike, as of two lines that the project file tells.
func refuseTwice(inputs []audit.Input) error {
	const hint = "put its own content back, take one of them away, or name one under without"
	type content struct{ section, sha256 string }
	first := map[content]string{}
	for _, input := range inputs {
		if input.Pattern == "" {
			continue
		}
		name, _ := archiveMember(input.File)
		is := content{input.Section, input.SHA256}
		if other, there := first[is]; there && other != name {
			return &InputError{File: name, Message: fmt.Sprintf("is the same as %s, byte for byte, and the pattern %q finds it too", other, input.Pattern),
				Hint: hint}
		}
		first[is] = name
	}
	patterns := map[string]string{}
	for _, input := range inputs {
		patterns[input.Section+"\x00"+input.File] = input.Pattern
	}
	for _, input := range inputs {
		if input.SameAs != "" && input.Pattern != "" && patterns[input.Section+"\x00"+input.SameAs] != "" {
			return &InputError{File: input.File, Message: fmt.Sprintf("holds the same features as %s, and the pattern %q finds it too", input.SameAs, input.Pattern), Hint: hint}
		}
	}
	return nil
}
