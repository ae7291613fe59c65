package read

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"

	"dryarc/audit"
)

// isPattern tells a pattern of paths from a path. Brackets stand for themselves: names of files have them.
func isPattern(name string) bool {
	name, _ = archiveMember(name)
	return strings.ContainsAny(strings.TrimPrefix(name, longPath), "*?")
}

// longPath begins paths of more than 260 letters on Windows.
const longPath = `\\?\`

// Matching are the files that a pattern finds from the folder that a program runs in, for where no shell has put them in its place; what is
// no pattern, or is there by that very name, is itself. The error is an *InputError.
func Matching(name string) ([]string, error) { return matching(name, false) }

// MatchingBooks is Matching for workbooks that audits wrote, which are outputs of a run.
func MatchingBooks(name string) ([]string, error) { return matching(name, true) }

func matching(name string, outputs bool) ([]string, error) {
	if _, err := os.Lstat(name); err == nil || !isPattern(name) {
		return []string{name}, nil
	}
	found, err := filesLike(".", name)
	if err == nil && outputs {
		found.names, found.outputs = append(found.names, found.outputs...), nil
		found.sort()
	}
	switch {
	case err != nil:
		return nil, &InputError{File: name, Message: "cannot be followed: " + err.Error(), Err: err, Hint: patternHint}
	case len(found.names) == 0:
		return nil, &InputError{File: name, Message: "finds no file" + found.instead(), Hint: found.hint(patternHint)}
	}
	return found.names, nil
}

// fits tells whether a name is as a pattern says, whatever the case and the way of writing accents, so that a project finds the same files
// on every system: * stands for any text within a name, ? for one letter.
func fits(pattern, name string) bool {
	p, n := []rune(strings.ToLower(Composed(pattern))), []rune(strings.ToLower(Composed(name)))
	star, behind := -1, 0 // the last star, and where in the name what follows it was tried last
	i, k := 0, 0
	for k < len(n) {
		switch {
		case i < len(p) && p[i] == '*':
			star, behind = i, k
			i++
		case i < len(p) && (p[i] == n[k] || p[i] == '?' && n[k] != '/'):
			i++
			k++
		case star >= 0 && n[behind] != '/':
			behind++
			i, k = star+1, behind
		default:
			return false
		}
	}
	for i < len(p) && p[i] == '*' {
		i++
	}
	return i == len(p)
}

// foundFiles are the files that a pattern finds, by name as the project file would name them, and what it found beside them.
type foundFiles struct {
	names                             []string
	hidden, outputs, folders, devices []string // devices are also pipes and sockets
	dropped                           []string // of the names, those that are not read for the pattern
}

// filesLike finds the files of a pattern, by name, numbers in it by their value. What may be one and cannot be looked at is an error, which names it.
func filesLike(folder, pattern string) (*foundFiles, error) {
	if runtime.GOOS == "windows" {
		pattern = filepath.ToSlash(strings.TrimPrefix(pattern, longPath)) // Go puts it there where it is needed
	}
	found := &foundFiles{}
	parts := strings.Split(pattern, "/")
	at := []string{""}
	for i, part := range parts {
		last := i == len(parts)-1
		var next []string
		for _, prefix := range at {
			if !strings.ContainsAny(part, "*?") {
				next = append(next, prefix+part)
				continue
			}
			names, err := found.within(folder, prefix, part, last, strings.ContainsAny(pattern[:len(strings.Join(parts[:i], "/"))], "*?"))
			if err != nil {
				return nil, err
			}
			next = append(next, names...)
		}
		if at = next; !last {
			for k := range at {
				at[k] += "/"
			}
		}
	}
	if !strings.ContainsAny(parts[len(parts)-1], "*?") { // a file of one name in several folders
		var files []string
		for _, name := range at {
			info, err := os.Stat(pathIn(folder, name))
			switch {
			case err == nil && info.IsDir():
				return nil, fmt.Errorf("%s: is a folder", name)
			case err == nil:
				files = append(files, name)
			case !isNotThere(err) || leadsNowhere(folder, name) != "":
				return nil, unfollowed(folder, name, err)
			}
		}
		at = files
	}
	found.names = at
	found.sort()
	return found, nil
}

// sort puts the names in their order, numbers in them by their value.
func (f *foundFiles) sort() {
	slices.SortFunc(f.names, func(a, b string) int { return cmp.Or(audit.NaturalCompare(a, b), cmp.Compare(a, b)) })
}

// isNotThere tells whether an error says that there is nothing of a name.
func isNotThere(err error) bool {
	return errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR)
}

// leadsNowhere is the link on the way to a file that leads nowhere, such as to a share that is not there; empty where none is.
func leadsNowhere(folder, name string) string {
	for at := path.Clean(name); at != "." && at != "/"; at = path.Dir(at) {
		if _, err := os.Lstat(pathIn(folder, at)); err == nil {
			if _, err := os.Stat(pathIn(folder, at)); err != nil {
				return at
			}
			return ""
		}
	}
	return ""
}

// unfollowed is the error of a name that cannot be looked at.
func unfollowed(folder, name string, err error) error {
	if link := leadsNowhere(folder, name); link != "" {
		return fmt.Errorf("%s: is a link that leads to nothing that can be read", link)
	}
	if at := (*fs.PathError)(nil); errors.As(err, &at) {
		err = at.Err
	}
	return fmt.Errorf("%s: %w", strings.TrimSuffix(name, "/"), err)
}

// within lists what fits the last part of a pattern in one folder: files, or folders where more parts follow. Where the folder is one of
// several it need not be there.
func (f *foundFiles) within(folder, prefix, part string, last, oneOfSeveral bool) (names []string, err error) {
	in := pathIn(folder, prefix)
	entries, err := os.ReadDir(in)
	if err != nil {
		if (os.IsNotExist(err) || oneOfSeveral && isNotThere(err)) && leadsNowhere(folder, prefix) == "" {
			return nil, nil
		}
		return nil, unfollowed(folder, prefix, err)
	}
	outputs := last && holdsOutputs(in)
	for _, entry := range entries {
		name := entry.Name()
		if !fits(part, name) {
			continue
		}
		kind := entry.Type()
		if entry.Type()&fs.ModeSymlink != 0 { // a file that leads nowhere is told when it is opened
			info, err := os.Stat(filepath.Join(in, name))
			if err != nil && !last && !isHidden(name) {
				return nil, unfollowed(folder, prefix+name, err)
			}
			if err == nil {
				kind = info.Mode().Type()
			}
		}
		isFolder := kind.IsDir()
		switch {
		case !last && !isFolder:
		case isHidden(name) && !strings.HasPrefix(part, "."):
			f.hidden = append(f.hidden, prefix+name)
		case !last:
			names = append(names, prefix+name)
		case isFolder:
			f.folders = append(f.folders, prefix+name)
		case kind&(fs.ModeDevice|fs.ModeNamedPipe|fs.ModeSocket) != 0:
			f.devices = append(f.devices, prefix+name)
		case outputs && isOutput(name):
			f.outputs = append(f.outputs, prefix+name)
		default:
			names = append(names, prefix+name)
		}
	}
	return names, nil
}

// isHidden tells files that nobody means: what starts with a point, and what programs keep beside a file that is open, being saved or on
// its way.
func isHidden(name string) bool {
	return strings.HasPrefix(name, ".") || strings.HasPrefix(name, "~$") || strings.HasSuffix(name, "~") ||
		slices.Contains([]string{".tmp", ".temp", ".part", ".partial", ".crdownload", ".swp"}, strings.ToLower(path.Ext(name)))
}

// holdsOutputs tells whether a run has written its outputs into a folder: by the file that lists them.
func holdsOutputs(folder string) bool {
	for _, name := range [...]string{"audit.json", "scope.json"} {
		start, err := startOf(filepath.Join(folder, name), 64)
		if err == nil && bytes.HasPrefix(bytes.Join(bytes.Fields(start), nil), []byte(`{"run":{"schema":`)) {
			return true
		}
	}
	return false
}

// isOutput tells by its name whether a file beside such a list is an output, of that run or an earlier one.
func isOutput(name string) bool {
	stem, _, _ := strings.Cut(strings.ToLower(name), ".")
	return slices.Contains([]string{"exceptions", "exceptions-along-lines", "audit", "structures", "history", "requirements", "work", "material", "remedied", "brief", "risk", "scope", "scope-register", "scope-lines"}, stem)
}

// told says what else a pattern found.
func (f *foundFiles) told() (notes []string) {
	for _, kind := range [...]struct {
		names []string
		what  string
	}{{f.hidden, "hidden or temporary, and passed over"}, {f.outputs, "outputs of a run, and passed over"}, {f.folders, "folders, and passed over"}, {f.devices, "devices or pipes, and passed over"}} {
		if len(kind.names) > 0 {
			notes = append(notes, fmt.Sprintf("%s: %s", kind.what, quotedList(kind.names)))
		}
	}
	return notes
}

// instead says what a pattern that finds no file found.
func (f *foundFiles) instead() string {
	told := f.told()
	if len(f.dropped) > 0 {
		told = append([]string{"found and not read for it: " + quotedList(f.dropped)}, told...)
	}
	if len(told) > 0 {
		return "; " + strings.Join(told, "; ")
	}
	return ""
}

// hint is what helps where a pattern finds no file, else what is given.
func (f *foundFiles) hint(otherwise string) string {
	switch {
	case len(f.folders) > 0:
		return "to read what is in the folders, go on with / behind them: " + f.folders[0] + "/*.csv"
	case len(f.outputs) > 0:
		return "write the outputs into a folder of their own, such as --out out, and name an output that is to be read by itself"
	}
	return otherwise
}
