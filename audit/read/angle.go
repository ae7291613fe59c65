package read

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// noAngle is what is wrong with a text that is nothing like an angle.
const noAngle = "is no number"

// angle reads a longitude or latitude that is not plainly a number: with the letter of its hemisphere, 45.0 N, or with minutes and
// seconds, 45°12'30.5"N, 45 12 30.5 N, 45d12'30"N. What can be meant in two ways is refused; the problem is empty where it is read.
//
//	degrees = d + m/60 + s/3600, below 0 west of Greenwich and south of the equator
func (c coordinateColumn) angle(text string) (value float64, problem string) {
	letter, rest, problem := c.hemisphere(text)
	if problem != "" {
		return 0, problem
	}
	sign := 1.0
	switch {
	case strings.HasPrefix(rest, "-"), strings.HasPrefix(rest, "\u2212"):
		sign = -1
		if letter != 0 {
			return 0, "has a sign below 0 and the letter of a hemisphere, expected one of them"
		}
	case strings.HasPrefix(rest, "+") && (letter == 'W' || letter == 'S'):
		return 0, "has a sign above 0 and the letter of the other hemisphere, expected one of them"
	}
	parts, marked, ok := angleParts(strings.TrimLeft(rest, "+-\u2212"))
	switch {
	case !ok:
		return 0, noAngle
	case c.parted && len(parts) == 1:
		return 0, "is one number, expected degrees, minutes and seconds as the heading says"
	case len(parts) == 2 && !marked && letter == 0:
		return 0, "is two numbers, expected degrees and minutes with their marks, or with the letter of the hemisphere"
	case len(parts) == 1 && !marked && letter == 0:
		return 0, noAngle // the plain reading has said what it is
	}
	size := 1.0
	for i, part := range parts {
		if i < len(parts)-1 && strings.Contains(part, ".") {
			return 0, "has a decimal before its last part, expected whole degrees and minutes there"
		}
		number, ok := parseNumber(part)
		switch {
		case !ok:
			return 0, noAngle
		case i > 0 && number >= 60:
			return 0, "has 60 " + [...]string{"", "minutes", "seconds"}[i] + " or more, expected less"
		}
		value += number / size
		size *= 60
	}
	if letter == 0 {
		return sign * value * c.factor, ""
	}
	if letter == 'W' || letter == 'S' {
		value = -value
	}
	return value, ""
}

// hemisphere takes the letter of the hemisphere off a text, before it or behind it; 0 where it has none.
func (c coordinateColumn) hemisphere(text string) (letter byte, rest, problem string) {
	upper := strings.ToUpper(strings.TrimSpace(text))
	if upper == "" {
		return 0, "", noAngle
	}
	first, last := upper[0], upper[len(upper)-1]
	const letters = "NSEW"
	switch before, behind := strings.IndexByte(letters, first) >= 0, strings.IndexByte(letters, last) >= 0; {
	case before && behind:
		return 0, "", noAngle
	case before:
		letter, rest = first, upper[1:]
	case behind:
		letter, rest = last, upper[:len(upper)-1]
	default:
		return 0, upper, ""
	}
	own, other := [...]string{"EW", "NS"}[c.axis], [...]string{"NS", "EW"}[c.axis]
	switch {
	case strings.IndexByte(other, letter) >= 0:
		return 0, "", "has the letter of a " + [...]string{"latitude", "longitude"}[c.axis] + " and stands in the column of the " + c.name
	case c.against && letter == own[0], c.forward && letter == own[1]:
		return 0, "", "has the letter of the other hemisphere than its heading"
	}
	return letter, strings.TrimSpace(rest), ""
}

// angleParts takes an angle apart into its degrees, minutes and seconds, each without its mark. marked tells that the first one has a
// mark; a part that has that of another is none.
func angleParts(text string) (parts []string, marked, ok bool) {
	marks := [...][]string{{"°", "º", "˚", "D", "DEG"}, {"'", "′", "’", "‘"}, {`"`, "″", "”", "“", "''", "′′", "’’"}} // no s, which is south
	for rest := strings.TrimSpace(text); rest != ""; {
		if len(parts) == len(marks) {
			return nil, false, false
		}
		end := strings.IndexFunc(rest, func(r rune) bool { return (r < '0' || r > '9') && r != '.' && r != ',' })
		if end < 0 {
			end = len(rest)
		}
		number, _ := commaNumber(rest[:end]) // a comma can only be a decimal one among degrees
		if number == "" {
			number = rest[:end]
		}
		if number == "" || strings.Contains(number, ",") {
			return nil, false, false
		}
		parts = append(parts, number)
		between := rest[end:]
		rest = strings.TrimLeftFunc(between, unicode.IsSpace)
		next := strings.IndexFunc(rest, func(r rune) bool { return r >= '0' && r <= '9' })
		if next < 0 {
			next = len(rest)
		}
		mark := strings.TrimSpace(rest[:next])
		known := false
		for _, m := range marks[len(parts)-1] {
			known = known || mark == m
		}
		switch {
		case known && len(parts) == 1:
			marked = true
		case known, mark == "" && len(between) > len(rest), mark == "" && rest == "", mark == ":" && rest != mark:
		default:
			return nil, false, false
		}
		rest = rest[next:]
	}
	return parts, marked, len(parts) > 0 && utf8.ValidString(text)
}
