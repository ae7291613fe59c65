package audit

import (
	"fmt"
	"math"
	"time"
)

// Day is a date as precisely as it was stated: a day, counted since 1970-01-01, a month of a year, a year, or a day by the clock of UTC. The zero
// value is a day; NoDay is a date not stated. Days are below firstMonth, months below firstYear, years below firstUTC.
type Day int32

// NoDay is a date that is not stated.
const NoDay Day = math.MinInt32

// Where months, counted since the year 0, years and days by the clock of UTC begin. Days of the years that are read are far below.
const (
	firstMonth Day = 1 << 28
	firstYear  Day = 1 << 29
	firstUTC   Day = 1 << 30
	zeroUTC        = firstUTC + 1<<20 // 1970-01-01
)

// MonthOf is a month of a year, of which the day is not known.
func MonthOf(year int, month time.Month) Day { return firstMonth + Day(12*year+int(month)-1) }

// YearOf is a year, of which the day is not known.
func YearOf(year int) Day { return firstYear + Day(year) }

// DayInUTC is a day by the clock of UTC, as a time that states its zone gives it. Where the line stands it may be the day before or behind,
// since clocks go from 12 hours behind UTC to 14 before it.
func DayInUTC(day Day) Day { return zeroUTC + day }

// String is the date as 2019-05-31, 2019-05, 2019, or 2019-05-31Z where it is by the clock of UTC; empty where none is stated.
func (d Day) String() string {
	switch {
	case d == NoDay:
		return ""
	case d >= firstUTC:
		return (d - zeroUTC).String() + "Z"
	case d >= firstYear:
		return fmt.Sprintf("%04d", d-firstYear)
	case d >= firstMonth:
		months := d - firstMonth
		return fmt.Sprintf("%04d-%02d", months/12, months%12+1)
	}
	return time.Unix(0, 0).UTC().AddDate(0, 0, int(d)).Format(time.DateOnly)
}

// Year is the year of a date; 0 where none is stated, or it may be of either of two.
func (d Day) Year() int {
	switch {
	case d == NoDay:
		return 0
	case d >= firstUTC:
		first, last := d.Between()
		if first.Year() != last.Year() {
			return 0
		}
		return first.Year()
	case d >= firstYear:
		return int(d - firstYear)
	case d >= firstMonth:
		return int(d-firstMonth) / 12
	}
	return time.Unix(0, 0).UTC().AddDate(0, 0, int(d)).Year()
}
