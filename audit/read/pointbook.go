package read

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"dryarc/audit/read/xlsx"
)

// A table of points may stand on a sheet of a workbook: what its cells hold as numbers are numbers, whatever marks texts beside them have.

// isPointBook tells whether a layer is a workbook, by its name.
func (in *input) isPointBook() bool {
	return slices.Contains([]string{".xlsx", ".xlsm", ".xlsb", ".xls"}, path.Ext(in.plainName()))
}

// pointSheet is the sheet of a workbook that holds the points: the one that the project file names, or the only one with headings for both
// coordinates.
func (l *layer) pointSheet(in *input, content *spreadsheet) (string, error) {
	var trouble error
	var fit []string
	names := content.opened.Sheets()
	for _, name := range names {
		if l.name != "" && Composed(name) != Composed(l.name) {
			continue
		}
		if l.name != "" {
			return name, nil
		}
		probe := &pointTable{in: in, system: l.placing.system}
		grid, err := openSheet(in.ctx, content, name)
		if err == nil {
			err = probe.findHeadings(grid, l)
			grid.close()
		} else {
			err = sheetProblem(in.ctx, in.name, err)
		}
		if err == nil {
			fit = append(fit, name)
		} else if trouble == nil {
			trouble = err
		}
	}
	switch {
	case l.name != "":
		return "", &InputError{File: in.name, Message: fmt.Sprintf("has no sheet %q; the sheets there are %s", l.name, quotedList(names)), Hint: "name one of them under " + l.section + " in the project file: layer: …"}
	case len(fit) == 1:
		return fit[0], nil
	case len(fit) > 1:
		return "", &InputError{File: in.name, Message: fmt.Sprintf("has %d sheets with headings for two coordinates, expected one or a name: %s", len(fit), quotedList(fit)),
			Hint: fmt.Sprintf("name one of them under %s in the project file: layer: %s", l.section, fit[0])}
	case trouble == nil:
		return "", &InputError{File: in.name, Message: "has no sheets", Hint: saveHint}
	}
	return "", trouble
}

// takeCells makes the cells of a row of a workbook those of a table of text: a number that stands as one is never read as one with a point
// between thousands. What may be no value in a column that is read makes the row useless.
func (t *pointTable) takeCells(grid *gridReader) {
	t.lost = ""
	if grid.hidden {
		t.hidden++
	}
	for i, heading := range t.headings {
		if !t.wanted[i] {
			continue
		}
		if _, is := grid.formulas[i]; is {
			t.lost = fmt.Sprintf("has a formula without a stored value under %q; open the workbook in a spreadsheet program and save it", heading)
			continue
		}
		if i >= len(grid.cells) {
			continue
		}
		cell := strings.TrimSpace(grid.cells[i])
		switch {
		case isErrorValue(cell):
			t.lost, grid.cells[i] = fmt.Sprintf("has the error value %s of a spreadsheet under %q", strings.Clone(cell), heading), ""
		case mayBeDay(cell) && !t.numbers[i]:
			if _, isDay := dayAndMonth(grid.from.format(i)); isDay {
				t.lost = fmt.Sprintf("has a day under %q, which a spreadsheet has made of a number such as 7/1; expected the number as a text", heading)
				grid.cells[i] = ""
			}
		case !grid.from.isNumber(i):
		case t.numbers[i] && isLoosePoint(cell):
			grid.cells[i] = cell + "0"
		case !t.numbers[i]:
			grid.cells[i] = withZeros(tidyNumber(cell), grid.from.format(i))
		}
	}
}

// checkMergedRows refuses a sheet that has cells merged over several rows below the headings in a column that is read: the first of these rows
// alone holds anything there.
func (t *pointTable) checkMergedRows(content book) error {
	for _, area := range content.merged(t.in.ctx, t.sheet) {
		if area.First > t.row && area.Last > area.First && area.Column < len(t.wanted) && t.wanted[area.Column] {
			return &InputError{File: t.in.name, Message: fmt.Sprintf("has cells of %q merged over the rows %d to %d, column %s, which tables of points cannot have", t.headings[area.Column], area.First, area.Last, xlsx.ColumnName(area.Column)),
				Hint: "take the merging away in a spreadsheet program, and fill the cells"}
		}
	}
	return nil
}
