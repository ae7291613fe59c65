package read

import (
	"fmt"
	"strings"

	"dryarc/audit"
)

// near returns the known word that is closest to what was written, as audit.Near does.
func near(written string, known []string) string { return audit.Near(written, known) }

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
