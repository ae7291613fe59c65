package read

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// A spreadsheet makes a date of a structure number such as 7/1 and keeps the number of its day. Where the number format of the
// cell shows day and month as digits, what it shows is what was meant. Elsewhere nobody can tell what was.

// mayBeDay tells whether the text of a cell may be the number of a day in which somebody typed it: from 1954 to 2064, and from 1958 to 2068
// where days are counted from 1904 (a choice of this program).
func mayBeDay(cell string) bool {
	return len(cell) == 5 && cell >= "20000" && cell <= "60000" && strings.Trim(cell, "0123456789") == ""
}

// shownNumber is the structure number of a row, for those below it that are merged with its cell.
type shownNumber struct {
	stored, shown string
	numeric       bool
}

// structureNumber is a structure number as its cell shows it. What the cell may have lost is asked of the structures later.
func (s *sheetReader[R]) structureNumber(p *placed[R], row *R, cell string) (string, *trouble) {
	s.last = shownNumber{stored: cell, shown: cell, numeric: s.grid.from.isNumber(p.index)}
	if mayBeDay(cell) {
		shown, t := s.asShown(p.index, cell)
		if t != nil {
			return cell, t
		}
		s.last.shown, s.last.numeric = shown, s.last.numeric && shown == cell
	} else if s.last.numeric && strings.IndexByte(cell, '.') >= 0 { // elsewhere no zeros are lost
		if s.last.shown = withZeros(tidyNumber(cell), s.grid.from.format(p.index)); s.last.shown != tidyNumber(cell) {
			s.zeros++
		}
	}
	return s.numberAgain(p, row, cell), nil
}

// numberAgain is the number of a row whose cell holds, or is merged with one that holds, what was read last.
func (s *sheetReader[R]) numberAgain(p *placed[R], row *R, stored string) string {
	if !p.column.numbers || stored != s.last.stored {
		return stored
	}
	if p.column.numeric != nil {
		p.column.numeric(row, s.last.numeric)
	}
	return s.last.shown
}

// withZeros is a number with a point as a format of decimals shows it: 1.1 as 1.10 in 0.00. Of a format that would show it rounded,
// or in another way, it is returned as it is.
func withZeros(number, format string) string {
	format, _, _ = strings.Cut(format, ";")
	whole, decimals, found := strings.Cut(strings.TrimSuffix(strings.TrimSuffix(format, " "), "_"), ".")
	_, behind, fractional := strings.Cut(number, ".")
	if !found || !fractional || strings.Trim(whole, "#,0") != "" || strings.Trim(decimals, "0") != "" || len(behind) > len(decimals) {
		return number
	}
	return number + strings.Repeat("0", len(decimals)-len(behind))
}

// asShown is a structure number as its cell shows it, and what is wrong where that cannot be told.
func (s *sheetReader[R]) asShown(index int, cell string) (string, *trouble) {
	format := s.grid.from.format(index)
	order, isDay := dayAndMonth(format)
	if !isDay {
		return cell, nil
	}
	count, _ := strconv.Atoi(cell)
	day := time.Unix((int64(count)+dayZero(s.register.from1904))*24*60*60, 0).UTC()
	switch {
	case order == "" && !strings.ContainsAny(strings.ToLower(format), "d"):
		return "", notShown(day, format)
	case order == "": // which of the two numbers came first is asked of the structures
		return day.Format("2-Jan"), nil
	}
	s.shown++
	return day.Format(order), nil
}

// dayAndMonth understands the format of a day; order is how package time writes it, empty where it does not show a day and a
// month in digits and nothing else.
func dayAndMonth(format string) (order string, isDay bool) {
	for strings.HasPrefix(format, "[") {
		_, rest, found := strings.Cut(format, "]")
		if !found {
			return "", false
		}
		format = rest
	}
	format, _, _ = strings.Cut(strings.ToLower(format), ";")
	format = strings.NewReplacer(`\`, "", `"`, "").Replace(format)
	if format == "general" || strings.ContainsAny(format, "0#?@") || !strings.ContainsAny(format, "dy") {
		return "", false
	}
	for _, sign := range [...]string{"/", "-", "."} {
		first, second, found := strings.Cut(format, sign)
		a, b := dayParts[first], dayParts[second]
		if found && a != "" && b != "" && first[0] != second[0] {
			return a + sign + b, true
		}
	}
	return "", true
}

// dayParts are the parts of a format as package time writes them.
var dayParts = map[string]string{"d": "2", "dd": "02", "m": "1", "mm": "01"}

// notShown says what happened to a structure number.
func notShown(day time.Time, format string) *trouble {
	return &trouble{kind: notADate.kind, expected: fmt.Sprintf("is the day %s: a spreadsheet has made a date of a number such as %s or %s, and its format %q does not show which; "+
		"expected the number as a text", day.Format(time.DateOnly), day.Format("1/2"), day.Format("2/1"), format)}
}
