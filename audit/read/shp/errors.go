package shp

import (
	"errors"
	"fmt"
	"io"
)

// Part is one of the files of a shapefile, by its extension.
type Part string

// The parts of a shapefile that are read here.
const (
	Shapes Part = ".shp"
	Index  Part = ".shx"
	Table  Part = ".dbf"
	Page   Part = ".cpg"
)

// DamageError says that a part cannot be read on, or contradicts another.
type DamageError struct {
	Part    Part
	Message string // lower case, with the figures that disagree
}

func (e *DamageError) Error() string { return string(e.Part) + " " + e.Message }

func damaged(part Part, format string, arguments ...any) error {
	return &DamageError{part, fmt.Sprintf(format, arguments...)}
}

// readFull fills a buffer. Where the part ends before, the error says that it ends in something.
func readFull(part Part, in io.Reader, to []byte, format string, arguments ...any) error {
	_, err := io.ReadFull(in, to)
	if err == io.EOF || err == io.ErrUnexpectedEOF {
		return damaged(part, "ends in the middle of "+format, arguments...)
	}
	return err
}

// atEnd says that a part must be at its end.
func atEnd(in io.Reader) (bool, error) {
	var one [1]byte
	n, err := io.ReadFull(in, one[:])
	if errors.Is(err, io.EOF) {
		err = nil
	}
	return n == 0, err
}
