package template

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"

	"dryarc/audit/filelock"
)

// stage is the folder in which the files of a project are made before they get their places. It is locked while the run
// lives, so that a later one knows it for left over.
type stage struct {
	dir  string
	lock *os.File
}

// The names of staging folders, and of what is in one.
const (
	stageStart = ".dryarc-new-" // and the number of the process, and one drawn by lot
	stageLock  = "lock"         // which also lists the files that are given their places one by one
	stageFiles = "files"
)

// placed is a file that a run gives its place.
type placed struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
}

func newStage(home string) (*stage, error) {
	if err := os.MkdirAll(home, 0o777); err != nil {
		return nil, err
	}
	s := &stage{dir: filepath.Join(home, fmt.Sprintf("%s%d-%d", stageStart, os.Getpid(), rand.Uint32()))}
	if err := os.Mkdir(s.dir, 0o777); err != nil {
		return nil, err
	}
	var err error
	if s.lock, err = os.OpenFile(filepath.Join(s.dir, stageLock), os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666); err != nil {
		return nil, errors.Join(err, os.Remove(s.dir))
	}
	_ = filelock.Try(s.lock, true) // without locks it stays where the run is killed
	if err := os.Mkdir(s.path(), 0o777); err != nil {
		return nil, errors.Join(err, s.remove())
	}
	return s, nil
}

// path is where a file is staged; without a name the folder that becomes that of the project.
func (s *stage) path(name ...string) string {
	return filepath.Join(append([]string{s.dir, stageFiles}, name...)...)
}

// list writes down which files get their places from now on, by what is in them.
func (s *stage) list(files []templateFile) error {
	var all []placed
	for _, file := range files {
		sum, err := sumOf(s.path(file.name))
		if err != nil {
			return err
		}
		all = append(all, placed{file.name, sum})
	}
	text, err := json.Marshal(all)
	if err != nil {
		return err
	}
	if _, err := s.lock.WriteAt(text, 0); err != nil {
		return err
	}
	return s.lock.Sync()
}

func (s *stage) remove() error { return errors.Join(s.lock.Close(), removeStage(s.dir)) }

// removeStage removes a staging folder, the lock by which a later run knows it last. RemoveAll would ask Windows in a way that Wine 8 does not
// know.
func removeStage(dir string) error {
	files := filepath.Join(dir, stageFiles)
	entries, err := os.ReadDir(files)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	var paths []string
	for _, entry := range entries {
		paths = append(paths, filepath.Join(files, entry.Name()))
	}
	for _, path := range append(paths, files, filepath.Join(dir, stageLock), dir) {
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

// LeftBehind says that all files got their places and that the folder in which they were made stays. A later run removes it.
type LeftBehind struct {
	Dir string
	Err error
}

func (l *LeftBehind) Error() string {
	return fmt.Sprintf("all is written, but %s, in which it was made, could not be removed: %v", l.Dir, l.Err)
}

func (l *LeftBehind) Unwrap() error { return l.Err }

// clearLeftovers removes what runs left that were killed: their staging folders, and of a project that did not get its
// first file, which comes last, those others that are still as they were written. What cannot be removed stays.
func clearLeftovers(home string, files []templateFile) {
	entries, err := os.ReadDir(home)
	if err != nil {
		return
	}
	for _, entry := range entries {
		if entry.IsDir() && strings.HasPrefix(entry.Name(), stageStart) {
			clearLeftover(home, filepath.Join(home, entry.Name()), files)
		}
	}
}

func clearLeftover(home, dir string, files []templateFile) {
	path := filepath.Join(dir, stageLock)
	if info, err := os.Lstat(path); err != nil || !info.Mode().IsRegular() {
		_ = os.Remove(dir) // which fails where anything is in it
		return
	}
	lock, err := os.Open(path)
	if err != nil {
		return
	}
	defer lock.Close()
	if filelock.Try(lock, true) != nil {
		return // it is at work
	}
	var list []placed
	if text, err := io.ReadAll(io.LimitReader(lock, 1<<16)); err != nil || json.Unmarshal(text, &list) != nil {
		list = nil // it was killed before it placed anything
	}
	if _, err := os.Lstat(filepath.Join(home, files[0].name)); err == nil {
		list = nil // it placed all
	}
	for _, file := range list {
		if filepath.Base(file.Name) != file.Name {
			continue
		}
		at := filepath.Join(home, file.Name)
		if sum, err := sumOf(at); err != nil || sum != file.SHA256 {
			continue // it is not there, or somebody works with it
		}
		if os.Remove(at) != nil {
			return
		}
	}
	lock.Close()
	_ = removeStage(dir)
}

// sumOf is the hash of the bytes of a regular file, hexadecimal.
func sumOf(path string) (string, error) {
	if info, err := os.Lstat(path); err != nil || !info.Mode().IsRegular() {
		return "", errors.Join(err, os.ErrInvalid)
	}
	file, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer file.Close()
	sum := sha256.New()
	_, err = io.Copy(sum, file)
	return hex.EncodeToString(sum.Sum(nil)), err
}
