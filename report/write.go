package report

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/rogpeppe/go-internal/lockedfile"
	"golang.org/x/sync/errgroup"
)

// output is one file of a report.
type output struct {
	name  string
	write func(ctx context.Context, w io.Writer, r *audit.Result) error
}

// outputs lists the files in the order in which they take their names. The workbook comes first, since it is the one
// that another program may hold open; audit.json comes last, so that who sees a new one finds the others new too.
func outputs() []output {
	return []output{
		{"exceptions.xlsx", writeWorkbook},
		{"audit.html", writePage},
		{"structures.geojson", writeStructures},
		{"exceptions.geojson", writeExceptions},
		{"audit.json", writeAudit},
	}
}

// onRequest are the outputs that are written only where they are asked for, by the names that ask for them.
func onRequest() []requested {
	return []requested{
		{"csv", output{"exceptions.csv", writeExceptionsCSV}},
		{"gpkg", output{"audit.gpkg", writeGeoPackage}},
		{"kml", output{"exceptions.kml", writeKML}},
		{"requirements", output{"requirements.csv", writeRequirementsCSV}},
	}
}

// requested is an output on request and the name that asks for it.
type requested struct {
	asked string
	output
}

// Also lists the names of the outputs on request.
func Also() (names []string) {
	for _, o := range onRequest() {
		names = append(names, o.asked)
	}
	return names
}

// UnknownOutput is the error of a run that is asked for an output that there is not.
type UnknownOutput struct{ Name string }

func (e *UnknownOutput) Error() string {
	return fmt.Sprintf("output %q is none of %s", e.Name, strings.Join(Also(), ", "))
}

// chosen lists the outputs of a run, with those that it asks for by name before audit.json.
func chosen(also []string) ([]output, error) {
	list := outputs()
	last := len(list) - 1
	for _, name := range also {
		i := slices.IndexFunc(onRequest(), func(o requested) bool { return o.asked == name })
		if i < 0 {
			return nil, &UnknownOutput{name}
		}
		o := onRequest()[i].output
		if !slices.ContainsFunc(list, func(have output) bool { return have.name == o.name }) {
			list = slices.Insert(list, last, o)
			last++
		}
	}
	return list, nil
}

// WriteError tells which file could not be written, and why.
type WriteError struct {
	File string
	Err  error
}

func (e *WriteError) Error() string { return fmt.Sprintf("%s was not written: %v", e.File, e.Err) }

func (e *WriteError) Unwrap() error { return e.Err }

// Write writes every output into dir, which it makes where there is none. The files are written beside their names
// first and take them when all are complete: an error, or an end of ctx before that, leaves what stood in dir as it
// was. Of several processes that write to one directory each waits for the one before it. A failure is a *WriteError.
//
// also names the outputs on request that are written too; an *UnknownOutput where there is none of a name. An output of
// an earlier run that this one does not write stays, since each carries the id of its run.
func Write(ctx context.Context, dir string, r *audit.Result, also ...string) error {
	list, err := chosen(also)
	if err != nil {
		return err
	}
	return writeAll(ctx, dir, r, list)
}

func writeAll(ctx context.Context, dir string, r *audit.Result, outputs []output) (err error) {
	if err := ctx.Err(); err != nil { // before anything is made in dir
		return &WriteError{dir, err}
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return &WriteError{dir, err}
	}
	unlock, err := lock(ctx, filepath.Join(dir, ".dryarc.lock"))
	if err != nil {
		return &WriteError{dir, err}
	}
	defer unlock()
	if err := removeTemporaries(dir); err != nil {
		return &WriteError{dir, err}
	}
	defer func() {
		if err == nil {
			return
		}
		if left := removeTemporaries(dir); left != nil {
			err = errors.Join(err, &WriteError{dir, left})
		}
	}()

	group, staging := errgroup.WithContext(ctx)
	for _, o := range outputs {
		group.Go(func() error { return stage(staging, dir, o, r) })
	}
	if err := group.Wait(); err != nil {
		return err
	}
	for _, o := range outputs {
		if err := freeName(filepath.Join(dir, o.name)); err != nil {
			return &WriteError{o.name, err}
		}
	}
	if err := ctx.Err(); err != nil {
		return &WriteError{dir, err}
	}
	for _, o := range outputs {
		if err := os.Rename(temporary(dir, o.name), filepath.Join(dir, o.name)); err != nil {
			return &WriteError{o.name, fmt.Errorf("%w (is it open in another program?)", err)}
		}
	}
	return nil
}

// lock waits until no other process writes to the directory, or until ctx ends.
func lock(ctx context.Context, path string) (unlock func(), err error) {
	type locked struct {
		unlock func()
		err    error
	}
	got := make(chan locked, 1)
	go func() {
		unlock, err := lockedfile.MutexAt(path).Lock()
		got <- locked{unlock, err}
	}()
	select {
	case l := <-got:
		return l.unlock, l.err
	case <-ctx.Done():
		go func() {
			if l := <-got; l.err == nil {
				l.unlock()
			}
		}()
		return nil, fmt.Errorf("another run writes there: %w", ctx.Err())
	}
}

const temporaryPrefix, temporarySuffix = ".dryarc-", ".tmp"

func temporary(dir, name string) string {
	return filepath.Join(dir, temporaryPrefix+name+temporarySuffix)
}

// removeTemporaries removes what this run, or one that was killed, left half written. The directory must be locked.
func removeTemporaries(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	for _, entry := range entries {
		name := entry.Name()
		if !strings.HasPrefix(name, temporaryPrefix) || !strings.HasSuffix(name, temporarySuffix) {
			continue
		}
		if err := os.Remove(filepath.Join(dir, name)); err != nil {
			return err
		}
	}
	return nil
}

// stage writes one output under its temporary name and sees it onto the disk.
func stage(ctx context.Context, dir string, o output, r *audit.Result) error {
	file, err := os.OpenFile(temporary(dir, o.name), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
	if err != nil {
		return &WriteError{o.name, err}
	}
	buffered := bufio.NewWriterSize(interruptible{ctx, file}, 1<<18)
	err = o.write(ctx, buffered, r)
	if err == nil {
		err = buffered.Flush()
	}
	if err == nil {
		err = file.Sync()
	}
	if closing := file.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return &WriteError{o.name, err}
	}
	return nil
}

// interruptible is a writer that fails once its context has ended.
type interruptible struct {
	ctx context.Context
	w   io.Writer
}

func (i interruptible) Write(p []byte) (int, error) {
	if err := i.ctx.Err(); err != nil {
		return 0, err
	}
	return i.w.Write(p)
}

// freeName fails where a file cannot take a name because something other than a file has it.
func freeName(path string) error {
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil
	case err != nil:
		return err
	case info.IsDir():
		return fmt.Errorf("a folder has its name")
	}
	return nil
}
