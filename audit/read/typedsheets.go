package read

import (
	"context"
	"errors"
	"fmt"
	"os"

	"dryarc/audit/read/xlsx"
)

// typedBook is a workbook of the program in which people may have typed something.
type typedBook struct {
	xlsx.Book
	path string
	file *os.File
}

// openTyped opens such a workbook. One that cannot be opened, or is none, is an *InputError.
func openTyped(path string) (*typedBook, error) {
	const hint = "give the path of a workbook that an audit wrote"
	file, err := os.Open(path)
	if err != nil {
		return nil, &InputError{File: path, Message: openProblem(err), Hint: hint, Err: err}
	}
	info, err := file.Stat()
	if err == nil && !info.Mode().IsRegular() {
		err = errors.New("is no regular file")
	}
	if err != nil {
		file.Close()
		return nil, &InputError{File: path, Message: err.Error(), Hint: hint, Err: err}
	}
	book, err := xlsx.Open(file, info.Size())
	if err != nil {
		defer file.Close()
		return nil, bookProblem(path, file, err)
	}
	return &typedBook{book, path, file}, nil
}

func (b *typedBook) close() {
	b.Book.Close()
	b.file.Close()
}

// typedSheet is a sheet on which people may have typed something: each of its first rows is asked for headings until they are found, and those
// below are rows.
type typedSheet interface {
	found() bool
	heading(cells []string) error
	row(*xlsx.Row)
}

// sheets reads some sheets for what people typed there.
func (b *typedBook) sheets(ctx context.Context, names []string, what string, of func(sheet string) typedSheet) error {
	for _, name := range names {
		if err := b.sheet(ctx, name, what, of(name)); err != nil {
			return bookProblem(b.path, b.file, err)
		}
	}
	return nil
}

// mostAboveTyped is how many rows may stand above the headings (a choice of this program).
const mostAboveTyped = 30

func (b *typedBook) sheet(ctx context.Context, name, what string, sheet typedSheet) error {
	lost := func(err error) error {
		if errors.Is(err, context.Canceled) {
			return err
		}
		return &InputError{File: b.path + "!" + name, Message: fmt.Sprintf("cannot be read for %s: %v", what, err), Hint: saveHint, Err: err}
	}
	rows, err := b.Rows(ctx, name)
	if err != nil {
		return lost(err)
	}
	defer rows.Close()
	var at xlsx.Row
	for above := 0; ; {
		more, err := rows.Next(&at)
		if err != nil {
			return lost(err)
		}
		if !more {
			return nil
		}
		if sheet.found() {
			sheet.row(&at)
			continue
		}
		if err := sheet.heading(at.Cells); err != nil {
			return err
		}
		if above++; above > mostAboveTyped && !sheet.found() {
			return nil
		}
	}
}
