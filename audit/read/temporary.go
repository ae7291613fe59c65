package read

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"unicode"

	"dryarc/audit/filelock"
)

// temporaryPrefix is how the names of temporary files begin; the number of the process, the name of the machine and a number
// drawn by lot follow.
const temporaryPrefix = "dryarc-"

// temporaryFile makes a temporary file whose name tells whose it is. It is locked while it is open.
func temporaryFile() (*os.File, error) {
	file, err := os.CreateTemp("", fmt.Sprintf("%s%d-%s-*", temporaryPrefix, os.Getpid(), machine()))
	if err == nil {
		_ = filelock.Try(file, true) // without locks the name alone tells
	}
	return file, err
}

// machine is the name of the machine by its letters and digits. Folders of temporary files may be shared between machines,
// of which each has processes of its own.
func machine() string {
	name, _ := os.Hostname()
	return strings.Map(func(r rune) rune {
		if r < unicode.MaxASCII && (unicode.IsLetter(r) || unicode.IsDigit(r)) {
			return r
		}
		return -1
	}, name)
}

// removeLeftovers removes the temporary files of runs on this machine that were ended before they could. What cannot be
// removed stays: it harms nothing but the room it takes.
func removeLeftovers(folder string) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return
	}
	for _, entry := range entries {
		if process, is := ownerOf(entry.Name()); is && entry.Type().IsRegular() && isGone(process) {
			removeUnlocked(filepath.Join(folder, entry.Name()))
		}
	}
}

// removeUnlocked removes a temporary file unless a process has it locked: one in a container of its own has a number that is
// nobody's, or somebody else's, outside.
func removeUnlocked(path string) {
	file, err := os.Open(path)
	if err != nil {
		return
	}
	err = filelock.Try(file, true)
	file.Close()
	if err == nil || errors.Is(err, filelock.ErrNone) {
		os.Remove(path)
	}
}

// ownerOf returns the process that made a temporary file of this machine; is tells whether the name is that of one.
func ownerOf(name string) (process int, is bool) {
	rest, ok := strings.CutPrefix(name, temporaryPrefix)
	number, rest, found := strings.Cut(rest, "-")
	process, err := strconv.Atoi(number)
	lot, onThis := strings.CutPrefix(rest, machine()+"-")
	return process, ok && found && err == nil && process > 0 && onThis && lot != "" && strings.Trim(lot, "0123456789") == ""
}

// isGone tells whether a process is surely no more.
func isGone(process int) bool {
	p, err := os.FindProcess(process)
	if runtime.GOOS == "windows" {
		const noSuchProcess = syscall.Errno(87) // ERROR_INVALID_PARAMETER of OpenProcess
		if err == nil {
			p.Release()
		}
		return errors.Is(err, noSuchProcess)
	}
	return err == nil && errors.Is(p.Signal(syscall.Signal(0)), os.ErrProcessDone)
}
