package read

import (
	"slices"
	"strings"
)

// Of a double line one row often tells both circuits, each in columns of its own. Such a sheet is read by an entry for each circuit: then its
// rows are read once for each, and none of them says anything twice.

// besideHint says how such a sheet is read.
const besideHint = "name each sheet in one entry of the register, and the file once in each; where each row tells several circuits in columns side by side, " +
	"give each entry its own: fixed: {Circuit: 1}, or 2, and columns: {Units per string: …} with the headings of that circuit"

// besideEachOther tells whether two entries read a sheet for different circuits from different columns: for all that says what hangs there
// one of them may name columns, the other has to name others.
func besideEachOther(one, other *stated) bool {
	first, second := one.fixedOf("Circuit"), other.fixedOf("Circuit")
	if first == "" || second == "" || circuitKey(first) == circuitKey(second) {
		return false
	}
	for _, column := range [...]string{"Units per string", "Creepage", "Unit"} {
		from, also := headingsNamed(one.mapped[column]), headingsNamed(other.mapped[column])
		if len(from) == 0 && len(also) == 0 {
			continue
		}
		shares := slices.ContainsFunc(from, func(heading string) bool { return slices.Contains(also, heading) })
		return len(from) > 0 && len(also) > 0 && !shares
	}
	return false
}

// circuitKey is a circuit whatever way it is written: Ckt-I is 1.
func circuitKey(text string) string {
	word := strings.Trim(withoutCircuit(strings.ToLower(strings.TrimSpace(text))), " -.#")
	if name := circuitName(word); name != "" {
		return name
	}
	return valueKey(text)
}

// headingsNamed are the keys of the headings that the project file names for a column.
func headingsNamed(c mappedColumn) (keys []string) {
	if c.name != "" && len(c.phases) == 0 {
		keys = append(keys, headingKey(c.name))
	}
	for _, phase := range c.phases {
		keys = append(keys, headingKey(phase.name))
	}
	return keys
}
