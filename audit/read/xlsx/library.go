package xlsx

import (
	"archive/zip"
	"bytes"
	"context"
	"fmt"
	"io"

	"github.com/xuri/excelize/v2"
)

// libraryBook is a workbook as the library reads it.
type libraryBook struct{ file *excelize.File }

// largestForLibrary is how much a workbook may unpack to that is left to the library, in bytes. It takes up to fifty times
// that in memory.
const largestForLibrary = 16 << 20

// openLibrary opens a workbook with the library.
func openLibrary(r io.ReaderAt, size int64) (book *libraryBook, err error) {
	defer func() {
		if panicked := recover(); panicked != nil {
			book, err = nil, &BookError{message: fmt.Sprintf("is no workbook that can be read (%v)", panicked)}
		}
	}()
	if err := checkForLibrary(r, size); err != nil {
		return nil, &BookError{err.Error(), err}
	}
	if r, size, err = archiveInUTF8(r, size); err != nil {
		return nil, &BookError{err.Error(), err}
	}
	options := excelize.Options{RawCellValue: true, UnzipSizeLimit: largestForLibrary, UnzipXMLSizeLimit: largestForLibrary}
	file, err := excelize.OpenReader(io.NewSectionReader(r, 0, size), options)
	if err != nil {
		return nil, &NoWorkbookError{err}
	}
	return &libraryBook{file}, nil
}

// checkForLibrary looks at what the library does not: how much an archive unpacks to, whatever it says of that, and
// whether it comes out right. What is no archive is left to the library.
func checkForLibrary(r io.ReaderAt, size int64) error {
	archive, err := zip.NewReader(r, size)
	if err != nil && size <= largestForLibrary {
		return nil
	}
	left := int64(largestForLibrary)
	for i := 0; err == nil && left >= 0 && i < len(archive.File); i++ {
		entry, err := archive.File[i].Open()
		if err != nil {
			continue
		}
		n, err := io.CopyN(io.Discard, entry, left+1)
		entry.Close()
		if left -= n; left >= 0 && err != io.EOF {
			return fmt.Errorf("%s is damaged: %w", archive.File[i].Name, err)
		}
	}
	if err != nil || left < 0 {
		return fmt.Errorf("is written in an unusual way, which is read up to %d MiB unpacked, and it has more", largestForLibrary>>20)
	}
	return nil
}

// Sheets lists the sheets of any kind.
func (b *libraryBook) Sheets() []string { return b.file.GetSheetList() }

// From1904 tells whether dates count from 1904-01-01.
func (b *libraryBook) From1904() bool {
	properties, err := b.file.GetWorkbookProps()
	return err == nil && properties.Date1904 != nil && *properties.Date1904
}

// Rows starts to read a sheet.
func (b *libraryBook) Rows(ctx context.Context, sheet string) (Rows, error) {
	return b.rowsAfter(ctx, sheet, 0)
}

// rowsAfter starts to read the rows of a sheet that come after a number.
func (b *libraryBook) rowsAfter(ctx context.Context, sheet string, after uint32) (Rows, error) {
	part := sheetPart(b.file, sheet)
	if err := checkOrder(part); err != nil {
		return nil, err
	}
	rows, err := b.file.Rows(sheet)
	if err != nil {
		return nil, err
	}
	return &libraryRows{ctx: ctx, rows: rows, part: part, formulas: emptyFormulas(part), after: after}, nil
}

// Merged lists the merged areas of a sheet.
func (b *libraryBook) Merged(_ context.Context, sheet string) []Area {
	return mergedAreas(bytes.NewReader(sheetPart(b.file, sheet)))
}

// MergedAcross lists the merged areas of a sheet that are more than one column wide and begin up to a row.
func (b *libraryBook) MergedAcross(_ context.Context, sheet string, last uint32) []Across {
	return mergedAcross(bytes.NewReader(sheetPart(b.file, sheet)), last)
}

// Unpacked is not known.
func (b *libraryBook) Unpacked(string) uint64 { return 0 }

// Close closes the workbook.
func (b *libraryBook) Close() error { return b.file.Close() }

// libraryRows are the rows of the library.
type libraryRows struct {
	ctx      context.Context
	rows     *excelize.Rows
	part     []byte                    // the XML of the sheet
	formulas map[uint32]map[int]string // without a stored value, by row from 1 and column from 0
	after    uint32                    // the last row that is passed over
	number   uint32
	cells    []string // of the last row
	failed   error
}

func (r *libraryRows) Next(row *Row) (bool, error) {
	for r.rows.Next() {
		r.number++
		if r.number%1024 == 0 && r.ctx.Err() != nil {
			r.failed = r.ctx.Err()
			return false, r.failed
		}
		var cells []string
		if cells, r.failed = r.rows.Columns(); r.failed != nil {
			return false, r.failed
		}
		if hidden := r.rows.GetRowOpts().Hidden; r.number > r.after {
			r.cells = cells
			*row = Row{Number: r.number, Cells: cells, Formulas: r.formulas[r.number], Hidden: hidden}
			return true, nil
		}
	}
	r.failed = r.rows.Error()
	return false, r.failed
}

func (r *libraryRows) Merged() []Area { return mergedAreas(bytes.NewReader(r.part)) }

func (r *libraryRows) Damage() error {
	if last := lastRow(bytes.NewReader(r.part)); r.failed == nil && r.number < last {
		return &DamagedError{r.number, last}
	}
	return nil
}

func (r *libraryRows) Close() { r.rows.Close() }
