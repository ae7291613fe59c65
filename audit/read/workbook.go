package read

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/read/xlsx"
)

// The sheets of a register.
const (
	assembliesSheet = "Assemblies"
	linesSheet      = "Lines"
	unitsSheet      = "Units"
	conductorsSheet = "Conductors"
)

var sheetNames = [...]string{assembliesSheet, linesSheet, unitsSheet, conductorsSheet}

// book is what a file of the register holds, whatever its format.
type book interface {
	// rows starts to read a sheet. They must be closed.
	rows(ctx context.Context, sheet string) (rows, error)

	// merged lists the merged areas of a sheet.
	merged(ctx context.Context, sheet string) []xlsx.Area

	// mergedAcross lists those more than one column wide that begin up to a row.
	mergedAcross(ctx context.Context, sheet string, last uint32) []xlsx.Across

	// unpacked is how many bytes a sheet has that has to be unpacked, 0 where that is not known.
	unpacked(sheet string) uint64

	close() error
}

// workbook is an open workbook of the register, or a file of text or in Parquet, or the rows of a query, with one of its sheets.
type workbook struct {
	*projectFile
	entry    *registerEntry
	name     string // as the project file names it
	content  book
	isText   bool     // or in Parquet or a query: it is a sheet without a name
	format   string   // in words
	list     []string // of its sheets
	from1904 bool
	sheets   map[string][]foundSheet
	noted    bool   // which sheets are not used
	told     bool   // what its list tells of it
	unusable bool   // it could not be opened
	large    uint64 // see largeSheet
	held     *held  // what content is read from
}

// foundSheet is a sheet that the register uses.
type foundSheet struct {
	actual string // its name as written
	table  uint16
	fixed  []fixedValue // what the project file says of every row
	// fillDown are the columns that are filled down.
	fillDown []string
	headings headingRowsStated
	// besideAssemblies tells that its entry has sheets of assemblies, to which the choice of rows belongs in the first place.
	besideAssemblies bool
}

// mostSheets is more than any workbook has.
const mostSheets = 1000

// openWorkbook opens a file of the register. The hash of a file of text is left to the reading of its rows where it stays open until then and
// no other entry names it too.
func openWorkbook(ctx context.Context, f *half, p *audit.Project, entry *registerEntry, name string) (*workbook, error) {
	if unfound := entry.unfound[name]; unfound != nil {
		return nil, unfound
	}
	in, err := f.open(ctx, name)
	if err != nil {
		return nil, err
	}
	defer in.close()
	w := &workbook{projectFile: f.projectFile, entry: entry, name: name, isText: !isWorkbook(name, in.head), sheets: map[string][]foundSheet{}, large: f.largeSheet}
	if !w.isText && entry.encoding.given() {
		return nil, noEncoding(name, entry.key(), "a workbook", "it states the encoding of its texts itself")
	}
	if w.held, err = in.held(!w.isText || in.isParquet() || in.query != ""); err != nil {
		return nil, err
	}
	switch {
	case in.query != "":
		err = w.openQuery(p)
	case in.isParquet():
		err = w.openParquet(p)
	case w.isText:
		err = w.openText(ctx, p)
	default:
		err = w.openSheets(p)
	}
	switch {
	case err != nil:
	case w.isText && !w.held.own && f.register.opensOnce(name):
		p.Inputs = append(p.Inputs, audit.Input{File: in.name, Path: in.path})
	default:
		if err = in.note(p); err == nil {
			w.held.sum = p.Inputs[len(p.Inputs)-1].SHA256
		}
	}
	if err == nil {
		entry.noteInput(p, name, entry.key())
		err = noteOnce(p)
	}
	return w, err
}

// noteHash completes what the project says of its input where its hash was left to the reading of its rows.
func (w *workbook) noteHash(p *audit.Project) error {
	for i := range p.Inputs {
		if in := &p.Inputs[i]; in.File == w.name && in.SHA256 == "" {
			if w.held.sum == "" { // its rows were not asked for
				if err := w.held.takeSum(); err != nil {
					return w.held.problem(err)
				}
			}
			in.SHA256 = w.held.sum
		}
	}
	return nil
}

// noteLastRow notes of its input how the last row of its text ends.
func (w *workbook) noteLastRow(p *audit.Project, ends string) {
	for i := range p.Inputs {
		if in := &p.Inputs[i]; in.File == w.name && in.Section == "register" {
			in.LastRow = ends
		}
	}
}

// noteOnce takes the last input away where an earlier one is the same file, which is read for several entries.
func noteOnce(p *audit.Project) error {
	last := len(p.Inputs) - 1
	for _, earlier := range p.Inputs[:last] {
		switch {
		case earlier.File != p.Inputs[last].File:
		case earlier.SHA256 != p.Inputs[last].SHA256:
			return &InputError{File: earlier.File, Message: "was changed while it was read", Hint: "run again when nobody writes it"}
		default:
			p.Inputs = p.Inputs[:last]
			return nil
		}
	}
	return nil
}

// openSheets lists the sheets of a workbook and finds those that the register uses.
func (w *workbook) openSheets(p *audit.Project) error {
	book, err := openSpreadsheet(w.name, w.held)
	if err != nil {
		return err
	}
	w.content, w.format, w.list, w.from1904 = book, "workbook", book.opened.Sheets(), book.opened.From1904()
	if len(w.list) > mostSheets {
		return &InputError{File: w.name, Message: fmt.Sprintf("has %d sheets, expected no more than %d", len(w.list), mostSheets), Hint: fullHint}
	}
	w.findSheets(p)
	return nil
}

// isWorkbook tells workbooks from files of text: by the content, and where that is text by the name.
func isWorkbook(name string, content []byte) bool {
	switch strings.ToLower(path.Ext(unpackedName(name))) {
	case ".xlsx", ".xlsm", ".xls", ".xlsb":
		return true
	}
	return bytes.HasPrefix(content, []byte("PK\x03\x04")) || bytes.HasPrefix(content, []byte("\xd0\xcf\x11\xe0"))
}

// openText takes a file of text as the sheet that it is.
func (w *workbook) openText(ctx context.Context, p *audit.Project) error {
	text := &textFile{projectFile: w.projectFile, content: w.held, stated: w.entry.encoding}
	_, records, err := text.records(ctx)
	if err != nil {
		return err
	}
	w.content, w.format = text, "text with "+separatorName(records.comma)+" between cells"
	return w.asSheet(p)
}

// asSheet finds out which sheet a file is that has but one, without a name.
func (w *workbook) asSheet(p *audit.Project) error {
	use, stated := w.useOfText()
	sheet := use.kind
	switch {
	case stated:
	case w.entry.section == inspectionsKey:
		sheet = inspectionsSheet
	default:
		var named []string
		for _, name := range sheetNames {
			if strings.Contains(headingKey(path.Base(w.name)), headingKey(name)) {
				named = append(named, name)
			}
		}
		switch {
		case len(named) == 1:
			sheet = named[0]
		case len(named) == 0 && w.register.statedFiles() == 1:
			sheet = assembliesSheet
		default:
			return &InputError{File: w.name, Message: fmt.Sprintf("may be any of the sheets %s, expected a name with one of them in it", quotedList(sheetNames[:])),
				Hint: fmt.Sprintf("say which under register in the project file: sheets: {%s: %s}", cmp.Or(quotedPattern(w.entry.from[w.name]), w.name), assembliesSheet)}
		}
	}
	w.list = []string{sheet}
	if sheet != ignored {
		w.sheets[sheet] = []foundSheet{{actual: sheet, table: p.AddTable(audit.Table{File: w.name, Kind: sheet, OfQuery: w.entry.sql != ""}), fixed: slices.Concat(w.entry.fixed, use.fixed), fillDown: fillDownOf(w.entry, &use), headings: headingsOf(w.entry, &use)}}
	}
	return nil
}

// close closes the workbook, and takes away what was kept of it in a temporary file.
func (w *workbook) close() error {
	var errs []error
	if w.content != nil {
		errs = append(errs, w.content.close())
	}
	if w.held != nil {
		errs = append(errs, w.held.close())
	}
	return errors.Join(errs...)
}

// putAside closes what is read of the workbook until takeUp, so that a register may have more files than a process may have
// open.
func (w *workbook) putAside() error {
	if !w.isText && w.content != nil {
		if err := w.content.close(); err != nil {
			return err
		}
		w.content = nil
	}
	return w.held.putAside()
}

// takeUp opens a workbook again that was put aside.
func (w *workbook) takeUp() error {
	if err := w.held.takeUp(); err != nil || w.content != nil {
		return err
	}
	book, err := openSpreadsheet(w.name, w.held)
	if err == nil {
		w.content = book
	}
	return err
}

// account starts to tell how a sheet was understood.
func (w *workbook) account(table audit.Table) Understanding {
	u := Understanding{Table: table, Section: w.entry.key(), Format: w.format}
	if !w.told {
		w.told, u.Notes = true, w.entry.notes[w.name]
	}
	return u
}
