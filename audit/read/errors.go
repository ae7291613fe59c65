package read

import (
	"errors"
	"fmt"
	"io/fs"
)

// ProjectFileError says that the project file cannot be used.
type ProjectFileError struct {
	File         string // as it was given
	Line, Column int    // from 1; 0 where the whole file is meant
	Message      string // lower case, quotes the value and says what was expected
	Hint         string // what to do about it
}

func (e *ProjectFileError) Error() string {
	if e.Line == 0 {
		return fmt.Sprintf("%s: %s", e.File, e.Message)
	}
	return fmt.Sprintf("%s:%d:%d: %s", e.File, e.Line, e.Column, e.Message)
}

// InputError says that an input cannot be used at all. What is wrong with single rows is a fault instead.
type InputError struct {
	File    string // as the project file names it, with the sheet after "!" where one is meant
	Message string // lower case, quotes the value and says what was expected
	Hint    string // what to do about it
	Err     error  // what the system said; may be nil
}

func (e *InputError) Error() string { return e.File + ": " + e.Message }

// Unwrap returns what the system said.
func (e *InputError) Unwrap() error { return e.Err }

// openProblem words the error of opening or reading a file.
func openProblem(err error) string {
	var at *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "does not exist"
	case errors.As(err, &at):
		return "cannot be read: " + at.Err.Error()
	}
	return "cannot be read: " + err.Error()
}
