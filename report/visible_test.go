package report

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
)

func TestVisible(t *testing.T) {
	for text, want := range map[string]string{
		"":                             "",
		"line A, Ø 12 – 架空":            "line A, Ø 12 – 架空",
		"a\tb":                         "a\tb",
		"a\x1b[31mred":                 `a\x1b[31mred`,
		"a\r\nb\x00":                   `a\x0d\x0ab\x00`,
		"\u009b2J":                     `\x9b2J`,
		"\u202eright to left\u202c":    `\u202eright to left\u202c`,
		"\u2066a\u2069\u200f\ufeff":    `\u2066a\u2069\u200f\ufeff`,
		"a\xffb\xc3":                   `a\xffb\xc3`,
		"\U000e0041tag":                `\U000e0041tag`,
		"\ufffd":                       "\ufffd",
		"a\u2028b":                     `a\u2028b`,
		strings.Repeat("ü", 1200):      strings.Repeat("ü", 1200),
		strings.Repeat("x", 1100) + "": strings.Repeat("x", 1100),
	} {
		require.Equal(t, want, Visible(text))
	}
	long := Visible(`unit "` + strings.Repeat("ß", 40_000) + `" is no unit`)
	require.True(t, strings.HasPrefix(long, `unit "ßß`))
	require.True(t, strings.HasSuffix(long, `ß" is no unit`))
	require.Contains(t, long, "characters left out")
	require.Less(t, utf8.RuneCountInString(long), longestShown)
}
