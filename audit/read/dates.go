package read

import (
	"strings"
	"time"

	"dryarc/audit"
)

// Days that spreadsheets count as 0, in days since 1970-01-01: 1899-12-30 for dates since March 1900, and 1904-01-01.
const (
	dayZero1900 = -25569
	dayZero1904 = -24107
)

// firstDay and lastDay bound what is believed: 1880-01-01, before there were lines, to 2199-12-31.
const (
	firstDay = -32872
	lastDay  = 84005
)

var notADate = &trouble{kind: audit.NotANumber, expected: "is no date, expected one such as 2019-05-31"}

// parseDay reads a date as a spreadsheet counts days, or as text: 2019-05-31, 2019/05/31, with or without a time.
// A year alone is no date, though it would be a count of days in 1905.
func parseDay(text string, from1904 bool) (audit.Day, *trouble) {
	var day int64
	if count, ok := parseNumber(text); ok {
		zero := int64(dayZero1900)
		if from1904 {
			zero = dayZero1904
		}
		if 1800 <= count && count <= 2199 && count == float64(int64(count)) {
			return 0, &trouble{kind: audit.OutOfRange, expected: "is a year alone, expected a date such as 2019-05-31"}
		}
		if count < 61 || count > 200_000 {
			return 0, &trouble{kind: audit.OutOfRange, expected: "is out of range as a date, expected one such as 2019-05-31"}
		}
		day = int64(count) + zero
	} else {
		head, _, _ := strings.Cut(strings.ReplaceAll(text, "/", "-"), "T")
		head, _, _ = strings.Cut(head, " ")
		moment, err := time.Parse("2006-1-2", head)
		if err != nil {
			return 0, notADate
		}
		day = moment.Unix() / (24 * 60 * 60)
	}
	if day < firstDay || day > lastDay {
		return 0, &trouble{kind: audit.OutOfRange, expected: "is out of range, expected a date from 1880 to 2199"}
	}
	return audit.Day(day), nil
}
