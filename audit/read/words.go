package read

import (
	"strings"

	"dryarc/audit"
)

// words looks up the words of a vocabulary, whatever their case, spaces and hyphens.
type words[V any] struct {
	byKey map[string]V
	seen  map[string]seenWord[V] // by text as written, to look up each spelling once
	last  seenWord[V]            // of those; mostly it comes again
	names []string               // the words to write
	list  string                 // the same, for messages
	of    string                 // the list under the key words of the project file, empty for none
}

// seenWord is a text as written with what it means.
type seenWord[V any] struct {
	text  string
	value V
}

// mostSpellings is how many spellings of words are kept in order to look them up once.
const mostSpellings = 1000

// newWords makes a vocabulary of the words to write and further spellings that are understood.
func newWords[V any](spellings []audit.Spelling[V], also ...audit.Spelling[V]) words[V] {
	w := words[V]{byKey: map[string]V{}, seen: map[string]seenWord[V]{}}
	for _, s := range spellings {
		w.byKey[wordKey(s.Text)] = s.Value
		w.names = append(w.names, s.Text)
	}
	for _, s := range also {
		w.byKey[wordKey(s.Text)] = s.Value
	}
	w.list = strings.Join(w.names, ", ")
	return w
}

func (w *words[V]) find(text string) (V, bool) {
	if text != "" && text == w.last.text {
		return w.last.value, true
	}
	if seen, ok := w.seen[text]; ok {
		w.last = seen
		return seen.value, true
	}
	value, ok := w.byKey[wordKey(text)]
	if ok && len(w.seen) < mostSpellings {
		own := strings.Clone(text)
		w.seen[own] = seenWord[V]{own, value}
	}
	return value, ok
}

// into returns a function that reads a word into its place.
func (w *words[V]) into(to *V) func(string) bool {
	return func(text string) bool {
		value, ok := w.find(text)
		if ok {
			*to = value
		}
		return ok
	}
}

// wordKey is a word whatever its case, accents, spaces, hyphens and points.
func wordKey(text string) string {
	return betweenWords.Replace(strings.ToLower(withoutAccents(text)))
}

// betweenWords takes away what stands between words.
var betweenWords = strings.NewReplacer(" ", "", "-", "", "_", "", ".", "", "\u00a0", "", "\u2010", "", "\u2011", "", "\u2013", "")
