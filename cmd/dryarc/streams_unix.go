//go:build unix

package main

import (
	"errors"
	"os"
	"syscall"

	"golang.org/x/sys/unix"
)

// nobodyReads tells whether a write failed since whoever read from the pipe has gone.
func nobodyReads(err error) bool { return errors.Is(err, syscall.EPIPE) }

// leadsNowhere tells whether a stream may have been closed when the program began: Go then opens the null device for reading and writing in its place.
// Some programs start others so too, to discard what they print, so that this is no fault of its own; a shell opens the device for writing alone.
func leadsNowhere(w any) bool {
	file, ok := w.(*os.File)
	if !ok {
		return false
	}
	have, err := file.Stat()
	null, nullErr := os.Stat(os.DevNull)
	if err != nil || nullErr != nil || !os.SameFile(have, null) {
		return false
	}
	flags, err := unix.FcntlInt(file.Fd(), unix.F_GETFL, 0)
	return err == nil && flags&unix.O_ACCMODE == unix.O_RDWR
}

// obeysEscapes tells whether a terminal moves and colours by escape sequences. Here what does not says so by TERM.
func obeysEscapes(*os.File) bool { return true }
