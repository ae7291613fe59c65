package read

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
)

// findSheets registers the sheets that the register uses, by their names whatever the case. As a sheet ends at 1 048 576
// rows, there may be several of a name, all but one with a number behind it: Assemblies, Assemblies 2, Assemblies (3).
func (w *workbook) findSheets(p *audit.Project) {
	for _, wanted := range sheetNames {
		plain := false
		for _, actual := range w.list {
			number, is := numberOfSheet(actual, wanted)
			if !is || plain && number == "" {
				continue
			}
			plain = plain || number == ""
			w.sheets[wanted] = append(w.sheets[wanted], foundSheet{actual, p.AddTable(audit.Table{File: w.name, Sheet: actual})})
		}
	}
}

// numberOfSheet returns the number that the name of a sheet has behind that of a sheet of the register; is tells whether it
// is named so at all.
func numberOfSheet(actual, wanted string) (number string, is bool) {
	actual = strings.TrimSpace(actual)
	if len(actual) < len(wanted) || !strings.EqualFold(actual[:len(wanted)], wanted) {
		return "", false
	}
	rest := strings.TrimLeft(actual[len(wanted):], " \u00a0_-–.,#")
	for _, brackets := range [...]string{"()", "[]"} {
		if strings.HasPrefix(rest, brackets[:1]) && strings.HasSuffix(rest, brackets[1:]) {
			rest = strings.TrimSpace(rest[1 : len(rest)-1])
		}
	}
	if strings.Trim(rest, "0123456789") != "" {
		return "", false
	}
	return rest, rest != "" || len(actual) == len(wanted)
}

// otherSheets notes, once, the sheets of a workbook that are not used.
func (w *workbook) otherSheets() (notes []string) {
	if w.noted {
		return nil
	}
	w.noted = true
	const most = 20
	for _, name := range w.list {
		used := false
		for _, found := range w.sheets {
			used = used || slices.ContainsFunc(found, func(sheet foundSheet) bool { return sheet.actual == name })
		}
		if !used {
			note := fmt.Sprintf("the sheet %q is not used", name)
			if close := near(name, sheetNames[:]); close != "" {
				note += fmt.Sprintf("; perhaps it is %q", close)
			}
			if notes = append(notes, note); len(notes) == most {
				return append(notes, fmt.Sprintf("of the sheets that are not used %d are listed; there may be more", most))
			}
		}
	}
	return notes
}
