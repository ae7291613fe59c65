package read

import (
	"regexp"
	"strings"
	"unicode"

	"dryarc/audit"
)

// datePart is a number or a month of a date as text.
type datePart struct {
	number int
	digits int  // of the number
	month  int  // 0 where it is a number
	short  bool // an apostrophe stands before it, which leaves out a century
}

// dateParts is a date as text, taken apart.
type dateParts struct {
	parts []datePart
	kinds string // a letter for each part: n for a number, m for the name of a month
	sign  byte   // that stands between all numbers; a blank where none or several do
}

// dateTime is a time of day behind a date, which is left out.
var dateTime = regexp.MustCompile(`(?i)[t ]\s*(\d{1,2}):(\d{2})(?::\d{2}(?:[.,]\d+)?)?\s*([ap]\.?m\.?)?\s*(z|utc|[+-]\d{2}:?\d{2})?$`)

// What the groups of dateTime are.
const (
	hourGroup = 1 + iota
	minuteGroup
	halfGroup // of the day: am, pm
	zoneGroup
)

// zoneOf is how many minutes east of UTC the clock of a date with a time is; audit.NoZone where it does not say.
func zoneOf(text string) int16 {
	if strings.IndexByte(text, ':') < 0 {
		return audit.NoZone
	}
	found := dateTime.FindStringSubmatch(strings.TrimSpace(text))
	if found == nil || found[zoneGroup] == "" {
		return audit.NoZone
	}
	zone := found[zoneGroup]
	if zone[0] != '+' && zone[0] != '-' {
		return 0
	}
	minutes := 60*numberIn(zone[1:3]) + numberIn(zone[len(zone)-2:])
	if zone[0] == '-' {
		minutes = -minutes
	}
	return int16(minutes)
}

// takeDateApart finds the numbers and the month of a date; ok is false where it holds anything else.
func takeDateApart(text string) (d dateParts, ok bool) {
	const longest = 60 // characters of a date with its time (a choice of this program)
	if len(text) > longest {
		return d, false
	}
	if strings.IndexByte(text, ':') > 0 {
		text = dateTime.ReplaceAllString(text, "")
	}
	text = strings.TrimRight(strings.ToLower(withoutAccents(strings.TrimSpace(text))), ". ")
	signs := make([]byte, 0, 2)
	sign, adjacent, short := byte(' '), false, false
	for len(text) > 0 {
		digits := len(text) - len(strings.TrimLeft(text, "0123456789"))
		letters := 0
		if digits == 0 {
			letters = len(text) - len(strings.TrimLeftFunc(text, unicode.IsLetter))
		}
		word := text[:letters]
		switch {
		case digits > 0:
			if digits > 4 || len(d.parts) == 3 {
				return d, false
			}
			signs = append(signs, sign)
			d.parts = append(d.parts, datePart{number: numberIn(text[:digits]), digits: digits, short: short})
			d.kinds += "n"
			text, sign, adjacent, short = text[digits:], ' ', digits <= 2, false
		case letters > 0 && (adjacent && isOrdinal(word) || !adjacent && isDateLink(word)):
			text, adjacent = text[letters:], false
		case letters > 0:
			month := monthNamed(word)
			if month == 0 || len(d.parts) == 3 {
				return d, false
			}
			signs = append(signs, sign)
			d.parts = append(d.parts, datePart{month: month})
			d.kinds += "m"
			text, sign, adjacent, short = text[letters:], ' ', false, false
		default:
			r := []rune(text)[0]
			switch {
			case unicode.IsSpace(r) || r == ',':
			case r == '\'' || r == '’':
				short = true
			case r == 'º' || r == '°':
				if !adjacent {
					return d, false
				}
			case unicode.Is(unicode.Dash, r):
				r = '-'
				fallthrough
			case r == '/' || r == '.':
				if sign != ' ' || len(d.parts) == 0 {
					return d, false
				}
				sign = byte(r)
			default:
				return d, false
			}
			text, adjacent = strings.TrimLeftFunc(text[len(string([]rune(text)[0])):], unicode.IsSpace), false
		}
	}
	d.sign = ' '
	if len(signs) > 1 && (len(signs) == 2 || signs[1] == signs[2]) {
		d.sign = signs[1]
	}
	return d, sign == ' ' && !short
}

// isOrdinal tells whether letters right behind a number make it an ordinal: 1st, 1er.
func isOrdinal(word string) bool {
	switch word {
	case "st", "nd", "rd", "th", "er", "o":
		return true
	}
	return false
}

// isDateLink tells whether a word only links the parts of a date: 12 de marzo de 1994.
func isDateLink(word string) bool {
	switch word {
	case "de", "del", "of", "den":
		return true
	}
	return false
}

// monthNames are the names of the months and their abbreviations, without accents, in English, German, French, Spanish, Portuguese,
// Italian, Dutch, Danish, Norwegian and Swedish, one text for each month.
func monthNames() [12]string {
	return [...]string{
		" january jan januar jaenner janner janvier janv enero ene janeiro gennaio gen januari ",
		" february feb februar fevrier fevr fev febrero fevereiro febbraio februari febr ",
		" march mar marz maerz mrz mars marzo marco maart mrt marts ",
		" april apr avril avr abril abr aprile ",
		" may mai mayo maio maggio mag mei maj ",
		" june jun juni juin junio junho giugno giu ",
		" july jul juli juillet juil julio julho luglio lug ",
		" august aug aout agosto ago augustus augusti ",
		" september sep sept septembre septiembre setiembre set setembro settembre sett ",
		" october oct oktober okt octobre octubre outubro out ottobre ott ",
		" november nov novembre noviembre novembro ",
		" december dec dezember dez decembre diciembre dic dezembro dicembre desember des ",
	}
}

// monthNamed is the month of a name, 0 where it is none.
func monthNamed(word string) int {
	for i, names := range monthNames() {
		if strings.Contains(names, " "+word+" ") {
			return i + 1
		}
	}
	return 0
}

// fullYear is the year that a number of two or four digits means; 0 where it can be none.
func (p datePart) fullYear() int {
	switch {
	case p.month != 0:
		return 0
	case p.digits == 4 && !p.short:
		return p.number
	case p.digits == 2 && p.number <= lastOf2000s:
		return 2000 + p.number
	case p.digits == 2:
		return 1900 + p.number
	}
	return 0
}

// read reads the date.
func (d *dateParts) read(form *dateForm) (audit.Day, dateTaken, *trouble) {
	day := func(y, m, n datePart) (audit.Day, dateTaken, *trouble) {
		if y.fullYear() == 0 || n.digits > 2 || n.short || m.digits > 2 || m.short {
			return 0, dateTaken{}, notADate
		}
		day, t := dayOf(y.fullYear(), max(m.month, m.number), n.number)
		return day, dateTaken{century: y.digits == 2}, t
	}
	month := func(y, m datePart) (audit.Day, dateTaken, *trouble) {
		if y.fullYear() == 0 || m.digits > 2 || m.short {
			return 0, dateTaken{}, notADate
		}
		month, t := monthOf(y.fullYear(), max(m.month, m.number))
		return month, dateTaken{century: y.digits == 2}, t
	}
	p := d.parts
	switch d.kinds {
	case "nn":
		switch {
		case d.sign == ' ':
		case p[0].digits == 4:
			return month(p[0], p[1])
		case p[1].digits == 4:
			return month(p[1], p[0])
		}
	case "mn":
		switch {
		case p[1].digits == 4 || p[1].short || p[1].isYear():
			return month(p[1], p[0])
		case p[1].digits > 2:
		case form == nil || !form.monthAndYear:
			return 0, dateTaken{}, dateUnclear // Mar-12 may be the 12th of a March
		case p[1].digits == 2:
			reading, taken, t := month(p[1], p[0])
			taken.column = true
			return reading, taken, t
		}
	case "nm":
		if p[0].digits == 4 {
			return month(p[0], p[1])
		}
	case "nmn":
		if p[0].digits == 4 {
			return day(p[0], p[1], p[2])
		}
		return day(p[2], p[1], p[0])
	case "mnn":
		return day(p[2], p[0], p[1])
	case "nnn":
		if d.sign == ' ' {
			break
		}
		order, taken, t := d.order(form)
		if t != nil {
			return 0, taken, t
		}
		y, m, n := d.inOrder(order)
		reading, century, t := day(y, m, n)
		taken.century = century.century
		return reading, taken, t
	}
	return 0, dateTaken{}, notADate
}

// isYear tells whether two digits are no day of a month.
func (p datePart) isYear() bool { return p.digits == 2 && (p.number > 31 || p.number == 0) }
