package basis

import (
	"slices"
	"strings"
	"unicode"
)

// ParseClass reads the one class that a text names, as ClassesIn does. Anything else is false, a text that names two
// classes too.
func ParseClass(text string) (Class, bool) {
	if classes, ok := ClassesIn(text); ok && len(classes) == 1 {
		return classes[0], true
	}
	return ClassUnknown, false
}

// ClassesIn reads the classes that a text names, each once: by letter (a to f), by name ("very light" to "very heavy") or
// by level of 1986 (I to IV; I is class b), whatever the case, accents, blanks and signs between them, and with words such
// as class, level or SPS beside them: "Very Heavy (IV)" names one class twice. It returns false where a word is none of
// these, none names a class, or a sign says that the class is in doubt or a bound: "b?", "> b", "c+".
func ClassesIn(text string) (classes []Class, ok bool) {
	if strings.ContainsAny(text, doubtfulSigns) {
		return nil, false
	}
	words := strings.FieldsFunc(plainLetters.Replace(strings.ToLower(text)), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.Is(unicode.Mn, r)
	})
	for i := 0; i < len(words); i++ {
		word := strings.Map(withoutAccent, words[i])
		if slices.Contains(besideClass[:], word) {
			continue
		}
		if slices.Contains(veryWords[:], word) && i+1 < len(words) {
			i++
			word = "very" + plainName(strings.Map(withoutAccent, words[i]))
		}
		class := classOf(plainName(word))
		if class == ClassUnknown {
			return nil, false
		}
		if !slices.Contains(classes, class) {
			classes = append(classes, class)
		}
	}
	return classes, len(classes) > 0
}

// doubtfulSigns are those by which people say that a class is not certain, or that another may be meant.
const doubtfulSigns = "?¿<>≤≥~≈+*±!"

// besideClass are the words that stand beside the name of a class and name none.
var besideClass = [...]string{"sps", "class", "level", "pollution", "severity", "site", "zone", "iec", "polluted",
	"clase", "nivel", "grado", "contaminacion", "polucion", "classe", "poluicao", "niveau", "klasse", "stufe", "verschmutzung"}

// veryWords say very in several languages.
var veryWords = [...]string{"very", "muy", "muito", "tres", "sehr"}

// plainName is the name of the class that a word stands for, itself where it is no other word for one: the adverbs of "heavily polluted",
// moderate for medium, and the names in Spanish, Portuguese, French and German (common practice; the names of IEC 815:1986 and IEC TS
// 60815-1:2008 in those languages are values from memory).
func plainName(word string) string {
	switch word {
	case "lightly", "ligero", "ligera", "leve", "faible", "leicht":
		return "light"
	case "moderate", "moderately", "medio", "media", "moderado", "moderada", "moyen", "moyenne", "mittel":
		return "medium"
	case "heavily", "fuerte", "pesado", "pesada", "forte", "fort", "stark":
		return "heavy"
	}
	return word
}

// plainLetters takes letters with accents and the numerals of Unicode, in lower case, to the letters that are meant.
var plainLetters = strings.NewReplacer("à", "a", "á", "a", "â", "a", "ã", "a", "ä", "a", "å", "a", "è", "e", "é", "e", "ê", "e", "ë", "e",
	"ì", "i", "í", "i", "î", "i", "ï", "i", "ò", "o", "ó", "o", "ô", "o", "õ", "o", "ö", "o", "ù", "u", "ú", "u", "û", "u", "ü", "u", "ý", "y",
	"ç", "c", "ñ", "n", "ⅰ", "i", "ⅱ", "ii", "ⅲ", "iii", "ⅳ", "iv")

// withoutAccent drops the accents that stand behind their letters.
func withoutAccent(r rune) rune {
	if unicode.Is(unicode.Mn, r) {
		return -1
	}
	return r
}

// classOf is the class of a letter, of a name without blanks, or of a level.
func classOf(word string) Class {
	for c := ClassA; c <= ClassF; c++ {
		if r := c.row(); word == r.letter || word == strings.ReplaceAll(r.name, " ", "") || r.level != "" && word == strings.ToLower(r.level) {
			return c
		}
	}
	return ClassUnknown
}
