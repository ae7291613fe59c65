package report

import (
	"strings"
	"unicode/utf8"
)

// cutText makes text of inputs fit for the page: control characters become U+FFFD, what turns the direction of text is shown
// as an escape, and what is too long is cut and says how long it is.
func cutText(text string, longest int) string {
	text = strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' && r != '\n' || r >= 0x7F && r < 0xA0 {
			return utf8.RuneError
		}
		return r
	}, strings.ToValidUTF8(text, string(utf8.RuneError)))
	return unturned(shortened(text, longest))
}

func shortened(text string, longest int) string {
	if len(text) <= longest {
		return text
	}
	count, end := 0, len(text)
	for i := range text {
		if count == longest {
			end = i
		}
		count++
	}
	if count <= longest {
		return text
	}
	return text[:end] + "… (" + grouped(count) + " characters)"
}
