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

// Each takes the errors of several inputs apart, in their order; any other error is one.
func Each(err error) []error {
	var p problems
	p.add(err)
	return p.list
}

// problems collects what makes inputs unusable, so that one run tells all of it.
type problems struct{ list []error }

// add notes an error, those of a list one by one.
func (p *problems) add(err error) {
	if several, ok := err.(interface{ Unwrap() []error }); ok {
		for _, one := range several.Unwrap() {
			p.add(one)
		}
		return
	}
	if err != nil {
		p.list = append(p.list, err)
	}
}

// stop notes an error, and tells whether it ends the reading at once: one that is of no input, such as an interruption.
func (p *problems) stop(err error) bool {
	if err == nil {
		return false
	}
	before := len(p.list)
	p.add(err)
	for _, added := range p.list[before:] {
		var input *InputError
		if !errors.As(added, &input) {
			p.list = []error{added}
			return true
		}
	}
	return false
}

// err returns what was collected: nil, the one error, or all of them joined.
func (p *problems) err() error {
	if len(p.list) == 1 {
		return p.list[0]
	}
	return errors.Join(p.list...)
}

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
