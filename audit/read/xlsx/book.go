package xlsx

import (
	"context"
	"errors"
	"io"
)

// Book is an open workbook.
type Book interface {
	Sheets() []string // in their order, of any kind
	From1904() bool   // dates count from 1904-01-01

	// Rows starts to read a sheet. They must be closed.
	Rows(ctx context.Context, sheet string) (Rows, error)

	// Merged lists the merged areas of a sheet. One that cannot be read has none: its rows tell why.
	Merged(ctx context.Context, sheet string) []Area

	// MergedAcross lists those that are more than one column wide and begin up to a row.
	MergedAcross(ctx context.Context, sheet string, last uint32) []Across

	// Unpacked is how many bytes of XML a sheet has, 0 where that is not known.
	Unpacked(sheet string) uint64

	Close() error
}

// Open opens a workbook: as the scanner reads it, or where the scanner does not know it as the library does. The file
// must stay open as long as the book.
func Open(file io.ReaderAt, size int64) (Book, error) {
	scanned, err := openScan(file, size)
	switch {
	case err == nil:
		return scanned, nil
	case !errors.Is(err, errNotRecognised):
		return nil, &BookError{err.Error(), err}
	}
	book, err := openLibrary(file, size)
	if err != nil {
		return nil, err
	}
	if len(book.Sheets()) == 0 {
		return nil, errors.Join(&NoWorkbookError{ErrNoSheets}, book.Close())
	}
	return book, nil
}

// Rows goes through the rows of a sheet. Rows without any cell may be left out.
type Rows interface {
	// Next goes to the next row; false without an error is the end.
	Next(row *Row) (bool, error)

	// Merged lists the merged areas of the sheet, once the last row has been read.
	Merged() []Area

	// Format is the number format of a cell of the last row, by its column from 0; empty where it shows numbers as they are, or
	// is not known.
	Format(column int) string

	// IsNumber tells whether a cell of the last row stands there as a number and not as a text.
	IsNumber(column int) bool

	// Damage looks, after the last row, for what comes behind it and cannot be read; nil where there is nothing. It may
	// take as long as reading all of the sheet.
	Damage() error

	Close()
}

// Row is a row of a sheet.
type Row struct {
	Number   uint32         // in the spreadsheet, from 1
	Cells    []string       // stored values, from the first column on; used again for the next row
	Formulas map[int]string // those without a stored value, with their "=", by column from 0
	Hidden   bool
}

// MostRows and MostColumns bound a sheet (ECMA-376-1:2016 leaves it open; every spreadsheet program has these).
const (
	MostRows    = 1 << 20
	MostColumns = 1 << 14
)
