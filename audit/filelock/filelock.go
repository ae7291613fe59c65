// Package filelock locks files between processes. What enters is an open file; the lock ends when it is closed, and so with
// the process that holds it, however that ends and whatever machine or container it is in.
package filelock

import "errors"

// ErrHeld is what Try answers where somebody else has the lock, ErrNone where the file system has no locks.
var (
	ErrHeld = errors.New("is locked")
	ErrNone = errors.New("its file system has no locks")
)
