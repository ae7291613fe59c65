package read

import (
	"fmt"
	"strings"
	"time"

	"dryarc/audit"
)

// dayZero is the day that a spreadsheet counts as 0, in days since 1970-01-01: 1899-12-30 for dates since March 1900, or 1904-01-01.
func dayZero(from1904 bool) int64 {
	if from1904 {
		return -24107
	}
	return -25569
}

// firstYear and lastYear bound what is believed, from before there were lines (a choice of this program).
const (
	firstYear = 1880
	lastYear  = 2199

	firstDay audit.Day = -32872 // 1880-01-01
	lastDay  audit.Day = 84005  // 2199-12-31
)

// A number from leastYear to lastYear is a year alone, not a day in 1905; one beyond mostDays, a day of 2447, is no day (choices of this
// program).
const (
	leastYear = 1800
	mostDays  = 200_000
)

// lastOf2000s is the last of the years of two digits that begin with 20: 30 to 99 are 1930 to 1999, 00 to 29 are 2000 to 2029, as
// spreadsheet programs take them (common practice).
const lastOf2000s = 29

const dateExample = "expected a date such as 2019-05-31, 31.05.2019, 31 May 2019, 2019-05 or 2019"

var (
	notADate   = &trouble{kind: audit.NotANumber, expected: "is no date, " + dateExample}
	dateBeyond = &trouble{kind: audit.OutOfRange, expected: fmt.Sprintf("is out of range, expected a date from %d to %d", firstYear, lastYear)}
	// dateUnclear is a day and a month of which nothing tells which is which.
	dateUnclear = &trouble{kind: audit.NotANumber, expected: "may be read in more than one way, and the other dates of the column do not tell which holds; expected dates such as 2019-05-31",
		gathered: "day and month"}
)

// dateTaken is what was taken of a date that could be read otherwise.
type dateTaken struct {
	dots    bool // 12.03.1994 for the 12th of March
	column  bool // as the column's other dates can only be read
	century bool // of a year of two digits
}

// readDate reads a date as a spreadsheet counts days, or as text, as precisely as it is given: a day, a month or a year. form is
// how the column writes its dates, nil where that is not known; what then could be read in several ways is dateUnclear.
func readDate(text string, from1904 bool, form *dateForm) (audit.Day, dateTaken, *trouble) {
	if count, isNumber := parseNumber(text); isNumber {
		day, t := readDateNumber(text, count, from1904)
		return day, dateTaken{}, t
	}
	if isUTCDay(text) {
		text = text[:len(text)-1]
	}
	parts, ok := takeDateApart(text)
	if !ok {
		return 0, dateTaken{}, notADate
	}
	return parts.read(form)
}

// localDay is a date of the register, which is held against others by the day: one that a cell gives as a time of a stated zone, or as a day of
// UTC, is by the clock of UTC.
func localDay(cell string, day audit.Day) audit.Day {
	text := strings.TrimSpace(cell)
	if isUTCDay(text) {
		return audit.DayInUTC(day)
	}
	zone := zoneOf(text)
	if zone == audit.NoZone {
		return day
	}
	if first, last := day.Between(); first != last {
		return day
	}
	clock := dateTime.FindStringSubmatch(text)
	minutes := 60*numberIn(clock[hourGroup]) + numberIn(clock[minuteGroup])
	if half := strings.ToLower(clock[halfGroup]); half != "" {
		minutes = minutes%(12*60) + 12*60*strings.Count(half[:1], "p")
	}
	const aDay = 24 * 60
	return audit.DayInUTC(day + audit.Day((minutes-int(zone)+aDay)/aDay-1))
}

// isUTCDay tells whether a text is a day of UTC as XML Schema has it, and as this program writes one: 2019-05-31Z.
func isUTCDay(text string) bool {
	return len(text) == len("2019-05-31Z") && (text[len(text)-1] == 'Z' || text[len(text)-1] == 'z') && strings.Count(text, "-") == 2
}

// readDateNumber reads a year, a month as 1994.03 or 03.1994, a day as 19940312, and what a spreadsheet counts days by. A year alone
// would be a count of days in 1905. count is the number that the text is.
func readDateNumber(text string, count float64, from1904 bool) (audit.Day, *trouble) {
	if digits := strings.TrimSuffix(text, ".0"); isDigits(digits) {
		switch {
		case len(digits) == 8:
			return dayOf(numberIn(digits[:4]), numberIn(digits[4:6]), numberIn(digits[6:]))
		case len(digits) == 4 && leastYear <= count && count <= lastYear:
			return yearOf(int(count))
		}
	} else if before, behind, found := strings.Cut(text, "."); found && isDigits(before) && isDigits(behind) {
		switch {
		case len(before) == 4 && len(behind) == 2:
			return monthOf(numberIn(before), numberIn(behind))
		case len(before) <= 2 && len(behind) == 4:
			return monthOf(numberIn(behind), numberIn(before))
		}
	}
	switch {
	case leastYear <= count && count < lastYear+1:
		return 0, notADate
	case count < leastYear || count > mostDays: // 94 is hardly a day of 1900
		return 0, &trouble{kind: audit.OutOfRange, expected: "is out of range as a date, " + dateExample}
	}
	day := audit.Day(int64(count) + dayZero(from1904))
	if day < firstDay || day > lastDay {
		return 0, dateBeyond
	}
	return day, nil
}

func isDigits(text string) bool {
	for i := range len(text) {
		if text[i] < '0' || text[i] > '9' {
			return false
		}
	}
	return text != ""
}

// numberIn is the number that a text of exactDigits or fewer holds.
func numberIn(digits string) (n int) {
	for i := range len(digits) {
		n = 10*n + int(digits[i]-'0')
	}
	return n
}

// dayOf is a day of the calendar.
func dayOf(year, month, day int) (audit.Day, *trouble) {
	moment := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	switch {
	case month < 1 || month > 12 || day < 1 || moment.Day() != day:
		return 0, notADate
	case year < firstYear || year > lastYear:
		return 0, dateBeyond
	}
	return audit.Day(moment.Unix() / (24 * 60 * 60)), nil
}

func monthOf(year, month int) (audit.Day, *trouble) {
	switch {
	case month < 1 || month > 12:
		return 0, notADate
	case year < firstYear || year > lastYear:
		return 0, dateBeyond
	}
	return audit.MonthOf(year, time.Month(month)), nil
}

func yearOf(year int) (audit.Day, *trouble) {
	if year < firstYear || year > lastYear {
		return 0, dateBeyond
	}
	return audit.YearOf(year), nil
}
