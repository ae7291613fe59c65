package read

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"dryarc/audit/read/xlsx"
)

// spreadsheet is a workbook that a spreadsheet program has written.
type spreadsheet struct {
	name   string // as the project file names it
	file   io.ReaderAt
	opened xlsx.Book
}

const saveHint = "open it in a spreadsheet program and save it as .xlsx"

// openSpreadsheet opens a workbook, which is read from what is held of it.
func openSpreadsheet(name string, content *held) (*spreadsheet, error) {
	opened, err := xlsx.Open(content.file, content.size)
	if err != nil {
		return nil, bookProblem(name, content.file, err)
	}
	return &spreadsheet{name, content.file, opened}, nil
}

// bookProblem words why a workbook cannot be used at all. Other errors are returned as they are.
func bookProblem(name string, file io.ReaderAt, err error) error {
	var none *xlsx.NoWorkbookError
	var unusable *xlsx.BookError
	switch {
	case errors.As(err, &none):
		return noWorkbook(name, file, none.Unwrap())
	case errors.As(err, &unusable):
		return &InputError{File: name, Message: err.Error(), Err: err, Hint: saveHint}
	}
	return err
}

// noWorkbook says what a file is that is no workbook.
func noWorkbook(name string, file io.ReaderAt, err error) error {
	const looked = 1000
	content, _ := io.ReadAll(io.NewSectionReader(file, 0, looked))
	what := err.Error()
	switch {
	case len(content) == 0:
		what = "it is empty"
	case bytes.HasPrefix(content, []byte("\xd0\xcf\x11\xe0")):
		what = "it is an old .xls file or protected by a password"
	case errors.Is(err, io.EOF) || errors.Is(err, xlsx.ErrNoSheets):
		what = "it is an archive of something else"
	case utf8.Valid(content) && !bytes.Contains(content, []byte{0}):
		what = fmt.Sprintf("it is text that starts with %q", excerpt(firstLine(content)))
	}
	return &InputError{File: name, Message: "is no workbook: " + what, Hint: saveHint, Err: err}
}

func firstLine(content []byte) string {
	line, _, _ := bytes.Cut(content[:min(len(content), 200)], []byte("\n"))
	return strings.ToValidUTF8(strings.TrimSpace(string(line)), "")
}

func (s *spreadsheet) rows(ctx context.Context, sheet string) (rows, error) {
	opened, err := s.opened.Rows(ctx, sheet)
	if err != nil {
		return nil, bookProblem(s.name, s.file, err)
	}
	return &sheetRows{from: s, rows: opened}, nil
}

func (s *spreadsheet) merged(ctx context.Context, sheet string) []xlsx.Area {
	return s.opened.Merged(ctx, sheet)
}

func (s *spreadsheet) mergedAcross(ctx context.Context, sheet string, last uint32) []xlsx.Across {
	return s.opened.MergedAcross(ctx, sheet, last)
}

func (s *spreadsheet) unpacked(sheet string) uint64 { return s.opened.Unpacked(sheet) }

func (s *spreadsheet) close() error { return s.opened.Close() }

// sheetRows are the rows of a sheet of a workbook.
type sheetRows struct {
	from *spreadsheet
	rows xlsx.Rows
	row  xlsx.Row
}

func (r *sheetRows) next(to *row) (bool, error) {
	more, err := r.rows.Next(&r.row)
	if err != nil {
		return false, bookProblem(r.from.name, r.from.file, err)
	}
	if more {
		to.number, to.cells, to.formulas, to.hidden, to.apart = r.row.Number, r.row.Cells, r.row.Formulas, r.row.Hidden, false
	}
	return more, nil
}

func (r *sheetRows) format(column int) string { return r.rows.Format(column) }

func (r *sheetRows) isNumber(column int) bool { return r.rows.IsNumber(column) }

func (r *sheetRows) merged() []xlsx.Area { return r.rows.Merged() }

func (r *sheetRows) damage() error { return r.rows.Damage() }

func (r *sheetRows) close() { r.rows.Close() }
