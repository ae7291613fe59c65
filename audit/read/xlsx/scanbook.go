package xlsx

import (
	"context"
	"errors"
)

// Sheets lists the sheets of any kind.
func (b *scanBook) Sheets() []string {
	names := make([]string, len(b.sheets))
	for i, sheet := range b.sheets {
		names[i] = sheet.name
	}
	return names
}

// From1904 tells whether dates count from 1904-01-01.
func (b *scanBook) From1904() bool { return b.from1904 }

// Rows starts to read a sheet with the scanner, or with the library where the scanner does not know it.
func (b *scanBook) Rows(ctx context.Context, sheet string) (Rows, error) {
	scan, err := b.scan(ctx, sheet)
	switch {
	case err == nil:
		scanned := &scannedRows{book: b, sheet: sheet, scan: scan}
		return &handedRows{Rows: scanned, goOn: func(after uint32) (Rows, error) { return b.libraryRows(ctx, sheet, after) }}, nil
	case !errors.Is(err, errNotRecognised):
		return nil, err
	}
	return b.libraryRows(ctx, sheet, 0)
}

// libraryRows starts to read the rows of a sheet that come after a number with the library.
func (b *scanBook) libraryRows(ctx context.Context, sheet string, after uint32) (Rows, error) {
	if b.library == nil {
		var err error
		if b.library, err = openLibrary(b.file, b.size); err != nil {
			return nil, err
		}
	}
	return b.library.rowsAfter(ctx, sheet, after)
}

// Merged lists the merged areas of a sheet.
func (b *scanBook) Merged(ctx context.Context, sheet string) []Area {
	if b.library != nil {
		return b.library.Merged(ctx, sheet)
	}
	part, err := b.unpack(ctx, b.part(sheet), largestPart)
	if err != nil {
		return nil
	}
	defer part.Close()
	return mergedAreas(part)
}

// MergedAcross lists the merged areas of a sheet that are more than one column wide and begin up to a row.
func (b *scanBook) MergedAcross(ctx context.Context, sheet string, last uint32) []Across {
	if b.library != nil {
		return b.library.MergedAcross(ctx, sheet, last)
	}
	part, err := b.unpack(ctx, b.part(sheet), largestPart)
	if err != nil {
		return nil
	}
	defer part.Close()
	return mergedAcross(part, last)
}

// Unpacked is how many bytes of XML a sheet has, as the archive says.
func (b *scanBook) Unpacked(sheet string) uint64 {
	if file := b.files[b.part(sheet)]; file != nil {
		return file.UncompressedSize64
	}
	return 0
}

// Close closes the library, if it was needed.
func (b *scanBook) Close() error {
	if b.library == nil {
		return nil
	}
	return b.library.Close()
}

// scannedRows are the rows of the scanner.
type scannedRows struct {
	book  *scanBook
	sheet string
	scan  *scannedSheet
	last  uint32 // the number of the last row that was given
}

func (r *scannedRows) Next(row *Row) (bool, error) {
	if !r.scan.next() {
		return false, r.scan.err
	}
	row.Number, row.Cells, row.Formulas, row.Hidden = r.scan.number, row.Cells[:0], nil, r.scan.hidden
	for i := range r.scan.cells {
		c := &r.scan.cells[i]
		for len(row.Cells) < c.column {
			row.Cells = append(row.Cells, "")
		}
		row.Cells = append(row.Cells, c.text)
		if c.formula && !c.stored {
			if row.Formulas == nil {
				row.Formulas = map[int]string{}
			}
			row.Formulas[c.column] = c.source
		}
	}
	r.last = row.Number
	return true, nil
}

func (r *scannedRows) Merged() []Area { return r.scan.merged }

func (r *scannedRows) Damage() error {
	if !errors.Is(r.scan.err, errMalformed) {
		return nil
	}
	return &DamagedError{r.last, r.book.lastRow(r.sheet)}
}

func (r *scannedRows) Close() { r.scan.close() }

// handedRows are those of the scanner, and from where it meets something that it does not know those of the library.
type handedRows struct {
	Rows
	goOn func(after uint32) (Rows, error)
	last uint32 // the number of the last row
}

func (r *handedRows) Next(row *Row) (bool, error) {
	more, err := r.Rows.Next(row)
	if errors.Is(err, errNotRecognised) {
		r.Rows.Close()
		library, err := r.goOn(r.last)
		if err != nil {
			return false, err
		}
		r.Rows = library
		return library.Next(row)
	}
	if more {
		r.last = row.Number
	}
	return more, err
}
