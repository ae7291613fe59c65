package history

import (
	"fmt"
	"regexp"
	"strconv"
	"time"
)

// numericDay is a date as numbers that ends in its year.
var numericDay = regexp.MustCompile(`^\s*(\d{1,2})[./ -](\d{1,2})[./ -](\d{4})\s*$`)

// DateTrouble says of a text that is no date here what was expected, and where it may be one of two days which; empty where it is a date.
func DateTrouble(text string) string {
	if _, is := parseDay(text); is {
		return ""
	}
	expected := fmt.Sprintf("%q is no date as it stands, expected year, month and day, such as 2027-05-31", text)
	parts := numericDay.FindStringSubmatch(text)
	if parts == nil {
		return expected
	}
	dayFirst, is := dayOfParts(parts[3], parts[2], parts[1])
	monthFirst, either := dayOfParts(parts[3], parts[1], parts[2])
	const form = "2 January 2006"
	switch {
	case is && either && !dayFirst.Equal(monthFirst):
		return fmt.Sprintf("%q may be %s or %s: expected year, month and day, %s or %s", text, dayFirst.Format(form), monthFirst.Format(form),
			dayFirst.Format(time.DateOnly), monthFirst.Format(time.DateOnly))
	case is:
		return fmt.Sprintf("%q is no date as it stands, expected year, month and day, such as %s", text, dayFirst.Format(time.DateOnly))
	case either:
		return fmt.Sprintf("%q is no date as it stands, expected year, month and day, such as %s", text, monthFirst.Format(time.DateOnly))
	}
	return expected
}

func dayOfParts(year, month, day string) (time.Time, bool) {
	y, _ := strconv.Atoi(year) // digits all
	m, _ := strconv.Atoi(month)
	d, _ := strconv.Atoi(day)
	at := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	return at, at.Month() == time.Month(m) && at.Day() == d
}
