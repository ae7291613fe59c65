package main

import (
	"errors"
	"os"

	system "golang.org/x/sys/windows"
)

// nobodyReads tells whether a write failed since whoever read from the pipe has gone.
func nobodyReads(err error) bool {
	return errors.Is(err, system.ERROR_BROKEN_PIPE) || errors.Is(err, system.ERROR_NO_DATA)
}

// leadsNowhere is of systems where a stream that was closed takes what is written. Here that fails.
func leadsNowhere(any) bool { return false }

// obeysEscapes tells whether a console moves and colours by escape sequences, and not prints them. That of older systems does where a program
// asks for it, which this does.
func obeysEscapes(console *os.File) bool {
	of, mode := system.Handle(console.Fd()), uint32(0)
	if err := system.GetConsoleMode(of, &mode); err != nil {
		return false
	}
	return mode&system.ENABLE_VIRTUAL_TERMINAL_PROCESSING != 0 || system.SetConsoleMode(of, mode|system.ENABLE_VIRTUAL_TERMINAL_PROCESSING) == nil
}
