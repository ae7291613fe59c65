package read

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"strings"
	"unicode/utf8"

	"dryarc/audit"

	"github.com/xuri/excelize/v2"
)

// The sheets of a register.
const (
	assembliesSheet = "Assemblies"
	linesSheet      = "Lines"
	unitsSheet      = "Units"
	conductorsSheet = "Conductors"
)

var sheetNames = [...]string{assembliesSheet, linesSheet, unitsSheet, conductorsSheet}

// workbook is an open workbook of the register, or a file of text with one of its sheets.
type workbook struct {
	*projectFile
	name     string       // as the project file names it
	path     string       // where its content lies
	remove   func() error // takes that away if it is a temporary file
	isText   bool
	comma    byte           // between the cells of a file of text
	file     *os.File       // of a workbook
	size     int64          // of that
	scan     *scanBook      // nil where the scanner does not know it
	book     *excelize.File // nil until the library is needed
	list     []string       // of its sheets
	from1904 bool
	sheets   map[string][]foundSheet
	noted    bool   // which sheets are not used
	large    uint64 // see largeSheet
}

// foundSheet is a sheet that the register uses.
type foundSheet struct {
	actual string // its name as written
	table  uint16
}

// largestForLibrary is how much a workbook may unpack to that is left to the library, in bytes. It takes up to fifty times
// that in memory.
const largestForLibrary = 16 << 20

func openWorkbook(ctx context.Context, f *half, p *audit.Project, name string) (*workbook, error) {
	in, err := f.open(ctx, name)
	if err != nil {
		return nil, err
	}
	defer in.file.Close()
	w := &workbook{projectFile: f.projectFile, name: name, path: in.path, sheets: map[string][]foundSheet{}, large: largeSheet}
	w.isText = !isWorkbook(name, in.head)
	if !w.isText || w.path == "" {
		if w.path, w.remove, err = in.onDisk(); err != nil {
			return nil, err
		}
	}
	if w.isText {
		err = w.openText(ctx, p)
	} else {
		err = w.openSheets(p)
	}
	if err == nil {
		err = in.note(p)
	}
	return w, err
}

// openSheets lists the sheets of a workbook and finds those that the register uses.
func (w *workbook) openSheets(p *audit.Project) error {
	var err error
	if w.file, err = os.Open(w.path); err != nil {
		return &InputError{File: w.name, Message: openProblem(err), Err: err, Hint: pathsHint}
	}
	info, err := w.file.Stat()
	if err != nil {
		return &InputError{File: w.name, Message: openProblem(err), Err: err, Hint: readableHint}
	}
	w.size = info.Size()
	switch w.scan, err = openScan(w.file, w.size); {
	case err == nil:
		w.from1904 = w.scan.from1904
		for _, sheet := range w.scan.sheets {
			w.list = append(w.list, sheet.name)
		}
	case !errors.Is(err, errNotRecognised):
		return &InputError{File: w.name, Message: err.Error(), Err: err, Hint: saveHint}
	default:
		if err := w.askLibrary(); err != nil {
			return err
		}
	}
	if len(w.list) > mostSheets {
		return &InputError{File: w.name, Message: fmt.Sprintf("has %d sheets, expected no more than %d", len(w.list), mostSheets), Hint: fullHint}
	}
	w.findSheets(p)
	return nil
}

// isWorkbook tells workbooks from files of text: by the content, and where that is text by the name.
func isWorkbook(name string, content []byte) bool {
	switch strings.ToLower(path.Ext(strings.TrimSuffix(strings.ToLower(name), ".gz"))) {
	case ".xlsx", ".xlsm", ".xls", ".xlsb":
		return true
	}
	return bytes.HasPrefix(content, []byte("PK\x03\x04")) || bytes.HasPrefix(content, []byte("\xd0\xcf\x11\xe0"))
}

// openText finds out which sheet a file of text is.
func (w *workbook) openText(ctx context.Context, p *audit.Project) error {
	in, records, err := w.records(ctx)
	if err != nil {
		return err
	}
	defer in.file.Close()
	w.comma = records.comma
	sheet, mapped := w.register.sheets[w.name]
	if !mapped {
		var named []string
		for _, name := range sheetNames {
			if strings.Contains(headingKey(path.Base(w.name)), headingKey(name)) {
				named = append(named, name)
			}
		}
		switch {
		case len(named) == 1:
			sheet = named[0]
		case len(named) == 0 && len(w.register.files) == 1:
			sheet = assembliesSheet
		default:
			return &InputError{File: w.name, Message: fmt.Sprintf("may be any of the sheets %s, expected a name with one of them in it", quotedList(sheetNames[:])),
				Hint: fmt.Sprintf("say which under register in the project file: sheets: {%s: %s}", w.name, assembliesSheet)}
		}
	}
	w.list = []string{sheet}
	w.sheets[sheet] = []foundSheet{{sheet, p.AddTable(audit.Table{File: w.name})}}
	return nil
}

// records starts to read a file of text. Its input must be closed.
func (w *workbook) records(ctx context.Context) (*input, *recordReader, error) {
	in, err := w.openAt(ctx, w.name, w.path)
	if err != nil {
		return nil, nil, err
	}
	records, err := newRecordReader(in)
	if err != nil {
		in.file.Close()
		return nil, nil, recordProblem(in, err)
	}
	return in, records, nil
}

// recordProblem words why a file of text cannot be read on.
func recordProblem(in *input, err error) error {
	var known *recordError
	if errors.As(err, &known) {
		return &InputError{File: in.name, Message: known.message, Err: err, Hint: known.hint}
	}
	return in.problem(err)
}

// askLibrary takes from the library what is known of the workbook.
func (w *workbook) askLibrary() error {
	book, err := w.library()
	if err != nil {
		return err
	}
	if w.list = book.GetSheetList(); len(w.list) == 0 {
		return w.noWorkbook(errNoSheets)
	}
	if props, err := book.GetWorkbookProps(); err == nil && props.Date1904 != nil {
		w.from1904 = *props.Date1904
	}
	return nil
}

// library opens the workbook with the library if it has not yet.
func (w *workbook) library() (book *excelize.File, err error) {
	if w.book != nil {
		return w.book, nil
	}
	defer func() {
		if panicked := recover(); panicked != nil {
			book, err = nil, &InputError{File: w.name, Message: fmt.Sprintf("is no workbook that can be read (%v)", panicked), Hint: saveHint}
		}
	}()
	if err := checkForLibrary(w.file, w.size); err != nil {
		return nil, &InputError{File: w.name, Message: err.Error(), Err: err, Hint: saveHint}
	}
	options := excelize.Options{RawCellValue: true, UnzipSizeLimit: largestForLibrary, UnzipXMLSizeLimit: largestForLibrary}
	if book, err = excelize.OpenReader(io.NewSectionReader(w.file, 0, w.size), options); err != nil {
		return nil, w.noWorkbook(err)
	}
	w.book = book
	return book, nil
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

// close closes the workbook, and takes away what was kept of it in a temporary file.
func (w *workbook) close() error {
	var errs []error
	if w.book != nil {
		errs = append(errs, w.book.Close())
	}
	if w.file != nil {
		errs = append(errs, w.file.Close())
	}
	if w.remove != nil {
		errs = append(errs, w.remove())
	}
	return errors.Join(errs...)
}

const saveHint = "open it in a spreadsheet program and save it as .xlsx"

var errNoSheets = errors.New("no sheets")

// noWorkbook says what a file is that is no workbook.
func (w *workbook) noWorkbook(err error) error {
	const looked = 1000
	content, _ := io.ReadAll(io.NewSectionReader(w.file, 0, min(w.size, looked)))
	what := err.Error()
	switch {
	case len(content) == 0:
		what = "it is empty"
	case bytes.HasPrefix(content, []byte("\xd0\xcf\x11\xe0")):
		what = "it is an old .xls file or protected by a password"
	case errors.Is(err, io.EOF) || err == errNoSheets:
		what = "it is an archive of something else"
	case utf8.Valid(content) && !bytes.Contains(content, []byte{0}):
		what = fmt.Sprintf("it is text that starts with %q", excerpt(firstLine(content)))
	}
	return &InputError{File: w.name, Message: "is no workbook: " + what, Hint: saveHint, Err: err}
}

func firstLine(content []byte) string {
	line, _, _ := bytes.Cut(content[:min(len(content), 200)], []byte("\n"))
	return strings.ToValidUTF8(strings.TrimSpace(string(line)), "")
}

// account starts to tell how a sheet was understood.
func (w *workbook) account(table audit.Table) Understanding {
	u := Understanding{Table: table, Section: "register", Format: "workbook"}
	if w.isText {
		u.Format = "text with " + separatorName(w.comma) + " between cells"
	}
	return u
}
