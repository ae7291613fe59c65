package read

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// A spreadsheet makes a date of a structure number such as 7/1 and keeps the number of its day. Where the number format of the
// cell shows day and month as digits, what it shows is what was meant. Elsewhere nobody can tell what was.

// mayBeDay tells whether the text of a cell may be the number of a day from 1954 to 2064, in which somebody typed it.
func mayBeDay(cell string) bool {
	return len(cell) == 5 && cell >= "20000" && cell <= "60000" && strings.Trim(cell, "0123456789") == ""
}

// asShown is a structure number as its cell shows it, and what is wrong where that cannot be told.
func (s *sheetReader[R]) asShown(index int, cell string) (string, *trouble) {
	format := s.grid.from.format(index)
	order, isDay := dayAndMonth(format)
	if !isDay {
		return cell, nil
	}
	zero := dayZero1900
	if s.register.from1904 {
		zero = dayZero1904
	}
	count, _ := strconv.Atoi(cell)
	day := time.Unix(int64(count+zero)*24*60*60, 0).UTC()
	if order == "" {
		return "", notShown(day, format)
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
