package report

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"dryarc/audit/history"
)

// DecisionFile is a file of decisions that this process alone reads and replaces until it is closed.
type DecisionFile struct {
	Path   string
	Text   []byte // what it holds; empty where it is not there yet
	disk   disk
	path   string // of the file, behind links
	next   []byte // what takes its place; nil for nothing
	unlock func()
}

// OpenDecisions opens a file of decisions, and waits for others who have it as long as how says. What a process that was cut short left
// beside it is removed. The error is a *WriteError.
func OpenDecisions(ctx context.Context, path string, how How) (*DecisionFile, error) {
	return openDecisions(ctx, realDisk{}, path, how)
}

func openDecisions(ctx context.Context, d disk, path string, how How) (*DecisionFile, error) {
	if err := KeptName(path); err != nil {
		return nil, &WriteError{path, err}
	}
	f := &DecisionFile{Path: path, disk: d, path: path}
	if real, err := filepath.EvalSymlinks(path); err == nil {
		f.path = real
	}
	var err error
	if f.unlock, err = lock(ctx, filepath.Dir(f.path), f.beside(".lock"), how); err != nil {
		return nil, &WriteError{path, err}
	}
	err = removeIfThere(d, f.beside(".new"))
	if err == nil {
		f.Text, err = f.read()
	}
	if err != nil {
		f.Close()
		return nil, &WriteError{path, err}
	}
	return f, nil
}

// beside is a name that is taken beside the file.
func (f *DecisionFile) beside(end string) string {
	folder, name := filepath.Split(f.path)
	return filepath.Join(folder, "."+name+end)
}

func (f *DecisionFile) read() ([]byte, error) {
	text, err := f.disk.ReadFile(f.path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	return text, err
}

// Replace replaces the file, all of it or nothing.
func (f *DecisionFile) Replace(text []byte) error {
	f.next = text
	return f.replace()
}

var errChanged = errors.New("it was changed while this run had it; nothing was replaced, run it again")

// replace puts what takes the place of the file there. A file that somebody else changed meanwhile stays.
func (f *DecisionFile) replace() error {
	if f == nil || f.next == nil || bytes.Equal(f.next, f.Text) {
		return nil
	}
	now, err := f.read()
	if err == nil && !bytes.Equal(now, f.Text) {
		err = errChanged
	}
	staged := f.beside(".new")
	if err == nil {
		err = f.stage(staged)
	}
	if err == nil {
		if err = f.disk.Rename(staged, f.path); err != nil {
			err = inUse(err)
		}
	}
	if err == nil {
		err = f.disk.SyncFolder(filepath.Dir(f.path))
	}
	if err != nil {
		return errors.Join(&WriteError{f.Path, err}, removeIfThere(f.disk, staged))
	}
	f.Text = f.next
	return nil
}

func (f *DecisionFile) stage(path string) error {
	file, err := f.disk.Create(path)
	if err != nil {
		return err
	}
	_, err = file.Write(f.next)
	if err == nil {
		err = file.Sync()
	}
	return errors.Join(err, file.Close())
}

// Close lets others have the file.
func (f *DecisionFile) Close() {
	if f != nil && f.unlock != nil {
		f.unlock()
		f.unlock = nil
	}
}

// Decisions are what a run makes of the decisions on its result, and the file that keeps them, which is replaced before the outputs
// are: at any moment a decision stands in the workbook in which it was made, or in the file.
type Decisions struct {
	*history.Decided
	Workbook *Seen // from which they were taken
	File     *DecisionFile
	Next     []byte // what takes the place of the file
}

// keep replaces the file of decisions, unless somebody has saved the workbook since they were taken from it.
func (d *Decisions) keep() error {
	if d == nil {
		return nil
	}
	if err := d.Workbook.unchanged(); err != nil {
		return &WriteError{WorkbookFile, err}
	}
	return d.File.Replace(d.Next)
}

// Seen is how a file stood when it was looked at.
type Seen struct {
	path string
	info fs.FileInfo // nil where there was none
}

// See looks at a file.
func See(path string) (*Seen, error) {
	info, err := os.Stat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return &Seen{path, nil}, nil
	}
	return &Seen{path, info}, err
}

var errSaved = errors.New("somebody saved it while this run was at work, perhaps with decisions or stock; nothing was replaced, run it again")

// unchanged fails where a file is another than the one that was seen, or was written to since.
func (s *Seen) unchanged() error {
	if s == nil {
		return nil
	}
	now, err := See(s.path)
	if err != nil {
		return err
	}
	is, was := now.info, s.info
	if was == nil && is == nil || was != nil && is != nil && os.SameFile(is, was) && is.Size() == was.Size() && is.ModTime().Equal(was.ModTime()) {
		return nil
	}
	return errSaved
}

func (d *Decisions) close() {
	if d != nil {
		d.File.Close()
	}
}

// worth is what the decisions are worth; nil where the project has none.
func (d *Decisions) worth() *history.Decided {
	if d == nil {
		return nil
	}
	return d.Decided
}

// sparesDecisions fails where an output would take the place of the file of decisions.
func sparesDecisions(dir, path string, list []output) error {
	if path == "" {
		return nil
	}
	for _, o := range list {
		if SamePath(filepath.Join(dir, o.name), path) {
			return &WriteError{o.name, fmt.Errorf("%s is the file of decisions; %s", path, elsewhere(dir))}
		}
	}
	return nil
}
