package read

import (
	"slices"
	"strings"
	"unicode"
)

// timeWords are words of headings that say of what stands below that it is not what hangs there today (common practice). Long ones count
// inside of other words too, as in RecommendedUnits.
var timeWords = []string{"old", "previous", "former", "original", "planned", "proposed", "future", "new", "replaced", "replacement", "removed",
	"recommended", "recommendation", "suggested", "target", "required", "requirement", "needed", "spare", "stock", "design", "approved", "next", "intended",
	"alt", "neu", "soll", "geplant", "empfohlen", "vorgeschlagen", "anterior", "nuevo", "nueva", "propuesto", "propuesta", "recomendado", "recomendada", "requerido",
	"requerida", "ancien", "nouveau", "prevu", "propose", "projete", "recommande"}

// longWord is from how many letters on a word of them is looked for inside of others (a choice of this program).
const longWord = 7

// OfAnotherTime tells whether a heading says that what stands there is not what hangs there today.
func OfAnotherTime(heading string) bool {
	return slices.ContainsFunc(headingWords(heading), func(word string) bool {
		return slices.ContainsFunc(timeWords, func(of string) bool { return word == of || len(of) >= longWord && strings.Contains(word, of) })
	})
}

// headingWords are the words of a heading in small letters without accents; AssetStatus has two.
func headingWords(heading string) []string {
	var parted strings.Builder // at capitals behind small letters
	before := ' '
	for _, r := range withoutAccents(heading) {
		if unicode.IsUpper(r) && unicode.IsLower(before) {
			parted.WriteByte(' ')
		}
		parted.WriteRune(r)
		before = r
	}
	return strings.FieldsFunc(strings.ToLower(parted.String()), func(r rune) bool { return !unicode.IsLetter(r) })
}
