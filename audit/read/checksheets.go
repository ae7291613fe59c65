package read

import (
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"
)

// checkSheets refuses a register without assemblies unless the schedule alone is wanted, a workbook that has no sheet of a
// register, a sheet that is read twice, and names of the project file that nothing has.
func (r *register) checkSheets() error {
	var trouble problems
	whole := true
	for i := range r.register.entries {
		whole = whole && r.isWhole(&r.register.entries[i])
	}
	if whole { // else it cannot be told what is missing
		trouble.add(r.checkFound())
	}
	trouble.add(r.checkTwice())
	for i := range r.register.entries {
		if entry := &r.register.entries[i]; r.isWhole(entry) {
			trouble.add(r.checkNamed(entry))
			trouble.add(r.checkDirect(entry))
			trouble.add(r.checkFixedSomewhere(entry))
		}
	}
	return trouble.err()
}

// of lists the workbooks of an entry.
func (r *register) of(entry *registerEntry) (of []*workbook) {
	for _, w := range r.workbooks {
		if w.entry == entry {
			of = append(of, w)
		}
	}
	return of
}

// isWhole tells whether every file of an entry could be opened.
func (r *register) isWhole(entry *registerEntry) bool {
	of := r.of(entry)
	return len(of) == len(entry.files) && !slices.ContainsFunc(of, func(w *workbook) bool { return w.unusable })
}

// kindsOf lists the kinds of sheet that an entry has, in their order, and says of each sheet whether there are assemblies
// beside it.
func (r *register) kindsOf(entry *registerEntry) (kinds []string) {
	for _, kind := range entry.kindNames() {
		if slices.ContainsFunc(r.of(entry), func(w *workbook) bool { return len(w.sheets[kind]) > 0 }) {
			kinds = append(kinds, kind)
		}
	}
	if !slices.Contains(kinds, assembliesSheet) {
		return kinds
	}
	for _, w := range r.of(entry) {
		for _, found := range w.sheets {
			for i := range found {
				found[i].besideAssemblies = true
			}
		}
	}
	return kinds
}

// checkFound refuses a register without assemblies, and files without a sheet that is read.
func (r *register) checkFound() error {
	var trouble problems
	assemblies := r.register.scheduleOnly
	for _, w := range r.workbooks {
		_, has := w.sheets[assembliesSheet]
		assemblies = assemblies || has
	}
	if !slices.ContainsFunc(r.workbooks, func(w *workbook) bool { return !w.isIgnored() }) {
		return allIgnored(r.workbooks)
	}
	for _, w := range r.workbooks {
		if len(w.sheets) > 0 && assemblies || w.isText && len(w.sheets) == 0 {
			continue
		}
		if w.isIgnored() {
			trouble.add(allIgnored([]*workbook{w}))
			continue
		}
		there := w.list
		err := &InputError{File: w.name, Message: fmt.Sprintf("has no sheet %q; the sheets there are %s", assembliesSheet, quotedList(there)),
			Hint: "name the sheet of the assemblies \"Assemblies\"; dryarc new writes an example"}
		if fitting := w.sheetsThatFit(r); fitting != "" {
			err.Hint = "say which they are under register in the project file: sheets: {" + fitting + "}"
		} else if close := near(assembliesSheet, there); close != "" {
			err.Hint = fmt.Sprintf("rename the sheet %q to %q, or write under register in the project file: sheets: {%q: %s}", close, assembliesSheet, close, assembliesSheet)
		} else if len(there) == 1 {
			err.Hint = fmt.Sprintf("if the assemblies are on the sheet %q, write under register in the project file: sheets: {%q: %s}", there[0], there[0], assembliesSheet)
		}
		if passed := w.ignoredSheets(); len(passed) > 0 {
			err.Message = fmt.Sprintf("has no sheet %q that is read; the sheets there are %s, of which the key sheets under register in the project file says %s of %s",
				assembliesSheet, quotedList(there), ignored, quotedList(passed))
			err.Hint = fmt.Sprintf("take out %s of the sheet that holds the assemblies, or name another: sheets: {…: %s}", ignored, assembliesSheet)
		}
		if trouble.add(err); len(w.sheets) > 0 {
			break // that there are no assemblies is said once
		}
	}
	return trouble.err()
}

// ignoredSheets are the sheets of a workbook of which the project file says that they are not to be read.
func (w *workbook) ignoredSheets() (names []string) {
	for _, name := range w.list {
		if use, named := w.useOf(name); name == ignored && w.isText || named && use.kind == ignored && !w.isText {
			names = append(names, name)
		}
	}
	return names
}

// isIgnored tells whether no sheet of a workbook is to be read.
func (w *workbook) isIgnored() bool { return len(w.list) > 0 && len(w.ignoredSheets()) == len(w.list) }

// allIgnored is the error of workbooks of whose sheets none is to be read.
func allIgnored(workbooks []*workbook) error {
	if len(workbooks) == 0 {
		return nil
	}
	var files, sheets []string
	for _, w := range workbooks {
		files = append(files, w.name)
		if w.isText {
			sheets = append(sheets, path.Base(w.name))
		} else {
			sheets = append(sheets, w.list...)
		}
	}
	return &InputError{File: strings.Join(slices.Compact(files), ", "),
		Message: fmt.Sprintf("is not read at all: the key sheets under register in the project file says %s of every sheet, %s", ignored, quotedList(sheets)),
		Hint:    fmt.Sprintf("say which of them holds the assemblies, such as sheets: {%q: %s}, or take the file out of the register", sheets[0], assembliesSheet)}
}

// sheetsThatFit writes the sheets of a workbook whose headings fit a kind, as the project file would name them.
func (w *workbook) sheetsThatFit(r *register) string {
	if w.content == nil { // put aside, as one of many
		if w.takeUp() != nil {
			return ""
		}
		defer func() { _ = w.putAside() }() // the register is refused anyway
	}
	const most = 20
	var fitting []string
	for _, name := range w.list[:min(len(w.list), most)] {
		if kind := w.fitting(r, name); kind != "" && !w.uses(name) {
			fitting = append(fitting, fmt.Sprintf("%q: %s", name, kind))
		}
	}
	return strings.Join(fitting, ", ")
}

// checkTwice refuses a sheet that is read twice as the same kind of rows, unless it is for different circuits that stand side by side.
func (r *register) checkTwice() error {
	var trouble problems
	read := map[[3]string][]*stated{}
	for _, w := range r.workbooks {
		for _, kind := range slices.Sorted(maps.Keys(w.sheets)) {
			for _, found := range w.sheets[kind] {
				sheet := [3]string{w.name, found.actual, kind}
				told := w.entry.stated(kind, found)
				beside := func(before *stated) bool { return kind == assembliesSheet && besideEachOther(before, &told) }
				if slices.ContainsFunc(read[sheet], func(before *stated) bool { return !beside(before) }) {
					what := fmt.Sprintf("the sheet %q", found.actual)
					if w.isText {
						what = "it"
					}
					trouble.add(&InputError{File: w.name, Message: fmt.Sprintf("%s is read twice as %s", what, kind),
						Hint: besideHint})
				}
				read[sheet] = append(read[sheet], &told)
			}
		}
	}
	return trouble.err()
}

// checkNamed refuses names under sheets that no file of the entry has.
func (r *register) checkNamed(entry *registerEntry) error {
	var trouble problems
	for _, use := range entry.sheets {
		var there []string
		found := false
		for _, w := range r.of(entry) {
			names := w.list
			if w.isText {
				names = w.namesOfText()
			}
			found = found || slices.ContainsFunc(names, func(name string) bool { return sameSheet(name, use.name) })
			there = append(there, names[:min(len(names), max(1, len(w.list)))]...)
		}
		if !found {
			message, hint := notThere("sheet", use.name, "sheets", there)
			trouble.add(&InputError{File: entry.of(), Message: message, Hint: hint})
		}
	}
	return trouble.err()
}

// checkDirect refuses columns that say no sheet where the entry has several kinds, or none that has the column.
func (r *register) checkDirect(entry *registerEntry) error {
	kinds := r.kindsOf(entry)
	direct := entry.columns[allSheets]
	if len(direct) == 0 || len(kinds) == 0 {
		return nil
	}
	file := entry.of()
	names := slices.Sorted(maps.Keys(direct))
	if len(kinds) > 1 {
		return &InputError{File: file, Message: fmt.Sprintf("has sheets of several kinds, %s, and the project file does not say of which the column %q is", quotedList(kinds), names[0]),
			Hint: fmt.Sprintf("write columns: {%s: {%s: …}}", kinds[0], names[0])}
	}
	var trouble problems
	for _, name := range names {
		if !hasColumn(kinds[0], name) {
			trouble.add(&InputError{File: file, Message: fmt.Sprintf("holds %s, which have no column %q", kinds[0], name), Hint: "dryarc read --columns lists the columns of every sheet"})
		} else if kinds[0] != assembliesSheet && len(direct[name].phases) > 0 {
			trouble.add(&InputError{File: file, Message: fmt.Sprintf("holds %s, whose column %q has no phases", kinds[0], name), Hint: "name one heading for it"})
		}
	}
	return trouble.err()
}

// checkFixedSomewhere refuses fixed values of columns that no sheet has which they are for.
func (r *register) checkFixedSomewhere(entry *registerEntry) error {
	kinds := r.kindsOf(entry)
	if len(kinds) == 0 {
		return nil
	}
	var trouble problems
	check := func(fixed []fixedValue, kinds []string) {
		for _, f := range fixed {
			if !slices.ContainsFunc(kinds, func(kind string) bool { return hasColumn(kind, f.column) }) {
				trouble.add(&InputError{File: entry.of(), Message: fmt.Sprintf("holds %s, which have no column %q that the project file fixes", strings.Join(kinds, " and "), f.column),
					Hint: "dryarc read --columns lists the columns of every sheet"})
			}
		}
	}
	if len(entry.fillDown) > 0 && !slices.Contains(kinds, assembliesSheet) {
		trouble.add(&InputError{File: entry.of(), Message: fmt.Sprintf("holds %s, and the project file says fill_down, which only sheets of Assemblies may have", strings.Join(kinds, " and ")),
			Hint: fillDownHint})
	}
	check(entry.fixed, kinds)
	for _, use := range entry.sheets {
		check(use.fixed, []string{use.kind})
	}
	return trouble.err()
}

func hasColumn(kind, name string) bool {
	sheet, _ := sheetNamed(kind)
	return slices.ContainsFunc(sheet.Columns, func(c Column) bool { return c.Name == name })
}
