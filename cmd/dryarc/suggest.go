package main

import (
	"fmt"
	"strings"

	"dryarc/audit/read"
)

// suggestion is the hint for a name that none of the known ones is: those that may be meant, else the first and the last of them all.
func suggestion(written string, known []string, what string) string {
	if names := read.Nearest(written, known); len(names) > 0 {
		return meant(names)
	}
	const all = 6
	quoted := quote(known)
	if len(known) > all {
		return fmt.Sprintf("%s are %s … %s, %d in all", what, strings.Join(quoted[:all-1], ", "), quoted[len(quoted)-1], len(known))
	}
	return fmt.Sprintf("%s are %s", what, strings.Join(quoted, ", "))
}

// meant asks whether one of some names is meant.
func meant(names []string) string {
	quoted := quote(names)
	if last := len(quoted) - 1; last > 0 {
		return fmt.Sprintf("did you mean %s or %s?", strings.Join(quoted[:last], ", "), quoted[last])
	}
	return fmt.Sprintf("did you mean %s?", quoted[0])
}

func quote(names []string) []string {
	quoted := make([]string, len(names))
	for i, name := range names {
		quoted[i] = fmt.Sprintf("%q", name)
	}
	return quoted
}
