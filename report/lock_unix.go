//go:build !windows

package report

import (
	"errors"
	"os"
	"syscall"
)

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
