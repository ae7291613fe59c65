package read

import (
	"context"
	"fmt"
	"path"
	"slices"
	"strings"

	"dryarc/audit"
)

// findSheets registers the sheets that the register uses: those that the project file names, then those of the entry's own
// names, whatever the case. As a sheet ends at 1 048 576 rows, there may be several of a name, with a number, a blank or a mark
// behind it: Assemblies, Assemblies 2, Assemblies (3).
func (w *workbook) findSheets(p *audit.Project) {
	for _, wanted := range w.entry.kindNames() {
		for _, actual := range w.list {
			use, named := w.useOf(actual)
			if _, is := numberOfSheet(actual, wanted); named && use.kind != wanted || !named && (!is || w.isOfOther(actual)) {
				continue
			}
			w.sheets[wanted] = append(w.sheets[wanted], foundSheet{actual: actual, table: p.AddTable(audit.Table{File: w.name, Sheet: actual, Kind: wanted}),
				fixed: slices.Concat(w.entry.fixed, use.fixed), fillDown: fillDownOf(w.entry, &use), headings: headingsOf(w.entry, &use)})
		}
	}
}

// useOf is what the project file says that a sheet is.
func (w *workbook) useOf(actual string) (sheetUse, bool) {
	for _, same := range [...]func(a, b string) bool{func(a, b string) bool { return a == b }, sameSheet} {
		for _, use := range w.entry.sheets {
			if same(use.name, actual) {
				return use, true
			}
		}
	}
	return sheetUse{}, false
}

// sameSheet compares names of sheets whatever their case and the blanks around them.
func sameSheet(a, b string) bool {
	return strings.EqualFold(Composed(strings.TrimSpace(a)), Composed(strings.TrimSpace(b)))
}

// useOfText is what the project file says that a file of text is, by its name with or without folders and extension, or by the pattern
// that found it.
func (w *workbook) useOfText() (sheetUse, bool) {
	for _, name := range w.namesOfText() {
		if use, is := w.useOf(name); is {
			return use, true
		}
	}
	return sheetUse{}, false
}

// namesOfText are the names that the project file may have for a file of text as a sheet.
func (w *workbook) namesOfText() []string {
	names := namesOfText(w.name)
	if pattern := w.entry.from[w.name]; pattern != "" {
		names = append(names, namesOfText(pattern)...)
	}
	return names
}

// quotedPattern is a pattern as a key of the project file, where it needs quotes; empty for none.
func quotedPattern(pattern string) string {
	if pattern == "" {
		return ""
	}
	return fmt.Sprintf("%q", pattern)
}

// namesOfText are the names of a file of text as a sheet.
func namesOfText(name string) []string {
	base := path.Base(name)
	plain := unpackedName(base)
	return []string{name, base, plain, strings.TrimSuffix(plain, path.Ext(plain))}
}

// isOfOther tells whether a sheet that this entry does not name belongs to another entry with the same file: one that names
// it, else the first.
func (w *workbook) isOfOther(actual string) bool {
	first := true
	for i := range w.register.entries {
		other := &w.register.entries[i]
		if other == w.entry {
			first = false
			continue
		}
		if !slices.Contains(other.files, w.name) {
			continue
		}
		if first || slices.ContainsFunc(other.sheets, func(use sheetUse) bool { return sameSheet(use.name, actual) }) {
			return true
		}
	}
	return false
}

// numberOfSheet returns the number that the name of a sheet has behind that of a sheet of the register, which may be none; is tells
// whether it is named so at all, blanks and marks aside.
func numberOfSheet(actual, wanted string) (number string, is bool) {
	actual = strings.TrimSpace(actual)
	if len(actual) < len(wanted) || !strings.EqualFold(actual[:len(wanted)], wanted) {
		return "", false
	}
	rest := strings.TrimLeft(actual[len(wanted):], " \u00a0_-–.,#")
	marks := rest == ""
	for _, brackets := range [...]string{"()", "[]"} {
		if strings.HasPrefix(rest, brackets[:1]) && strings.HasSuffix(rest, brackets[1:]) {
			rest = strings.TrimSpace(rest[1 : len(rest)-1])
		}
	}
	if strings.Trim(rest, "0123456789") != "" {
		return "", false
	}
	return rest, rest != "" || marks
}

// otherSheets notes, once, the sheets of a workbook that are not used.
func (w *workbook) otherSheets(r *register) (notes []string) {
	if w.noted || w.isText {
		return nil
	}
	w.noted = true
	const most = 20
	for _, name := range w.list {
		if w.uses(name) || w.isOfOther(name) {
			continue
		}
		if _, named := w.useOf(name); named {
			notes = append(notes, fmt.Sprintf("the sheet %q is not read, as the project file says", name))
			continue
		}
		note := fmt.Sprintf("the sheet %q is not used", name)
		if kind := w.fitting(r, name); kind != "" {
			note += fmt.Sprintf(", but its headings are those of %[1]s; to read it, write under register: sheets: {%[2]q: %[1]s}, else sheets: {%[2]q: %[3]s}", kind, name, ignored)
		} else if close := near(name, w.entry.kindNames()); close != "" {
			note += fmt.Sprintf("; perhaps it is %q", close)
		}
		if notes = append(notes, note); len(notes) == most {
			return append(notes, fmt.Sprintf("of the sheets that are not used %d are listed; there may be more", most))
		}
	}
	return notes
}

// uses tells whether a sheet is read.
func (w *workbook) uses(name string) bool {
	for _, found := range w.sheets {
		if slices.ContainsFunc(found, func(sheet foundSheet) bool { return sheet.actual == name }) {
			return true
		}
	}
	return false
}

// fitting returns the kind of sheet that the headings of a sheet fit, empty for none. Line and Unit alone fit nothing: a sheet of
// another kind than Assemblies needs three columns.
func (w *workbook) fitting(r *register, name string) string {
	if w.isText || w.entry.section != "" {
		return ""
	}
	ctx := context.Background()
	fits := func(found int, missing bool) bool { return !missing && found >= 3 }
	if found, missing := headingsThere(ctx, w, assemblyColumns(r), assembliesSheet, name); fits(found, missing) {
		return assembliesSheet
	}
	best, most := "", 0
	if found, missing := headingsThere(ctx, w, lineColumns(r), linesSheet, name); fits(found, missing) {
		best, most = linesSheet, found
	}
	if found, missing := headingsThere(ctx, w, unitColumns(r), unitsSheet, name); fits(found, missing) && found > most {
		best, most = unitsSheet, found
	}
	if found, missing := headingsThere(ctx, w, conductorColumns(r), conductorsSheet, name); fits(found, missing) && found > most {
		best = conductorsSheet
	}
	return best
}

// headingsThere counts the columns of a kind for which a sheet has headings, and tells whether a required one is missing.
func headingsThere[R any](ctx context.Context, w *workbook, columns []column[R], kind, name string) (found int, missing bool) {
	grid, err := openSheet(ctx, w.content, name)
	if err != nil {
		return 0, true
	}
	defer grid.close()
	told := w.entry.stated(kind, foundSheet{fixed: w.entry.fixed, besideAssemblies: true})
	told.choice = choice{}
	shape, _ := findHeadings(grid, sheet[R]{name: kind, columns: columns}, told, name)
	for _, p := range shape.columns {
		if p.index >= 0 {
			found++
		}
	}
	return found, len(shape.missing) > 0 || len(shape.problems) > 0
}
