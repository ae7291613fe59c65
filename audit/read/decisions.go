package read

import (
	"context"
	"fmt"
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
		if isEscaped(node, *to) {
			return wrong(node, escapeHint, controlWords, name, written(node))
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

// Decided goes through the rows of a workbook that the program wrote and people have decided in, whatever they did to its rows and
// columns. Columns are found by their headings on whatever sheets have them; rows tell by themselves what they are of. A sheet that has
// lost one of the columns of decisions, or has one twice, is an *InputError, as is a file that is no workbook.
func Decided(ctx context.Context, path string, each func(DecidedRow)) error {
	book, err := openTyped(path)
	if err != nil {
		return err
	}
	defer book.close()
	return book.sheets(ctx, book.Sheets(), "decisions", func(sheet string) typedSheet {
		return &decidedSheet{path: path, sheet: sheet, from1904: book.From1904(), each: each}
	})
}

// decidedSheet is a sheet on which people may have decided.
type decidedSheet struct {
	path, sheet string
	from1904    bool
	each        func(DecidedRow)
	columns     map[string]int // by heading in lower case; nil before it is found
}

func (d *decidedSheet) found() bool { return d.columns != nil }

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
