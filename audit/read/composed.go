package read

import (
	"golang.org/x/text/unicode/norm"
)

// Composed is a text with each letter and its accents as one character where there is one (the form NFC of Unicode). Systems differ in
// whether they write é as one character or as two that look the same, and so names are kept and compared in this form.
func Composed(text string) string {
	for i := range len(text) {
		if text[i] >= 0x80 {
			return norm.NFC.String(text)
		}
	}
	return text
}
