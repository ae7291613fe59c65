package report

import (
	"bufio"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"hash"
	"io"
	"runtime"
	"slices"
	"strings"
	"sync"

	"dryarc/audit"

	"golang.org/x/sync/errgroup"
)

// stageAll stages the outputs side by side. One that vouches for the others stands last in the list, and takes their hashes once they are staged. It
// returns what that one is told.
func (f folder) stageAll(ctx context.Context, staging string, r *audit.Result, list []output, tell func(done, of int)) ([]Output, error) {
	sums := slices.Repeat([]string{unknownSum}, len(list))
	others := func() (others []Output) {
		for i, o := range list {
			if o.last == nil {
				others = append(others, Output{o.name, sums[i]})
			}
		}
		return others
	}
	var mu sync.Mutex
	done := 0
	count := func(more int) {
		mu.Lock()
		defer mu.Unlock()
		if done += more; tell != nil {
			tell(done, len(list))
		}
	}
	count(0)
	unknown := others()
	var left sync.WaitGroup // to be staged
	left.Add(len(unknown))
	group, all := errgroup.WithContext(ctx)
	group.SetLimit(runtime.GOMAXPROCS(0)) // in their order, in which the longest come first: what is more holds more memory and is no quicker
	for i, o := range list {
		group.Go(func() (err error) {
			write := func(w io.Writer) error { return o.write(all, w, r) }
			if o.last == nil {
				defer left.Done()
			} else {
				write = func(w io.Writer) error {
					again, err := o.last(all, w, r, unknown)
					if err != nil {
						return err
					}
					left.Wait()
					return w.(*staged).startAgain(again(others()))
				}
			}
			if sums[i], err = f.stage(all, staging, o.name, write); err == nil {
				count(1)
			}
			return err
		})
	}
	if err := group.Wait(); err != nil {
		return nil, err
	}
	return others(), nil
}

// unknownSum stands for the hash of an output that is not staged yet, and is as long.
var unknownSum = strings.Repeat("0", hex.EncodedLen(sha256.Size))

// stage writes one output into the staging folder, sees it onto the disk and returns the hash of its bytes.
func (f folder) stage(ctx context.Context, staging, name string, write func(io.Writer) error) (sum string, err error) {
	file, err := f.disk.Create(f.path(staging, name))
	if err != nil {
		return "", &WriteError{name, err}
	}
	s := &staged{ctx: ctx, file: file, hash: sha256.New(), folder: f.path(staging)}
	s.Writer = bufio.NewWriterSize(writerFunc(s.through), 1<<18)
	err = write(s)
	if err == nil {
		err = s.Flush()
	}
	if err == nil {
		err = file.Sync()
	}
	if closing := file.Close(); err == nil {
		err = closing
	}
	if err != nil {
		return "", inFolder(name, err)
	}
	return hex.EncodeToString(s.hash.Sum(nil)), nil
}

// staged is an output while it is staged. It fails once its context has ended.
type staged struct {
	*bufio.Writer
	ctx    context.Context
	file   diskFile
	hash   hash.Hash
	folder string // where else may be written until the run ends
}

func (s *staged) through(p []byte) (int, error) {
	if err := s.ctx.Err(); err != nil {
		return 0, err
	}
	s.hash.Write(p)
	return s.file.Write(p)
}

// startAgain writes over the start of what was written, which is as long.
func (s *staged) startAgain(start []byte) error {
	if err := s.Flush(); err != nil {
		return err
	}
	_, err := s.file.WriteAt(start, 0)
	return err
}

type writerFunc func([]byte) (int, error)

func (f writerFunc) Write(p []byte) (int, error) { return f(p) }

// scratchFolder is where an output may keep temporary files while it writes to w: the staging folder, so that they go
// with it. It is empty, for the system's own, where w is no file of a folder of outputs.
func scratchFolder(w io.Writer) string {
	if s, ok := w.(*staged); ok {
		return s.folder
	}
	return ""
}
