package read

import (
	"encoding/json"
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"

	jsontext "dryarc/audit/read/json"

	"github.com/twpayne/go-geom"
)

// isTable tells whether a layer is a table of points in a file of text, by its name.
func (in *input) isTable() bool {
	return slices.Contains([]string{".csv", ".tsv", ".txt"}, path.Ext(in.plainName()))
}

// pointColumns are the headings, as keys, of the two coordinates of a point.
type pointColumns struct{ first, second []string }

// pointHeadings are the headings of coordinates, those first that fit the system of the positions best (common practice).
func pointHeadings(projected bool) []pointColumns {
	all := []pointColumns{
		{[]string{"longitude", "lon", "long", "lng"}, []string{"latitude", "lat"}},
		{[]string{"x", "xcoord", "xcoordinate"}, []string{"y", "ycoord", "ycoordinate"}},
		{[]string{"easting", "east", "eastings"}, []string{"northing", "north", "northings"}},
	}
	if projected {
		slices.Reverse(all)
	}
	return all
}

// pointTable is a table of points as it is read.
type pointTable struct {
	in       *input
	headings []string
	x, y     int
	commas   []bool // by column: its numbers have decimal commas
	numbers  []bool // by column: it is read as numbers
}

// readPoints calls each for every row of a file of text that has two coordinates among its columns.
func (l *layer) readPoints(f *half, in *input, each func(*feature) error) (count int, err error) {
	content, err := in.held(false)
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
	text := &textFile{f.projectFile, content}
	l.format = "table of points"
	table := &pointTable{in: in}
	if err := table.rows(text, l, func(*row) error { return nil }); err != nil { // whose numbers have decimal commas is known at the end
		return 0, err
	}
	for i, comma := range table.commas {
		if comma {
			l.notes = append(l.notes, fmt.Sprintf("the numbers of %q have decimal commas", table.headings[i]))
		}
	}
	err = table.rows(text, l, func(r *row) error {
		count++
		given := table.feature(r)
		return each(&given)
	})
	return count, err
}

// rows goes through the rows below the headings, and finds these, and which columns have decimal commas, where that is not known.
func (t *pointTable) rows(text *textFile, l *layer, each func(*row) error) error {
	in, records, err := text.records(t.in.ctx)
	if err != nil {
		return err
	}
	again := t.headings != nil
	grid := &gridReader{ctx: t.in.ctx, from: &textRows{in, records, text.content}}
	defer grid.close()
	if err := t.findHeadings(grid, l); err != nil {
		return err
	}
	columns := newCommaColumns(t.numbers)
	for grid.next() {
		if !again {
			columns.note(grid.cells)
		}
		if err := each(&grid.row); err != nil {
			return err
		}
	}
	if !again {
		t.commas = columns.found()
		l.format = "table of points, text with " + separatorName(records.comma) + " between cells"
		l.noteText(records.text)
	}
	return grid.problem(t.in.name)
}

// findHeadings goes to the first row that has headings for both coordinates.
func (t *pointTable) findHeadings(grid *gridReader, l *layer) error {
	var first []string
	for range headingRows {
		if !grid.next() {
			break
		}
		if first == nil {
			first = slices.Clone(grid.cells)
		}
		found, err := t.understand(grid.cells, l)
		if found || err != nil {
			return err
		}
	}
	if problem := grid.problem(t.in.name); problem != nil {
		return problem
	}
	return &InputError{File: t.in.name, Message: fmt.Sprintf("has no columns for two coordinates; the headings there are %s", quotedList(first)),
		Hint: "call them lon and lat, x and y, or easting and northing"}
}

// understand tells whether a row holds the headings.
func (t *pointTable) understand(cells []string, l *layer) (bool, error) {
	keys := make([]string, len(cells))
	for i, cell := range cells {
		outside, _ := inBrackets(cell)
		keys[i] = headingKey(outside)
	}
	for _, pair := range pointHeadings(l.placing.projected()) {
		x, err := t.only(cells, keys, pair.first)
		if err != nil {
			return false, err
		}
		y, err := t.only(cells, keys, pair.second)
		if err != nil {
			return false, err
		}
		if x >= 0 && y >= 0 {
			t.x, t.y = x, y
			return true, t.name(cells, l)
		}
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
				Hint: "rename the one that is not meant"}
		}
		at = i
	}
	return at, nil
}

// name takes up the headings, and which columns are read as numbers.
func (t *pointTable) name(cells []string, l *layer) error {
	t.headings, t.numbers = make([]string, len(cells)), make([]bool, len(cells))
	for i, cell := range cells {
		heading := strings.TrimSpace(cell)
		if heading != "" && slices.Contains(t.headings[:i], heading) {
			return &InputError{File: t.in.name, Message: fmt.Sprintf("has two columns %q, expected one", heading), Hint: "rename the one that is not meant"}
		}
		t.headings[i] = strings.Clone(heading)
		t.numbers[i] = i == t.x || i == t.y || heading != "" && l.properties.isNumber(heading)
	}
	return nil
}

// feature is a row in the form of the features of other layers.
func (t *pointTable) feature(r *row) feature {
	given := feature{kind: "Feature", number: r.number, members: t.members(r.cells)}
	last := len(r.cells)
	for last > len(t.headings) && strings.TrimSpace(r.cells[last-1]) == "" {
		last--
	}
	if last > len(t.headings) {
		given.problem = fmt.Sprintf("has %d cells, expected the %d of the headings; a cell that holds what stands between cells needs quotes", last, len(t.headings))
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
	}
	return given
}

// coordinate reads a coordinate of a row.
func (t *pointTable) coordinate(cells []string, at int) (value float64, given bool, err error) {
	text := t.cell(cells, at)
	if text == "" {
		return 0, false, fmt.Errorf("has no %s", t.headings[at])
	}
	value, ok := parseNumber(text)
	if !ok {
		return 0, true, fmt.Errorf("has the %s %q, which is no number", t.headings[at], excerpt(text))
	}
	return value, true, nil
}

// cell is a cell of a row as it is read; one that is not there is blank.
func (t *pointTable) cell(cells []string, at int) string {
	if at >= len(cells) {
		return ""
	}
	text := strings.TrimSpace(cells[at])
	if !t.numbers[at] {
		return text
	}
	text = strings.Replace(text, "\u2212", "-", 1)
	if plain, _ := commaNumber(text); plain != "" && t.commas[at] {
		return plain
	}
	return text
}

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

// commaColumns finds out which columns of a table have decimal commas, as decimalCommas does of a sheet.
type commaColumns struct{ numbers, surely, mixed []bool }

func newCommaColumns(numbers []bool) *commaColumns {
	return &commaColumns{numbers, make([]bool, len(numbers)), make([]bool, len(numbers))}
}

func (c *commaColumns) note(cells []string) {
	for i := range min(len(cells), len(c.numbers)) {
		if !c.numbers[i] {
			continue
		}
		cell := strings.Replace(strings.TrimSpace(cells[i]), "\u2212", "-", 1)
		if plain, sure := commaNumber(cell); plain != "" {
			c.surely[i] = c.surely[i] || sure
		} else if _, ok := parseNumber(cell); ok && strings.ContainsAny(cell, ".eE") {
			c.mixed[i] = true
		}
	}
}

func (c *commaColumns) found() []bool {
	for i := range c.surely {
		c.surely[i] = c.surely[i] && !c.mixed[i]
	}
	return c.surely
}

// noteText says what the text of a layer was in.
func (l *layer) noteText(text *textReader) {
	l.notes, l.encoding = append(l.notes, text.notes()...), text.guessed()
}
