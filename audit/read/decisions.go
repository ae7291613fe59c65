package read

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"dryarc/audit/read/xlsx"

	"github.com/goccy/go-yaml/ast"
)

// decisionsKey reads the path of the file of decisions.
func decisionsKey(to *string) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		if problem := textKey(to)(name, node); problem != nil {
			return problem
		}
		if !strings.EqualFold(filepath.Ext(*to), ".csv") {
			return wrong(node, "decisions: decisions.csv", "%s %s is no path of a file that ends in .csv", name, written(node))
		}
		return nil
	}
}

// decisionsPath is where the file of decisions is; empty for none.
func (f *projectFile) decisionsPath() string {
	if f.decisions == "" || filepath.IsAbs(f.decisions) {
		return f.decisions
	}
	return filepath.Join(f.folder, f.decisions)
}

// DecisionsPath reads from a project file where its file of decisions is. A project that names none is a *ProjectFileError.
func DecisionsPath(project string) (string, error) {
	f, err := readProjectFile(project)
	if err != nil {
		return "", err
	}
	if f.decisions == "" {
		return "", &ProjectFileError{File: project, Message: "names no file of decisions, expected the key decisions", Hint: "decisions: decisions.csv"}
	}
	return f.decisionsPath(), nil
}

// DecidedRow is a row of a workbook of the program on which people decide.
type DecidedRow struct {
	Where                       string   // for people
	Exceptions                  []string // ids; none of a structure as a whole
	Line, Structure, Check      string
	To, Circuit, Phase, Side    string // of exceptions
	Decision, Until, By, Reason string
	Mark                        string // what the run noted beside the row
}

// decidedHeadings are the columns in which people decide.
var decidedHeadings = [...]string{"Decision", "Until", "By", "Reason"}

// The other columns that a row is known by.
const (
	idHeading        = "Id"
	markHeading      = "As written"
	lineHeading      = "Line"
	structureHeading = "Structure"
	checkHeading     = "Check"
	toHeading        = "To"
	circuitHeading   = "Circuit"
	ownPhaseHeading  = "Phase"
	sideHeading      = "Side"
)

// mostAboveDecided is how many rows may stand above the headings (a choice of this program).
const mostAboveDecided = 30

// Decided goes through the rows of a workbook that the program wrote and people have decided in, whatever they did to its rows and
// columns. Columns are found by their headings on whatever sheets have them; rows tell by themselves what they are of. A sheet that has
// lost one of the columns of decisions, or has one twice, is an *InputError, as is a file that is no workbook.
func Decided(ctx context.Context, path string, each func(DecidedRow)) error {
	file, err := os.Open(path)
	if err != nil {
		return &InputError{File: path, Message: openProblem(err), Hint: "give the path of a workbook that an audit wrote", Err: err}
	}
	defer file.Close()
	info, err := file.Stat()
	if err == nil && !info.Mode().IsRegular() {
		err = errors.New("is no regular file")
	}
	if err != nil {
		return &InputError{File: path, Message: err.Error(), Hint: "give the path of a workbook that an audit wrote", Err: err}
	}
	book, err := xlsx.Open(file, info.Size())
	if err != nil {
		return bookProblem(path, file, err)
	}
	defer book.Close()
	for _, sheet := range book.Sheets() {
		d := decidedSheet{path: path, sheet: sheet, from1904: book.From1904(), each: each}
		if err := d.read(ctx, book); err != nil {
			return bookProblem(path, file, err)
		}
	}
	return nil
}

// decidedSheet is a sheet on which people may have decided.
type decidedSheet struct {
	path, sheet string
	from1904    bool
	each        func(DecidedRow)
	columns     map[string]int // by heading in lower case; nil before it is found
}

func (d *decidedSheet) read(ctx context.Context, book xlsx.Book) error {
	return readTyped(ctx, book, d.path, d.sheet, "decisions", func() bool { return d.columns != nil }, d.heading, d.row)
}

// readTyped reads a sheet on which people may have typed what it says of: each of its first rows is asked for headings until found, and those
// below are rows.
func readTyped(ctx context.Context, book xlsx.Book, path, sheet, what string, found func() bool, heading func(cells []string) error, row func(*xlsx.Row)) error {
	lost := func(err error) error {
		if errors.Is(err, context.Canceled) {
			return err
		}
		return &InputError{File: path + "!" + sheet, Message: fmt.Sprintf("cannot be read for %s: %v", what, err), Hint: saveHint, Err: err}
	}
	rows, err := book.Rows(ctx, sheet)
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
		if found() {
			row(&at)
			continue
		}
		if err := heading(at.Cells); err != nil {
			return err
		}
		if above++; above > mostAboveDecided && !found() {
			return nil
		}
	}
}

// heading takes a row for the headings where it has those of decisions.
func (d *decidedSheet) heading(cells []string) error {
	places := map[string]int{}
	for i, cell := range cells {
		if name := strings.ToLower(strings.TrimSpace(cell)); name != "" {
			if _, twice := places[name]; !twice {
				places[name] = i
			}
		}
	}
	has := func(heading string) bool {
		_, is := places[strings.ToLower(heading)]
		return is
	}
	if !has(decidedHeadings[0]) && !has(markHeading) || !has(idHeading) && !(has(lineHeading) && has(structureHeading)) && !has(markHeading) {
		return nil
	}
	lacks := slices.IndexFunc(decidedHeadings[:], func(h string) bool { return !has(h) })
	if lacks >= 0 {
		return &InputError{File: d.path + "!" + d.sheet, Message: fmt.Sprintf("has no column %q any more, so that it cannot be told what was decided", decidedHeadings[lacks]),
			Hint: "write the headings Decision, Until, By and Reason above their columns again"}
	}
	for _, h := range slices.Concat(decidedHeadings[:], []string{idHeading, markHeading}) {
		times := 0
		for _, cell := range cells {
			if strings.EqualFold(strings.TrimSpace(cell), h) {
				times++
			}
		}
		if times > 1 {
			return &InputError{File: d.path + "!" + d.sheet, Message: fmt.Sprintf("has %d columns %q, so that it cannot be told in which it was decided", times, h), Hint: "leave that heading above one column only, and bring what was decided there"}
		}
	}
	d.columns = places
	return nil
}

func (d *decidedSheet) row(row *xlsx.Row) {
	text := func(heading string) string {
		i, is := d.columns[strings.ToLower(heading)]
		if !is {
			return ""
		}
		if i < len(row.Cells) && row.Cells[i] != "" {
			return strings.TrimSpace(row.Cells[i])
		}
		return row.Formulas[i]
	}
	r := DecidedRow{
		Where: fmt.Sprintf("%s!%s row %d", d.path, d.sheet, row.Number), Exceptions: strings.Fields(text(idHeading)),
		Line: text(lineHeading), Structure: text(structureHeading), Check: text(checkHeading),
		To: text(toHeading), Circuit: text(circuitHeading), Phase: text(ownPhaseHeading), Side: text(sideHeading),
		Decision: text(decidedHeadings[0]), Until: d.date(text(decidedHeadings[1])), By: text(decidedHeadings[2]), Reason: text(decidedHeadings[3]), Mark: text(markHeading),
	}
	if r.Decision != "" || r.Until != "" || r.By != "" || r.Reason != "" || r.Mark != "" {
		d.each(r)
	}
}

// date is a date as year, month and day; what is none, or may be read in more than one way, stays as it stands.
func (d *decidedSheet) date(text string) string {
	day, taken, problem := readDate(text, d.from1904, nil)
	if text == "" || problem != nil || taken != (dateTaken{}) {
		return text
	}
	return day.String() // of a month or a year alone, which then is no day until which anything holds
}
