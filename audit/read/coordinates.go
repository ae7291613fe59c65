package read

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// coordinateColumn is what the heading of a coordinate in a table of points says of its numbers.
type coordinateColumn struct {
	name      string // of the coordinate
	unit      string // as written in the understanding
	factor    float64
	projected bool
	against   bool   // it counts westwards or southwards
	forward   bool   // it says that it counts eastwards or northwards
	parted    bool   // it says that its cells have degrees, minutes and seconds
	axis      int    // 0 east, 1 north
	remark    string // what else it says, which is no unit
}

// coordinateColumnOf reads what the heading of the coordinate east (0) or north (1) says beside its name: a unit, a direction, or both. What
// cannot be told for certain is refused: a foot may be one of two.
//
// Where the project file names the column, what is no unit and no direction is no more than a remark: nothing is converted for it.
func coordinateColumnOf(file, heading, inside string, axis int, projected, named bool) (coordinateColumn, error) {
	c := coordinateColumn{name: [...]string{"longitude", "latitude"}[axis], unit: "deg", factor: 1, projected: projected, axis: axis}
	if projected {
		c.name, c.unit = [...]string{"easting", "northing"}[axis], "m"
	}
	words := strings.FieldsFunc(strings.ReplaceAll(strings.ToLower(inside), "°", " deg "), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	forward, back := [...]string{"e", "n"}[axis], [...]string{"w", "s"}[axis]
	forwards, backs := [...]string{"east", "north"}[axis], [...]string{"west", "south"}[axis]
	for i, word := range words {
		switch {
		case word == forward, word == forwards:
			c.forward = true
		case word == "dms" && !projected:
			c.parted = true
		case word == back && !c.against && !projected, word == backs && !c.against && !projected:
			c.against, c.factor = true, -c.factor
		case !projected && slices.Contains([]string{"deg", "degree", "degrees", "decimal", "dd", "wgs84", "wgs", "84"}, word):
		case projected && slices.Contains([]string{"m", "metre", "metres", "meter", "meters"}, word):
		case projected && word == "km" && c.factor == 1:
			c.unit, c.factor = "km", 1000
		case named && isRemark(words, i):
			c.remark = strings.TrimSpace(inside)
		default:
			return c, c.refusal(file, heading, inside, words, forward)
		}
	}
	if len(words) == 0 && strings.TrimSpace(inside) != "" {
		return c, c.refusal(file, heading, inside, words, forward)
	}
	return c, nil
}

// expected lists what may stand in brackets.
func (c coordinateColumn) expected(forward string) string {
	if c.projected {
		return "m, km or " + strings.ToUpper(forward)
	}
	return "deg or " + strings.ToUpper(forward) + ", as the positions are longitudes and latitudes"
}

// takes tells whether a unit behind a coordinate is that of its column.
func (c coordinateColumn) takes(unit string) bool {
	if c.projected {
		in, known := metres.find(unit)
		return known && (c.unit == in.names[0])
	}
	_, known := degrees.find(unit)
	return known
}

// noteSigns notes coordinates below 0 in a column that counts westwards or southwards, and such as are not written as one number.
func (t *pointTable) noteSigns(cells []string) {
	for i, at := range [...]int{t.x, t.y} {
		if at >= len(cells) || t.axes[i].projected {
			continue
		}
		text := strings.TrimSpace(cells[at])
		if t.axes[i].against {
			t.signed[i] = t.signed[i] || strings.HasPrefix(text, "-") || strings.HasPrefix(text, "\u2212")
		}
		if _, plain := parseNumber(text); !plain && !t.parted[i] {
			_, behind := numeral(text)
			_, problem := t.axes[i].angle(text)
			t.parted[i] = problem == "" && !t.axes[i].takes(behind)
			letter, _, _ := t.axes[i].hemisphere(text)
			t.lettered = t.lettered || problem == "" && letter != 0
		}
	}
}

// partedNotes tells of columns of degrees that are not written as one number.
func (t *pointTable) partedNotes() (notes []string) {
	for i, at := range [...]int{t.x, t.y} {
		if t.parted[i] {
			notes = append(notes, fmt.Sprintf("cells of %q have degrees, minutes and seconds, or the letter of their hemisphere", t.headings[at]))
		}
	}
	return notes
}

// checkSigns refuses a column that counts westwards or southwards and has values below 0: it cannot be told which of the two is so.
func (t *pointTable) checkSigns() error {
	for i, at := range [...]int{t.x, t.y} {
		if t.signed[i] {
			return &InputError{File: t.in.name, Message: fmt.Sprintf("heading %q says that it counts %s, but there are values below 0", t.headings[at], [...]string{"westwards", "southwards"}[i]),
				Hint: "call the column by the name alone if what lies there is below 0"}
		}
	}
	return nil
}

// understood tells which columns are the coordinates, and in what unit.
func (t *pointTable) understood() (columns []UnderstoodColumn) {
	for i, at := range [...]int{t.x, t.y} {
		c := UnderstoodColumn{Written: t.headings[at], For: t.axes[i].name, From: t.axes[i].unit, Kept: "deg"}
		if t.axes[i].projected {
			c.Kept = "m"
		}
		if t.axes[i].against {
			c.From += [...]string{" W", " S"}[i]
		}
		columns = append(columns, c)
	}
	return columns
}

// checkAbove refuses a table that has points above its headings: whoever sorts a table with its headings moves rows there. A row is
// one if both of its coordinates are numbers, or if it holds all that a row has to and more than one cell of it.
func (t *pointTable) checkAbove(l *layer) error {
	var points []rowAbove
	for _, row := range t.above {
		if at, is := t.unitsIn(row.cells, l); is {
			if in, _ := t.measures[at].find(unitCell(row.cells[at])); !in.equals(t.units[at]) {
				return t.refuseUnits(row.number, row.cells[at], at)
			}
		}
		if t.isPoint(row.cells) || t.isData(row.cells, l) {
			points = append(points, row)
		}
	}
	if len(points) == 0 {
		return nil
	}
	rows := "rows of data above its headings, which are in row"
	if len(points) == 1 {
		rows = "row of data above its headings, which are in row"
	}
	return &InputError{File: t.in.name, Message: fmt.Sprintf("has %d %s %d, such as row %d; expected titles alone there", len(points), rows, t.row, points[0].number),
		Hint: "it may have been sorted together with its headings: move the headings to the top"}
}

func (t *pointTable) isPoint(cells []string) bool {
	_, xGiven, xErr := t.coordinate(cells, t.x)
	_, yGiven, yErr := t.coordinate(cells, t.y)
	return xGiven && yGiven && xErr == nil && yErr == nil
}

// isData tells whether a row above the headings holds what has to stand in a row of the layer.
func (t *pointTable) isData(cells []string, l *layer) bool {
	filled := 0
	for at, heading := range t.headings {
		holds := at < len(cells) && strings.TrimSpace(cells[at]) != ""
		if holds && t.wanted[at] {
			filled++
		} else if !holds && heading != "" && l.properties.isRequired(heading) {
			return false
		}
	}
	return filled > 1
}

// titles tells which rows above the headings are taken for titles.
func (t *pointTable) titles() []string { return titlesAbove(t.above) }
