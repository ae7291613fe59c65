package report

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// longestShown is the longest line that a terminal is shown whole, in characters. Of a longer one the beginning and the
// end are shown, since a long value stands before what is said of it.
const (
	longestShown = 1200
	shownHead    = 800
	shownTail    = 300
)

// Visible makes one line of text fit for a terminal: control characters, characters without a shape that could turn or
// hide what stands beside them, and bytes that are no UTF-8 are shown as escapes, and the middle of a very long line is
// left out.
func Visible(line string) string {
	if strings.IndexFunc(line, invisible) >= 0 || !utf8.ValidString(line) {
		var b strings.Builder
		for i, r := range line {
			_, size := utf8.DecodeRuneInString(line[i:])
			switch {
			case r == utf8.RuneError && size == 1:
				fmt.Fprintf(&b, `\x%02x`, line[i])
			case !invisible(r):
				b.WriteRune(r)
			case r < 0x100:
				fmt.Fprintf(&b, `\x%02x`, r)
			case r < 0x10000:
				fmt.Fprintf(&b, `\u%04x`, r)
			default:
				fmt.Fprintf(&b, `\U%08x`, r)
			}
		}
		line = b.String()
	}
	if len(line) <= longestShown {
		return line
	}
	runes := []rune(line)
	if len(runes) <= longestShown {
		return line
	}
	return fmt.Sprintf("%s … (%d characters left out) … %s", string(runes[:shownHead]), len(runes)-shownHead-shownTail, string(runes[len(runes)-shownTail:]))
}

// invisible tells what a terminal would act on, or not show. A tab only makes room.
func invisible(r rune) bool {
	return r != '\t' && (unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp))
}
