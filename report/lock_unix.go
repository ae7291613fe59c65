//go:build !windows

package report

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// What to open a file with: without going through a link, and without waiting for the other end of a pipe.
const (
	noFollow = syscall.O_NOFOLLOW
	noWait   = syscall.O_NONBLOCK
)

// namesOf counts the names that an open file has.
func namesOf(_ *os.File, info fs.FileInfo) (uint64, error) {
	if stat, is := info.Sys().(*syscall.Stat_t); is {
		return uint64(stat.Nlink), nil
	}
	return 1, nil
}

// tryLock locks an open file without waiting, alone or with others who only read the folder. The lock ends with the
// file, and so with the process.
func tryLock(file *os.File, alone bool) error {
	how := syscall.LOCK_SH
	if alone {
		how = syscall.LOCK_EX
	}
	for {
		err := syscall.Flock(int(file.Fd()), how|syscall.LOCK_NB)
		switch {
		case err == nil:
			return nil
		case errors.Is(err, syscall.EINTR):
			continue
		case errors.Is(err, syscall.EWOULDBLOCK):
			return errHeld
		case errors.Is(err, errors.ErrUnsupported), errors.Is(err, syscall.ENOLCK), errors.Is(err, syscall.EINVAL):
			return errNoLocks
		}
		return err
	}
}
