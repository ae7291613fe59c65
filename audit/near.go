package audit

import "strings"

// Near returns the known word that is closest to what was written, empty where none is close. Case does not count; a
// letter missing, added, changed or swapped with its neighbour counts one, and a third of the letters may differ.
func Near(written string, known []string) string {
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
