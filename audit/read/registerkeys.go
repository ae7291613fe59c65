package read

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/goccy/go-yaml/ast"
)

// registerInput is the section register of the project file: one entry, or a list of them.
type registerInput struct {
	entries []registerEntry
	// scheduleOnly leaves the assemblies unread: voltages, units and conductors serve the schedule of requirements.
	scheduleOnly bool
}

// registerEntry names files of the register and says how they are to be read.
type registerEntry struct {
	fileList
	section string // key of the project file, where that is not the register
	as      string // which sheet the rows of its query are
	// columns are the headings that the project file names, by sheet and column; under allSheets those that hold for the
	// sheets of the entry, which are of one kind then.
	columns  map[string]map[string]mappedColumn
	sheets   []sheetUse // in the order of the project file
	fixed    []fixedValue
	fillDown []string // columns of Assemblies whose blank cells take what stands above, the outermost first
	headings headingRowsStated
	encoding textEncoding // of the files of text
	decimal  decimalSign  // of the numbers that stand there as text
	choice
}

// key is the key of the project file under which the entry stands.
func (e *registerEntry) key() string { return cmp.Or(e.section, "register") }

// kinds are the sheets that the files of the entry may have.
func (e *registerEntry) kinds() []Sheet {
	if e.section == inspectionsKey {
		return []Sheet{InspectionsSheet()}
	}
	return Sheets()
}

// kindNames are their names.
func (e *registerEntry) kindNames() []string {
	if e.section == inspectionsKey {
		return []string{inspectionsSheet}
	}
	return sheetNames[:]
}

// allSheets is where the columns of an entry stand that names no sheet for them.
const allSheets = ""

// sheetUse says what a sheet of a workbook is, or a file of text by its name with or without extension.
type sheetUse struct {
	name  string
	kind  string // of sheet; ignored where it is not to be read
	fixed []fixedValue
	// fillDown are the columns that are filled down, in place of those of the entry.
	fillDown []string
	headings headingRowsStated
}

// ignored is the kind of a sheet that is not to be read.
const ignored = "ignore"

// fixedValue is what a column holds in every row.
type fixedValue struct{ column, text string }

// mappedColumn is the heading that the project file names for a column, or one for each phase.
type mappedColumn struct {
	property
	phases []phaseHeading
}

// phaseHeading is the heading of a column for one phase.
type phaseHeading struct {
	phase string
	property
}

const (
	registerHint = "write register: {file: assemblies.xlsx}, or a list of such entries"
	fixedHint    = "write columns and what they hold in every row: {Line: HO-66, Circuit: 1}"
	fillDownHint = "write the columns whose blank cells take what stands above them, the outermost first: fill_down: [Line, Structure]"
	sheetsHint   = `write sheets, or file names, and what they are: {"Cct 1": Assemblies, "Cct 2": {as: Assemblies, fixed: {Circuit: 2}}, Legend: ignore}`
	columnsHint  = `write columns and the headings that the file has for them: {Structure: "Pole no.", Creepage: {from: Fuga, unit: in}, Units per string: {A: Units A, B: Units B, C: Units C}}`
)

// files lists the files of every entry.
func (r *registerInput) files() (files []string) {
	for _, entry := range r.entries {
		files = append(files, entry.files...)
	}
	return files
}

// statedFiles counts the files and patterns that the entries name.
func (r *registerInput) statedFiles() (count int) {
	for i := range r.entries {
		count += len(r.entries[i].asStated)
	}
	return count
}

// entriesOf are the entries of a section that has one, or a list of them.
func entriesOf(name string, node ast.Node, hint string) ([]ast.Node, *ProjectFileError) {
	list, is := node.(*ast.SequenceNode)
	switch {
	case !is:
		return []ast.Node{node}, nil
	case len(list.Values) == 0:
		return nil, wrong(node, hint, "%s is an empty list, expected entries with a file", name)
	}
	return list.Values, nil
}

// read reads one entry or a list of entries.
func (r *registerInput) read(name string, node ast.Node) *ProjectFileError {
	entries, problem := entriesOf(name, node, registerHint)
	if problem != nil {
		return problem
	}
	for _, at := range entries {
		var entry registerEntry
		if problem := entry.keys(&r.scheduleOnly).read(name, at); problem != nil {
			return problem
		}
		if len(entry.files) == 0 && entry.sql == "" && len(entries) > 1 {
			return wrong(at, registerHint, "an entry of %s names no file", name)
		}
		r.entries = append(r.entries, entry)
	}
	return nil
}

func (e *registerEntry) keys(scheduleOnly *bool) section {
	return slices.Concat(e.fileList.keys(), section{
		{"as", e.kindKey(&e.as)},
		{"columns", e.readColumns},
		{"sheets", e.readSheets},
		{"fixed", e.fixedKey(&e.fixed)},
		{"fill_down", fillDownKey(&e.fillDown)},
		{"headings", headingRowsKey(&e.headings)},
		{"encoding", encodingKey(&e.encoding)},
		{"decimal", decimalKey(&e.decimal)},
		{"schedule_only", boolKey(scheduleOnly)},
	}, e.choice.keys())
}

// readColumns reads headings by column, {Structure: "Pole no."}, or by sheet and column, {Assemblies: {Structure: "Pole no."}}.
func (e *registerEntry) readColumns(name string, node ast.Node) *ProjectFileError {
	e.columns = map[string]map[string]mappedColumn{}
	entries, ok := mapping(node)
	if !ok {
		return wrong(node, columnsHint, "%s %s is no mapping of columns to headings", name, written(node))
	}
	sheets := e.kinds()
	for _, entry := range entries {
		text, _ := scalar(entry.Key)
		if i := slices.IndexFunc(sheets, func(s Sheet) bool { return s.Name == text }); i >= 0 {
			if problem := e.readColumnsOf(sheets[i].Name, sheets[i].Columns, entry.Value); problem != nil {
				return problem
			}
			continue
		}
		if problem := e.readColumn(allSheets, columnsOf(sheets), entry); problem != nil {
			return problem
		}
	}
	return nil
}

// columnsOf lists the columns of several sheets.
func columnsOf(sheets []Sheet) (columns []Column) {
	for _, s := range sheets {
		columns = append(columns, s.Columns...)
	}
	return columns
}

func (e *registerEntry) readColumnsOf(sheet string, columns []Column, node ast.Node) *ProjectFileError {
	entries, ok := mapping(node)
	if !ok {
		return wrong(node, columnsHint, "%s %s is no mapping of columns to headings", sheet, written(node))
	}
	for _, entry := range entries {
		if problem := e.readColumn(sheet, columns, entry); problem != nil {
			return problem
		}
	}
	return nil
}

// readColumn reads the heading of one column.
func (e *registerEntry) readColumn(sheet string, columns []Column, entry *ast.MappingValueNode) *ProjectFileError {
	c, problem := columnAt(entry.Key, columns, sheet)
	if problem != nil || entry.Value == nil || entry.Value.Type() == ast.NullType {
		return problem
	}
	to := mappedColumn{property: measured("", c.measure)}
	if keys, isMapping := mapping(entry.Value); isMapping && isByPhase(keys) {
		to.phases, problem = phaseHeadings(c, sheet, keys)
	} else {
		problem = namedKey(&to.property)(c.Name, entry.Value)
	}
	if e.columns[sheet] == nil {
		e.columns[sheet] = map[string]mappedColumn{}
	}
	e.columns[sheet][c.Name] = to
	return problem
}

// columnAt finds the column that a key names, with or without its unit of measure.
func columnAt(node ast.Node, columns []Column, sheet string) (Column, *ProjectFileError) {
	text, _ := scalar(node)
	names := make([]string, 0, len(columns))
	for _, c := range columns {
		if key := headingKey(text); key == headingKey(c.Name) || key == headingKey(c.Heading) {
			return c, nil
		}
		if !slices.Contains(names, c.Name) {
			names = append(names, c.Name)
		}
	}
	of := ""
	if sheet != allSheets {
		of = " in " + sheet
	}
	problem := wrong(node, "dryarc read --columns lists the columns of every sheet", "unknown column %s%s, expected one of %s", written(node), of, quotedList(names))
	if close := near(text, names); close != "" {
		problem.Hint = fmt.Sprintf("did you mean %q?", close)
	}
	return Column{}, problem
}

// isByPhase tells headings by phase, {A: Units A}, from a heading with its unit, {from: Fuga, unit: in}.
func isByPhase(keys []*ast.MappingValueNode) bool {
	for _, entry := range keys {
		if text, _ := scalar(entry.Key); text == "from" || text == "unit" {
			return false
		}
	}
	return len(keys) > 0
}

// phaseHeadings reads the headings of a column by phase.
func phaseHeadings(c Column, sheet string, keys []*ast.MappingValueNode) (headings []phaseHeading, problem *ProjectFileError) {
	switch {
	case sheet != allSheets && sheet != assembliesSheet:
		return nil, wrong(keys[0].Key, columnsHint, "column %q of %s has no phases; only those of %s may have a heading for each", c.Name, sheet, assembliesSheet)
	case slices.Contains([]string{"Line", "Structure", "Circuit", "Phase"}, c.Name):
		return nil, wrong(keys[0].Key, columnsHint, "column %q says where an assembly hangs and has no heading for each phase", c.Name)
	}
	for _, entry := range keys {
		phase, _ := scalar(entry.Key)
		if _, known := audit.ParsePhases(phase); !known || phase == "" {
			return nil, wrong(entry.Key, columnsHint, "%s is no phase, expected names such as A, B, C", written(entry.Key))
		}
		if slices.ContainsFunc(headings, func(h phaseHeading) bool { return h.phase == phase }) {
			return nil, wrong(entry.Key, columnsHint, "phase %s stands there twice", written(entry.Key))
		}
		heading := phaseHeading{phase, measured("", c.measure)}
		if problem := namedKey(&heading.property)(c.Name, valueOrKey(entry)); problem != nil {
			return nil, problem
		}
		headings = append(headings, heading)
	}
	return headings, nil
}

// fixedKey reads what columns hold in every row: {Line: HO-66}.
func (e *registerEntry) fixedKey(to *[]fixedValue) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		entries, ok := mapping(node)
		if !ok {
			return wrong(node, fixedHint, "%s %s is no mapping of columns to values", name, written(node))
		}
		for _, entry := range entries {
			c, problem := columnAt(entry.Key, columnsOf(e.kinds()), allSheets)
			if problem != nil {
				return problem
			}
			text, isText := scalar(entry.Value)
			if text = strings.TrimSpace(text); !isText || text == "" || entry.Value.Type() == ast.NullType {
				return wrong(valueOrKey(entry), fixedHint, "%s %s is no value, expected a text or a number", c.Name, written(entry.Value))
			}
			*to = append(*to, fixedValue{c.Name, text})
		}
		return nil
	}
}

// fillDownKey reads columns that are filled down, [Line, Structure].
func fillDownKey(to *[]string) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		list := []ast.Node{node}
		if several, ok := node.(*ast.SequenceNode); ok {
			list = several.Values
		}
		kinds := Sheets()
		*to = []string{}
		assemblies := kinds[slices.IndexFunc(kinds, func(s Sheet) bool { return s.Name == assembliesSheet })]
		for _, at := range list {
			c, problem := columnAt(at, assemblies.Columns, assemblies.Name)
			switch {
			case problem != nil:
				return problem
			case slices.Contains(*to, c.Name):
				return wrong(at, fillDownHint, "%s stands twice under %s", written(at), name)
			}
			*to = append(*to, c.Name)
		}
		return nil
	}
}

// readSheets reads what the sheets are: {"Cct 1": Assemblies, Legend: ignore}.
func (e *registerEntry) readSheets(name string, node ast.Node) *ProjectFileError {
	entries, ok := mapping(node)
	if !ok {
		return wrong(node, sheetsHint, "%s %s is no mapping of sheets to what they are", name, written(node))
	}
	for _, entry := range entries {
		use := sheetUse{}
		use.name, _ = scalar(entry.Key)
		kind := e.kindKey(&use.kind)
		problem := (*ProjectFileError)(nil)
		if _, isMapping := mapping(entry.Value); isMapping && entry.Value != nil && entry.Value.Type() != ast.NullType {
			problem = section{{"as", kind}, {"fixed", e.fixedKey(&use.fixed)}, {"fill_down", fillDownKey(&use.fillDown)}, {"headings", headingRowsKey(&use.headings)}}.read(name, entry.Value)
			switch {
			case problem != nil:
			case use.kind == "":
				problem = wrong(entry.Key, sheetsHint, "%s does not say what the sheet is, expected as: Assemblies or another kind", written(entry.Key))
			case use.kind != assembliesSheet && len(use.fillDown) > 0:
				problem = wrong(entry.Key, fillDownHint, "%s is %s and has fill_down, which only sheets of Assemblies may have", written(entry.Key), use.kind)
			}
		} else {
			problem = kind(use.name, valueOrKey(entry))
		}
		if problem != nil {
			return problem
		}
		e.sheets = append(e.sheets, use)
	}
	return nil
}

// kindKey reads a kind of sheet, or that it is ignored.
func (e *registerEntry) kindKey(to *string) reader {
	return func(_ string, node ast.Node) *ProjectFileError {
		text, _ := scalar(node)
		if strings.EqualFold(text, ignored) {
			*to = ignored
			return nil
		}
		sheet, known := sheetNamed(text)
		if !known || !slices.Contains(e.kindNames(), sheet.Name) {
			return wrong(node, sheetsHint, "sheet %s is none of %s, %s", written(node), quotedList(e.kindNames()), ignored)
		}
		*to = sheet.Name
		return nil
	}
}
