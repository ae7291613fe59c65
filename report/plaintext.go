package report

import (
	"strings"
	"unicode/utf8"
)

// plainText makes text fit for any format: what is no UTF-8, control characters (those beyond ASCII too) and what else XML cannot
// carry become U+FFFD, and lines end as they do in files.
func plainText(text string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\t' && r != '\n' || r >= 0x7F && r < 0xA0 || r == 0xFFFE || r == 0xFFFF {
			return utf8.RuneError
		}
		return r
	}, strings.ToValidUTF8(strings.ReplaceAll(text, "\r\n", "\n"), string(utf8.RuneError)))
}
