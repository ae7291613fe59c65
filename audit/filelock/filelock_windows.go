package filelock

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// Try locks an open file without waiting, alone or with others who only read the folder. The lock ends with the
// file, and so with the process. It is on a byte far behind what the file holds, so that others can read who has it.
func Try(file *os.File, alone bool) error {
	flags := uint32(windows.LOCKFILE_FAIL_IMMEDIATELY)
	if alone {
		flags |= windows.LOCKFILE_EXCLUSIVE_LOCK
	}
	err := windows.LockFileEx(windows.Handle(file.Fd()), flags, 0, 1, 0, &windows.Overlapped{OffsetHigh: 1 << 20})
	switch {
	case err == nil:
		return nil
	case errors.Is(err, windows.ERROR_LOCK_VIOLATION), errors.Is(err, windows.ERROR_IO_PENDING):
		return ErrHeld
	case errors.Is(err, windows.ERROR_NOT_SUPPORTED), errors.Is(err, windows.ERROR_CALL_NOT_IMPLEMENTED),
		errors.Is(err, windows.ERROR_INVALID_FUNCTION):
		return ErrNone
	}
	return err
}
