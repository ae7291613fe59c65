package read

import (
	"fmt"
	"slices"
	"strings"
)

// near returns the known word that is closest to what was written, empty where none is close. Case does not count; a
// letter missing, added, changed or swapped with its neighbour counts one, and a third of the letters may differ.
func near(written string, known []string) string {
	const longest = 200 // bytes of anything that is a name
	if len(written) > longest {
		return ""
	}
	best, fewest := "", len(written)/3+1
	for _, word := range known {
		if d := distance([]rune(strings.ToLower(written)), []rune(strings.ToLower(word)), fewest); d < fewest {
			best, fewest = word, d
		}
	}
	return best
}

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

// distance counts the edits between two words; beyond the limit any number at or above it will do.
func distance(a, b []rune, limit int) int {
	if len(a)-len(b) >= limit || len(b)-len(a) >= limit {
		return limit
	}
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := range a {
		row[0] = i + 1
		for j := range b {
			change := 1
			if a[i] == b[j] {
				change = 0
			}
			row[j+1] = min(last[j]+change, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
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
