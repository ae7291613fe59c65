//go:build !windows

package report

import (
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
