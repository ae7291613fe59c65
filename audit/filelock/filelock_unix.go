//go:build !windows

package filelock

import (
	"errors"
	"os"
	"syscall"
)

// Try locks an open file without waiting, alone or with others who only read the folder. The lock ends with the
// file, and so with the process.
func Try(file *os.File, alone bool) error {
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
			return ErrHeld
		case errors.Is(err, errors.ErrUnsupported), errors.Is(err, syscall.ENOLCK), errors.Is(err, syscall.EINVAL):
			return ErrNone
		}
		return err
	}
}
