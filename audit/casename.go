package audit

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// IsSameLoadCase tells whether two names are of one load case: whatever their case, accents, blanks, hyphens and points, but for what parts
// two numbers, as ice 1.5 is not ice 15. This is the one rule for all names of load cases, in cells and in criteria.
func IsSameLoadCase(a, b string) bool { return a == b || loadCaseKey(a) == loadCaseKey(b) }

// loadCaseKey is the same for all names of one load case; of a name that is all signs it is the name.
func loadCaseKey(name string) string {
	runes := []rune(strings.ToLower(WithoutAccents(name)))
	key := make([]rune, 0, len(runes))
	for i, r := range runes {
		parts := i > 0 && i+1 < len(runes) && unicode.IsDigit(runes[i-1]) && unicode.IsDigit(runes[i+1])
		if parts || !isFiller(r) {
			key = append(key, r)
		}
	}
	if len(key) == 0 {
		return name
	}
	return string(key)
}

// isFiller tells whether a sign between words tells nothing.
func isFiller(r rune) bool {
	return r == '_' || r == '.' || unicode.IsSpace(r) || unicode.Is(unicode.Pd, r)
}

// WithoutAccents drops the accents of letters.
func WithoutAccents(text string) string {
	plain := true
	for i := range len(text) {
		plain = plain && text[i] < 0x80
	}
	if plain {
		return text
	}
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFD.String(text))
}
