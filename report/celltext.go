package report

import (
	"strings"
	"unicode/utf8"
)

// longestCell is the longest text a cell can hold, in UTF-16 code units.
const longestCell = 32_767

// cellText makes text fit for a cell: what a workbook cannot hold becomes U+FFFD, what
// turns the direction of text is shown as an escape, and what is too long is cut and ends
// in "…". A text that looks like a formula needs nothing: cells are written as text, never as formulas.
func cellText(text string) string {
	if isOrdinary(text) {
		return text
	}
	return cutCell(unturned(plainText(text)))
}

// keptText is a text of the inputs for a cell that holds all its characters; only what is too long is cut, and cut tells so.
func keptText(text string) (kept string, cut bool) {
	if isOrdinary(text) {
		return text, false
	}
	text = strings.ToValidUTF8(text, string(utf8.RuneError))
	kept = cutCell(text)
	return kept, kept != text
}

// isOrdinary tells of most texts that a cell holds as they are that it does: lines of ASCII, and of what stands from À to ÿ, where × is.
func isOrdinary(text string) bool {
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case c == 0xC3 && i+1 < len(text) && text[i+1] >= 0x80 && text[i+1] < 0xC0:
			i++
		case c < ' ' && c != '\n', c >= 0x7F:
			return false
		}
	}
	return len(text) <= longestCell
}

func isPlain(text string) bool {
	for i := 0; i < len(text); i++ {
		if text[i] < ' ' || text[i] >= 0x7F {
			return false
		}
	}
	return len(text) <= longestCell
}

func cutCell(text string) string {
	units, keep := 0, 0
	for i, r := range text {
		if units < longestCell {
			keep = i // where the mark goes if the text turns out to be too long
		}
		units++
		if r > 0xFFFF {
			units++
		}
		if units > longestCell {
			return text[:keep] + "…"
		}
	}
	return text
}
