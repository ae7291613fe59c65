package report

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
)

// ownHeading is the end of the headings of our tables of values, which hold no run where they have no rows.
var ownHeading = regexp.MustCompile(`^[^\r\n]*[,;]"?(run)"?\r?\n`)

// sparesOthers fails where an output would take the place of a file that no run has written: it carries the id of none, and the last of
// the outputs, which says what the others are, does not list it. Of the log it is enough that a row of it was.
func sparesOthers(dir string, list []output) error {
	manifest := list[len(list)-1].name
	listed, readable := listedAtStart(filepath.Join(dir, manifest))
	if !readable {
		var err error
		_, listed, _, err = readManifest(filepath.Join(dir, manifest))
		readable = err == nil
	}
	for _, o := range list {
		path := filepath.Join(dir, o.name)
		info, err := os.Stat(path)
		if err != nil || !info.Mode().IsRegular() || info.Size() == 0 {
			continue // what is wrong with it shows when it is written
		}
		if o.name == historyFile && hasLogRows(path) || slices.ContainsFunc(listed, func(l Output) bool { return l.File == o.name }) || o.name == manifest && (readable || beginsAsOurs(path)) || runCarried(path) != "" || hasOwnHeading(path) {
			continue
		}
		return &WriteError{o.name, fmt.Errorf("%s is there and was written by no run of this program; %s", path, elsewhere(dir))}
	}
	return nil
}

// ownBeginning is how an audit.json begins, of an earlier version too.
var ownBeginning = regexp.MustCompile(`^\s*\{\s*"run"\s*:`)

// beginsAsOurs tells whether an audit.json is one of a run, whatever became of the rest of it.
func beginsAsOurs(path string) bool {
	file, err := openRegular(path)
	if err != nil {
		return true // which shows when it is written
	}
	defer file.Close()
	head := make([]byte, 64)
	n, _ := io.ReadFull(file, head)
	return ownBeginning.Match(head[:n])
}

func hasLogRows(path string) bool {
	text, err := os.ReadFile(path)
	return err != nil || len(parseLog(text).rows) > 0
}

func hasOwnHeading(path string) bool {
	file, err := openRegular(path)
	if err != nil {
		return true
	}
	defer file.Close()
	head := make([]byte, 4096)
	n, err := io.ReadFull(file, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
		return false
	}
	return filepath.Ext(path) == ".csv" && ownHeading.Match(head[:n])
}
