package xlsx

import (
	"errors"
	"fmt"
)

// ErrNoSheets says that an archive holds no sheets.
var ErrNoSheets = errors.New("no sheets")

// ErrTooLarge says that a part holds more than any workbook needs.
var ErrTooLarge = errors.New("is too large")

// ErrDeclared says that a part may define entities. Who left out the cells in which they stand would lose them in silence.
var ErrDeclared = errors.New("holds a document type declaration, which no spreadsheet program writes")

// errMalformed says that a part is no well-formed XML: no reader of workbooks can go beyond that place.
var errMalformed = errors.New("is no well-formed XML")

// errNotRecognised says that a workbook uses something which the scanner does not know, though it may be sound.
var errNotRecognised = errors.New("is not recognised")

// errEncoding says that a part is in an encoding that nobody here knows.
var errEncoding = errors.New("is in an encoding that is not known, expected UTF-8 or UTF-16")

// BookError says that a workbook cannot be used at all.
type BookError struct {
	message string
	err     error
}

func (e *BookError) Error() string { return e.message }

// Unwrap returns what the error was made of.
func (e *BookError) Unwrap() error { return e.err }

// NoWorkbookError says that the library does not take a file for a workbook.
type NoWorkbookError struct{ err error }

func (e *NoWorkbookError) Error() string { return e.err.Error() }

// Unwrap returns what the library said.
func (e *NoWorkbookError) Unwrap() error { return e.err }

// CellError says that a row or a cell cannot be used as it is.
type CellError struct{ message string }

func (e *CellError) Error() string { return e.message }

// DamagedError says that a sheet cannot be read beyond a row.
type DamagedError struct {
	row  uint32
	last uint32 // in the sheet, as far as that can be seen
}

func (e *DamagedError) Error() string {
	beyond := fmt.Sprintf("row %d", e.row)
	if e.last > e.row {
		beyond += fmt.Sprintf(" of %d", e.last)
	}
	return "is damaged: nothing can be read beyond " + beyond
}
