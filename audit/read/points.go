package read

import (
	"encoding/json"
	"errors"
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"

	jsontext "dryarc/audit/read/json"

	"github.com/twpayne/go-geom"
)

// isTable tells whether a layer is a table of points in a file of text, by its name.
func (in *input) isTable() bool {
	return slices.Contains(tableEndings(), path.Ext(in.plainName()))
}

// tableEndings are the ends of the names of tables of text.
func tableEndings() []string { return []string{".csv", ".tsv", ".txt"} }

// pointTable is a table of points as it is read.
type pointTable struct {
	in       *input
	headings []string
	row      uint32     // of the headings
	cells    int        // of the row of the headings, blank ones too
	above    []rowAbove // what stands above the headings
	x, y     int
	axes     [2]coordinateColumn // of x and y
	signs    []numberSigns       // by column: of its numbers
	numbers  []bool              // by column: it is read as numbers
	measures []*measure          // by column: of its numbers; nil for pure numbers and texts
	units    []unitOfMeasure     // by column: the unit of its heading
	wanted   []bool              // by column: it is one of those that the audit reads
	widths   widths              // of the rows
	signed   [2]bool             // a coordinate that counts westwards or southwards has values below 0
	lettered bool                // a coordinate has the letter of its hemisphere
	parted   [2]bool             // a coordinate has degrees, minutes and seconds, or the letter of its hemisphere

	sheet  string // of a workbook
	lost   string // why the row at hand of a workbook cannot be read; empty where it can
	hidden int    // rows of a workbook

	unordered bool // the headings do not say which coordinate is the easting
	order     pointOrder
	system    *system // of the positions
}

// widths are how many cells the rows below the headings have.
type widths struct {
	first int
	vary  bool
}

func (w *widths) note(cells int) {
	w.vary = w.vary || w.first > 0 && cells != w.first
	w.first = cells
}

// pads tells whether all rows end in as many blank cells beyond those of the headings, as tables do whose rows end in a separator.
func (w *widths) pads(cells int) bool { return !w.vary && w.first == cells }

// readPoints calls each for every row of a file of text that has two coordinates among its columns.
func (l *layer) readPoints(f *half, in *input, each func(*feature) error) (count int, err error) {
	content, err := in.held(in.isPointBook() || in.isParquet() || in.query != "")
	if err != nil {
		return 0, err
	}
	in.taken = false // the rest of it is hashed at the end
	if content.own {
		defer func() { err = errors.Join(err, content.close()) }()
	}
	if err := content.takeSum(); err != nil {
		return 0, in.problem(err)
	}
	var book book = &textFile{f.projectFile, content, l.stated}
	l.format = "table of points"
	table := &pointTable{in: in, system: l.placing.system}
	if in.isParquet() {
		file, err := openParquet(content)
		if err != nil {
			return 0, err
		}
		if file.Geometry() != nil {
			return l.readGeoParquet(in, content, file, each)
		}
		if l.pointNames != nil {
			if err := l.pointNames.fit(l.placing); err != nil {
				return 0, err
			}
		}
		book, l.format, l.notes = &parquetTable{content}, "table of points in Parquet", append(l.notes, unreadColumns(file.Columns())...)
	}
	if in.query != "" {
		book, l.format = &queryTable{content, in.query}, "rows of a query, a table of points"
		l.notes = append(l.notes, queryNotes(in.query, in.stream.Columns())...)
	}
	if in.isPointBook() {
		opened, err := openSpreadsheet(in.name, content)
		if err != nil {
			return 0, err
		}
		defer func() { err = errors.Join(err, opened.close()) }()
		if table.sheet, err = l.pointSheet(in, opened); err != nil {
			return 0, err
		}
		book, l.format = opened, "table of points in a workbook"
		l.project.Tables[l.table].Sheet = table.sheet
	}
	if err := table.rows(book, l, func(*row) error { return nil }); err != nil { // what signs the numbers have is known at the end
		return 0, err
	}
	if err := table.checkMergedRows(book); err != nil && !l.placing.looked {
		return 0, err
	}
	if in.query != "" {
		for _, at := range [...]int{table.x, table.y} {
			if column := &in.stream.Columns()[at]; column.Short {
				l.coarse = fmt.Sprintf("The positions of %s are taken as they are, though its column %q is of the type real, whose numbers have about seven digits, so that they may be up to a metre off.", in.name, column.Name)
			}
		}
	}
	l.pointsAt = [2]string{table.headings[table.x], table.headings[table.y]}
	if l.placing.looked { // what would be refused is asked for
		l.unordered = table.unordered
	} else if err := errors.Join(table.checkAbove(l), table.checkSigns()); err != nil {
		return 0, err
	}
	l.project.Tables[l.table].Above = len(table.above)
	l.coordinates = table.understood()
	l.notes = append(l.notes, slices.Concat(table.titles(), table.partedNotes(), table.remarked())...)
	for i, signs := range table.signs {
		l.notes = append(l.notes, signs.notes(table.headings[i])...)
		if taken := signs.commasTaken(table.headings[i], l.project.Tables[l.table]); taken != "" {
			l.project.SignsTaken = append(l.project.SignsTaken, taken)
		}
	}
	l.notes = append(l.notes, l.decimal.notes()...)
	if table.hidden > 0 {
		l.notes = append(l.notes, fmt.Sprintf("hidden rows, which are read too: %d", table.hidden))
	}
	err = table.rows(book, l, func(r *row) error {
		count++
		given := table.feature(r)
		return each(&given)
	})
	if err == nil && !l.placing.looked {
		if l.wrong = table.checkOrder(l); !l.placing.projected() {
			l.wrong = table.checkDegreesOrder(l)
		}
	}
	return count, err
}

// rows goes through the rows below the headings, and finds these, and what signs the numbers of each column have, where that is not known.
func (t *pointTable) rows(content book, l *layer, each func(*row) error) error {
	grid, err := openSheet(t.in.ctx, content, t.sheet)
	if err != nil {
		return sheetProblem(t.in.ctx, t.in.name, err)
	}
	defer grid.close()
	again := t.headings != nil
	text, isText := grid.from.(*textRows)
	if err := t.findHeadings(grid, l); err != nil {
		return err
	}
	if rows, is := grid.from.(refuser); is {
		for i, wanted := range t.wanted {
			if err := rows.refuse(i); wanted && err != nil {
				return err
			}
		}
	}
	columns, beside := make([]numberSigns, len(t.headings)), numberSigns{}
	for grid.next() {
		if !again {
			if err := t.refuseHeadsAgain(&grid.row, l); err != nil {
				return err
			}
		}
		if err := grid.cut(t.in.name, len(t.headings)); err != nil {
			return err
		}
		if !isText {
			t.takeCells(grid)
		}
		if !again {
			t.noteNumbers(columns, &beside, grid)
			t.widths.note(len(grid.cells))
			t.noteSigns(grid.cells)
		}
		if err := each(&grid.row); err != nil {
			return err
		}
	}
	if !again {
		separator := byte(0)
		if isText {
			separator = text.records.comma
			l.format = "table of points, text with " + separatorName(separator) + " between cells"
			l.noteText(text.records.text)
		}
		doubtPoints(columns, beside, separator, l.decimal)
		for _, at := range [...]int{t.x, t.y} { // which are no structure's if they are wrong by a thousand
			if c := &columns[at]; c.byTable {
				c.commaDecimal, c.byTable = false, false
			}
		}
		t.signs = columns
	}
	t.in.lastRow = grid.lastRow()
	return grid.problem(t.in.name)
}

// findHeadings goes to the first row that has headings for both coordinates.
func (t *pointTable) findHeadings(grid *gridReader, l *layer) error {
	var first []string
	var above []rowAbove
	for range headingRows {
		if !grid.next() {
			break
		}
		if first == nil {
			first = slices.Clone(grid.cells)
		}
		found, err := t.understand(grid.cells, l)
		if found || err != nil {
			t.row, t.cells, t.above = grid.number, len(grid.cells), above
			return err
		}
		above = append(above, rowAbove{grid.number, slices.Clone(grid.cells)})
		if grid.isData() {
			break
		}
	}
	if problem := grid.problem(t.in.name); problem != nil {
		return problem
	}
	return t.without(first, l)
}

// understand tells whether a row holds the headings.
func (t *pointTable) understand(cells []string, l *layer) (bool, error) {
	if stated, err := l.pointNames.stated(t.in.name, l.section); err != nil {
		return false, err
	} else if stated {
		found, err := t.stated(cells, l)
		if !found || err != nil {
			return false, err
		}
		return true, t.name(cells, l)
	}
	headings := make([]coordinateHeading, len(cells))
	plain, bare := make([]string, len(cells)), make([]string, len(cells))
	for i, cell := range cells {
		headings[i] = coordinateHeadingOf(cell)
		plain[i], bare[i] = headings[i].plain, headings[i].bare
	}
	for _, pair := range pointHeadings(l.placing.projected()) {
		var at [2]int
		for axis, names := range [...][]string{pair.first, pair.second} {
			var err error
			if at[axis], err = t.only(cells, plain, names); at[axis] < 0 && err == nil {
				at[axis], err = t.only(cells, bare, names)
			}
			if err != nil {
				return false, err
			}
		}
		if at[0] < 0 || at[1] < 0 {
			continue
		}
		t.x, t.y = at[0], at[1]
		directed := false
		for axis, column := range at {
			var err error
			if t.axes[axis], err = coordinateColumnOf(t.in.name, cells[column], headings[column].says, axis, l.placing.projected(), false); err != nil && !l.placing.looked {
				return false, err
			}
			directed = directed || t.axes[axis].forward
		}
		t.unordered = pair.unordered && !directed && l.placing.system.code != webMercator // which names its axes so
		return true, t.name(cells, l)
	}
	return false, nil
}

// only finds the one column with one of some headings; −1 where there is none.
func (t *pointTable) only(cells, keys, headings []string) (int, error) {
	at := -1
	for i, key := range keys {
		if !slices.Contains(headings, key) {
			continue
		}
		if at >= 0 {
			return 0, &InputError{File: t.in.name, Message: fmt.Sprintf("has two columns for one coordinate, %q and %q, expected one", strings.TrimSpace(cells[at]), strings.TrimSpace(cells[i])),
				Hint: "rename the one that is not meant, or name both coordinates in the project file: properties: {x: …, y: …}, the easting or longitude as x"}
		}
		at = i
	}
	return at, nil
}

// name takes up the headings, and which columns are read as numbers.
func (t *pointTable) name(cells []string, l *layer) error {
	t.headings, t.numbers, t.wanted = make([]string, len(cells)), make([]bool, len(cells)), make([]bool, len(cells))
	t.measures, t.units = make([]*measure, len(cells)), make([]unitOfMeasure, len(cells))
	seen := make(map[string]bool, len(cells))
	for i, cell := range cells {
		heading := strings.Clone(strings.TrimSpace(cell))
		if heading != "" && seen[heading] {
			return &InputError{File: t.in.name, Message: fmt.Sprintf("has two columns %q, expected one", heading), Hint: "rename the one that is not meant"}
		}
		t.headings[i], seen[heading] = heading, true
		switch {
		case i == t.x || i == t.y:
			t.numbers[i], t.wanted[i] = true, true
		case heading != "":
			t.wanted[i], t.numbers[i], t.measures[i], t.units[i] = l.properties.column(heading)
		}
	}
	return nil
}

// feature is a row in the form of the features of other layers.
func (t *pointTable) feature(r *row) feature {
	given := feature{kind: "Feature", number: r.number, members: t.members(r.cells), table: t, cells: r.cells, problem: t.lost, parted: t.lost != ""}
	if t.lost != "" {
		return given
	}
	last := len(r.cells)
	for last > len(t.headings) && strings.TrimSpace(r.cells[last-1]) == "" {
		last--
	}
	if last > t.cells || len(r.cells) > t.cells && !t.widths.pads(len(r.cells)) {
		given.problem = fmt.Sprintf("has %d cells, expected the %d of the headings; a cell that holds what stands between cells needs quotes", max(last, len(r.cells)), t.cells)
		given.parted = true
		return given
	}
	x, xGiven, xErr := t.coordinate(r.cells, t.x)
	y, yGiven, yErr := t.coordinate(r.cells, t.y)
	switch {
	case !xGiven && !yGiven:
		given.undecoded = errEmpty
	case xErr != nil:
		given.undecoded = xErr
	case yErr != nil:
		given.undecoded = yErr
	default:
		given.decoded = geom.NewPointFlat(geom.XY, []float64{x, y})
		switch {
		case !t.unordered:
		case t.axes[0].projected:
			t.order.note(t.system, x, y)
		default:
			t.order.noteDegrees(x, y)
		}
	}
	return given
}

// coordinate reads a coordinate of a row.
func (t *pointTable) coordinate(cells []string, at int) (value float64, given bool, err error) {
	text := t.cell(cells, at)
	if text == "" {
		return 0, false, fmt.Errorf("has no %s", t.headings[at])
	}
	axis := t.axes[0]
	if at == t.y {
		axis = t.axes[1]
	}
	value, ok := parseNumber(text)
	if number, behind := figure(text); !ok && behind != "" && axis.takes(behind) {
		value, ok = parseNumber(t.plainNumber(number, at))
	}
	if ok && !axis.parted {
		return value * axis.factor, true, nil
	}
	if problem, is := t.untoldAt(cells, at); is {
		return 0, true, &untoldCoordinate{t.headings[at], strings.Clone(excerpt(strings.TrimSpace(cells[at]))), problem}
	}
	if !axis.projected {
		if value, problem := axis.angle(text); problem == "" {
			return value, true, nil
		} else if problem != noAngle {
			return 0, true, fmt.Errorf("has the %s %q, which %s", t.headings[at], excerpt(text), problem)
		}
	}
	return 0, true, fmt.Errorf("has the %s %q, which is no number", t.headings[at], excerpt(text))
}

// cell is a cell of a row as it is read; one that is not there is blank.
func (t *pointTable) cell(cells []string, at int) string {
	if at >= len(cells) {
		return ""
	}
	text := strings.TrimSpace(cells[at])
	if t.wanted[at] && nothingIn(text) == saysBlank {
		return ""
	}
	if !t.numbers[at] {
		return text
	}
	return t.withoutUnit(t.plainNumber(strings.Replace(text, "\u2212", "-", 1), at), at)
}

// plainNumber is a number in the plain form, as its column has its signs; what may be either of two is no number. Degrees have no
// thousands: their point is the decimal one, unless others of the column have commas.
func (t *pointTable) plainNumber(text string, at int) string {
	if _, plain := parseNumber(text); plain && !isLoosePoint(text) {
		return text
	}
	n, ok := writtenAs(text)
	switch plain := t.signs[at].read(n); {
	case !ok:
	case t.inDegrees(at):
		if comma, _ := commaNumber(text); comma != "" && (t.signs[at].decimalCommas() || plain == comma) {
			return comma
		}
		if n.loose == '.' && t.signs[at].commaDecimal {
			return n.either()
		}
	case plain != "":
		return plain
	case n.loose == '.':
		return n.either()
	}
	return text
}

// withoutUnit is a number with its unit behind it in the unit of its column; any other text stays what it is.
func (t *pointTable) withoutUnit(text string, at int) string {
	number, behind := figure(text)
	if number == "" || behind == "" || t.measures[at] == nil {
		return text
	}
	number = t.plainNumber(number, at)
	in, known := t.measures[at].find(behind)
	value, ok := parseNumber(number)
	if !known || !ok {
		return text
	}
	of := t.units[at]
	return strconv.FormatFloat((value*in.factor+in.offset-of.offset)/of.factor, 'g', -1, 64)
}

// column is the column of a heading; −1 where there is none.
func (t *pointTable) column(heading string) int { return slices.Index(t.headings, heading) }

// members are the properties of a row: every column but the coordinates that has a heading. Blank cells are null.
func (t *pointTable) members(cells []string) []jsontext.Member {
	var members []jsontext.Member
	for i, heading := range t.headings {
		if heading == "" || i == t.x || i == t.y {
			continue
		}
		value := json.RawMessage("null")
		if text := t.cell(cells, i); text != "" {
			value = jsonOf(text)
		}
		members = append(members, jsontext.Member{Name: []byte(heading), Value: value})
	}
	return members
}

// noteNumbers takes up what the cells of a row say of the signs of their columns.
func (t *pointTable) noteNumbers(columns []numberSigns, beside *numberSigns, grid *gridReader) {
	cells := grid.cells
	for i := range min(len(cells), len(columns)) {
		if t.numbers[i] {
			cell := strings.Replace(strings.TrimSpace(cells[i]), "\u2212", "-", 1)
			if _, ok := parseNumber(cell); !ok {
				cell, _ = figure(cell)
			}
			columns[i].note(cell, grid.from.isNumber(i))
		} else if !t.wanted[i] {
			beside.noteBeside(cells[i])
		}
	}
}

// noteText says what the text of a layer was in.
func (l *layer) noteText(text *textReader) {
	l.notes, l.encoding = append(l.notes, text.notes()...), text.guessed()
}
