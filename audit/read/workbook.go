package read

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
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
	name     string // as the project file names it
	content  []byte
	text     *recordReader  // of a file of text, nil for a workbook
	scan     *scanBook      // nil where the scanner does not know it
	book     *excelize.File // nil until the library is needed
	list     []string       // of its sheets
	from1904 bool
	sheets   map[string]foundSheet
	noted    bool   // which sheets are not used
	large    uint64 // see largeSheet
}

// foundSheet is a sheet that the register uses.
type foundSheet struct {
	actual string // its name as written
	table  uint16
}

// inMemory is the largest sheet that is unpacked in memory; a larger one goes to a temporary file. In bytes.
const inMemory = 256 << 20

func openWorkbook(ctx context.Context, f *half, p *audit.Project, name string) (*workbook, error) {
	in, err := f.open(ctx, name)
	if err != nil {
		return nil, err
	}
	defer in.file.Close()
	content, err := in.all()
	if err != nil {
		return nil, in.problem(err)
	}
	w := &workbook{name: name, content: content, sheets: map[string]foundSheet{}, large: largeSheet}
	if !isWorkbook(name, content) {
		if err := w.openText(f.register, p); err != nil {
			return nil, err
		}
		return w, in.finish(p)
	}
	if w.scan, err = openScan(bytes.NewReader(content), int64(len(content))); err == nil {
		w.from1904 = w.scan.from1904
		for _, sheet := range w.scan.sheets {
			w.list = append(w.list, sheet.name)
		}
	} else if err := w.askLibrary(); err != nil {
		return nil, err
	}
	w.findSheets(p)
	return w, in.finish(p)
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
func (w *workbook) openText(register registerInput, p *audit.Project) error {
	var err error
	if w.text, err = newRecordReader(w.content); err != nil {
		hint := readableHint
		switch {
		case strings.Contains(err.Error(), "UTF-16"):
			hint = "save it as UTF-8, for example: iconv -f UTF-16 -t UTF-8 in > out"
		case strings.Contains(err.Error(), "UTF"):
			hint = encodingHint
		}
		return &InputError{File: w.name, Message: err.Error(), Err: err, Hint: hint}
	}
	sheet, mapped := register.sheets[w.name]
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
		case len(named) == 0 && len(register.files) == 1:
			sheet = assembliesSheet
		default:
			return &InputError{File: w.name, Message: fmt.Sprintf("may be any of the sheets %s, expected a name with one of them in it", quotedList(sheetNames[:])),
				Hint: fmt.Sprintf("say which under register in the project file: sheets: {%s: %s}", w.name, assembliesSheet)}
		}
	}
	w.list = []string{sheet}
	w.sheets[sheet] = foundSheet{sheet, p.AddTable(audit.Table{File: w.name})}
	return nil
}

// askLibrary takes from the library what is known of the workbook.
func (w *workbook) askLibrary() error {
	book, err := w.library()
	if err != nil {
		return err
	}
	if w.list = book.GetSheetList(); len(w.list) == 0 {
		w.close()
		return noWorkbook(w.name, w.content, errNoSheets)
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
	options := excelize.Options{RawCellValue: true, UnzipSizeLimit: largestPart, UnzipXMLSizeLimit: inMemory}
	if book, err = excelize.OpenReader(bytes.NewReader(w.content), options); err != nil {
		return nil, noWorkbook(w.name, w.content, err)
	}
	w.book = book
	return book, nil
}

func (w *workbook) close() {
	if w.book != nil {
		w.book.Close()
	}
}

const saveHint = "open it in a spreadsheet program and save it as .xlsx"

var errNoSheets = errors.New("no sheets")

// noWorkbook says what a file is that is no workbook.
func noWorkbook(name string, content []byte, err error) error {
	what := err.Error()
	switch {
	case len(content) == 0:
		what = "it is empty"
	case bytes.HasPrefix(content, []byte("\xd0\xcf\x11\xe0")):
		what = "it is an old .xls file or protected by a password"
	case errors.Is(err, io.EOF) || err == errNoSheets:
		what = "it is an archive of something else"
	case utf8.Valid(content[:min(len(content), 1000)]) && !bytes.Contains(content[:min(len(content), 1000)], []byte{0}):
		what = fmt.Sprintf("it is text that starts with %q", excerpt(firstLine(content)))
	}
	return &InputError{File: name, Message: "is no workbook: " + what, Hint: saveHint, Err: err}
}

func firstLine(content []byte) string {
	line, _, _ := bytes.Cut(content[:min(len(content), 200)], []byte("\n"))
	return strings.ToValidUTF8(strings.TrimSpace(string(line)), "")
}

// findSheets registers the sheets that the register uses, by their names whatever the case.
func (w *workbook) findSheets(p *audit.Project) {
	for _, wanted := range sheetNames {
		for _, actual := range w.list {
			if _, twice := w.sheets[wanted]; !twice && strings.EqualFold(strings.TrimSpace(actual), wanted) {
				w.sheets[wanted] = foundSheet{actual, p.AddTable(audit.Table{File: w.name, Sheet: actual})}
			}
		}
	}
}

// account starts to tell how a sheet was understood.
func (w *workbook) account(table audit.Table) Understanding {
	u := Understanding{Table: table, Section: "register", Format: "workbook"}
	if w.text != nil {
		u.Format = "text with " + w.text.separatorName() + " between cells"
	}
	return u
}

// otherSheets notes, once, the sheets of a workbook that are not used.
func (w *workbook) otherSheets() (notes []string) {
	if w.noted {
		return nil
	}
	w.noted = true
	for _, name := range w.list {
		used := false
		for _, found := range w.sheets {
			used = used || found.actual == name
		}
		if !used {
			note := fmt.Sprintf("the sheet %q is not used", name)
			if close := near(name, sheetNames[:]); close != "" {
				note += fmt.Sprintf("; perhaps it is %q", close)
			}
			notes = append(notes, note)
		}
	}
	return notes
}
