package read

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
)

// near returns the known word that is closest to what was written, as audit.Near does.
func near(written string, known []string) string { return audit.Near(written, known) }

// Nearest returns up to three of the known names, the nearest first, that may be meant by what was written: those that are equal but
// for case, blanks and dashes, then those that near would return, then those that hold what was written.
func Nearest(written string, known []string) (names []string) {
	const most = 3
	add := func(name string) {
		if name != "" && len(names) < most && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	key := wordKey(written)
	for _, name := range known {
		if key != "" && wordKey(name) == key {
			add(name)
		}
	}
	rest := slices.Clone(known)
	for len(names) < most {
		name := near(written, rest)
		if name == "" {
			break
		}
		add(name)
		rest = slices.DeleteFunc(rest, func(other string) bool { return other == name })
	}
	for _, name := range known {
		if len(key) > 2 && strings.Contains(wordKey(name), key) {
			add(name)
		}
	}
	return names
}

// quotedList writes words as "a", "b", "c": the first of them, and how many more there are.
func quotedList(words []string) string {
	const most = 24 // a section of the project file has fewer keys
	var quoted []string
	for _, word := range words[:min(len(words), most)] {
		quoted = append(quoted, fmt.Sprintf("%q", excerpt(word)))
	}
	list := strings.Join(quoted, ", ")
	if more := len(words) - most; more > 0 {
		list += fmt.Sprintf(" and %d more", more)
	}
	return list
}
