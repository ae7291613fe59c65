package report

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"time"

	"dryarc/audit/filelock"
)

// Holder is the run that writes to a folder.
type Holder struct {
	PID   int       `json:"pid"`
	Host  string    `json:"host"`
	Since time.Time `json:"since"`
}

func (h Holder) String() string {
	if h.PID == 0 {
		return "another run, which did not say who it is"
	}
	return fmt.Sprintf("process %d on %s, since %s", h.PID, Visible(h.Host), h.Since.Format("2006-01-02 15:04:05"))
}

// Held is the error of a run that did not get the lock in time.
type Held struct {
	Dir string
	By  Holder
	For time.Duration // that it waited
	Err error         // what ended the waiting; nil where the time was up
}

func (h *Held) Error() string {
	why := fmt.Sprintf("waited %s", h.For.Round(time.Second))
	if h.Err != nil {
		why = h.Err.Error()
	}
	return fmt.Sprintf("another run writes there (%s): %s", h.By, why)
}

func (h *Held) Unwrap() error { return h.Err }

// errNoLocks is of a folder that cannot be locked.
var errNoLocks = fmt.Errorf("%w; --no-lock writes without one, where no other run writes to the folder", filelock.ErrNone)

// How often the lock is tried, and when the holder is told of.
const (
	lockPause  = 50 * time.Millisecond
	tellsAfter = time.Second
)

// lock waits until no other process writes to the folder, for as long as how says or until ctx ends.
func lock(ctx context.Context, dir, path string, how How) (unlock func(), err error) {
	if how.NoLock {
		return func() {}, nil
	}
	began, told := time.Now(), false
	for {
		unlock, err := lockNow(dir, path)
		if !errors.Is(err, filelock.ErrHeld) {
			return unlock, err
		}
		waited := time.Since(began)
		held := &Held{Dir: dir, By: holderOf(path), For: waited}
		if waited >= how.Wait {
			return nil, held
		}
		if !told && waited >= tellsAfter && how.Waiting != nil {
			how.Waiting(held.By)
			told = true
		}
		select {
		case <-time.After(min(lockPause, how.Wait-waited)):
		case <-ctx.Done():
			held.Err = ctx.Err()
			return nil, held
		}
	}
}

// lockNow locks without waiting. A lock file that was removed meanwhile locks nothing, so that it is locked anew.
func lockNow(dir, path string) (unlock func(), err error) {
	file, err := openLock(dir, path)
	if err != nil {
		return nil, err
	}
	if err := filelock.Try(file, true); err != nil {
		file.Close()
		if errors.Is(err, filelock.ErrNone) {
			err = errNoLocks
		}
		return nil, err
	}
	mine, err := file.Stat()
	now, gone := os.Stat(path)
	if err != nil || gone != nil || !os.SameFile(mine, now) {
		file.Close()
		return nil, filelock.ErrHeld
	}
	sayWhoHolds(file)
	return func() {
		_ = file.Truncate(0) // fails where the file is open for reading only, and then nothing was written into it
		file.Close()
	}, nil
}

// openLock opens the lock file. Where it makes it, all may read it who may read the folder, and write it who may write there.
// What was put under its name and is no lock is left as it is.
func openLock(dir, path string) (*os.File, error) {
	file, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
	if err == nil {
		if info, err := os.Stat(dir); err == nil {
			read, write := info.Mode().Perm()&0o444, info.Mode().Perm()&0o222
			_ = file.Chmod(0o600 | read | write | write<<1) // who cannot change it works with the mode of the umask
		}
		return file, nil
	}
	if !errors.Is(err, fs.ErrExist) {
		return nil, err
	}
	file, err = openOwn(path, os.O_RDWR)
	if errors.Is(err, fs.ErrPermission) {
		return openOwn(path, os.O_RDONLY) // enough to lock it, not to say who does
	}
	return file, err
}

// errNoLock is of a lock file that leads to another file, which writing into it would empty.
var errNoLock = errors.New("is no lock of the program but a link or something else under its name; remove it, or choose another folder for the outputs")

// openOwn opens a lock file that is there, and nothing that its name only leads to.
func openOwn(path string, flags int) (*os.File, error) {
	info, err := os.Lstat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, filelock.ErrHeld // it was there a moment ago
	}
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s %w", path, errNoLock)
	}
	file, err := os.OpenFile(path, flags|noFollow|noWait, 0)
	if err != nil {
		return nil, err
	}
	opened, err := file.Stat()
	switch {
	case err != nil:
	case !os.SameFile(info, opened):
		err = filelock.ErrHeld // changed in this moment
	default:
		var names uint64
		if names, err = namesOf(file, opened); err == nil && names > 1 {
			err = fmt.Errorf("%s %w", path, errNoLock)
		}
	}
	if err != nil {
		file.Close()
		return nil, err
	}
	return file, nil
}

// sayWhoHolds writes this process into the lock file, for those who wait.
func sayWhoHolds(file *os.File) {
	host, _ := os.Hostname()
	text, err := json.Marshal(Holder{os.Getpid(), host, time.Now().Truncate(time.Second)})
	if err == nil && file.Truncate(0) == nil {
		_, _ = file.WriteAt(text, 0) // it is there to be told, and nothing rests on it
	}
}

// holderOf reads who wrote into the lock file; the zero Holder where that cannot be told.
func holderOf(path string) (h Holder) {
	file, err := openRegular(path)
	if err != nil {
		return Holder{}
	}
	defer file.Close()
	text, err := io.ReadAll(io.LimitReader(file, 1<<12))
	if err != nil || json.Unmarshal(text, &h) != nil {
		return Holder{}
	}
	return h
}
