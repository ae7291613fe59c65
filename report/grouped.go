package report

import (
	"strconv"
	"strings"
)

// grouped writes a count with its digits in threes, set apart by narrow spaces, which no language reads as a decimal
// mark.
func grouped(n int) string {
	digits := strconv.Itoa(n)
	var b strings.Builder
	for i, d := range digits {
		if i > 0 && d != '-' && (len(digits)-i)%3 == 0 && digits[i-1] != '-' {
			b.WriteRune('\u202F')
		}
		b.WriteRune(d)
	}
	return b.String()
}

// counted is a count with its noun.
func counted(n int, one, many string) string { return grouped(n) + " " + noun(n, one, many) }

// noun is a noun in the number that goes with a count.
func noun(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}
