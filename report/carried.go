package report

import (
	"fmt"
	"slices"
	"strings"

	"dryarc/audit"
)

// What is carried through to the outputs: the dates and remarks of the row an exception is of, and the headings and properties
// that the project file names under carry. Nothing rests on any of it.

// ownTexts are the dates and the remarks of the row of an exception; empty where it is not of an assembly.
func ownTexts(r *audit.Result, e *audit.Exception) (installedOn, inspected, remarks string) {
	if e.Assembly < 0 {
		return "", "", ""
	}
	row := r.Project.Assemblies.At(e.Assembly)
	return row.Installed.String(), row.Inspected.String(), r.Project.Texts.Get(row.Remarks)
}

// carriedBy is what is carried of the assembly, the structure and the line of an exception, by exceptionCarriedNames; the first that
// has a text wins.
func carriedBy(r *audit.Result, e *audit.Exception) []string {
	seen := inspectionTexts(r, e)
	if len(r.Project.Carried.Names) == 0 {
		return seen
	}
	var rows []audit.Source
	if e.Assembly >= 0 {
		rows = append(rows, r.Project.Assemblies.At(e.Assembly).Source)
	}
	if e.Structure >= 0 {
		rows = append(rows, r.Network.Source(e.Structure))
	}
	if line := &r.Network.Lines[e.Line]; line.Row.Source.Row > 0 {
		rows = append(rows, line.Row.Source)
	}
	return append(r.Project.CarriedAt(rows...), seen...)
}

// exceptionTexts are the dates and remarks of an exception's row and what is carried of it, by exceptionTextNames.
func exceptionTexts(r *audit.Result, e *audit.Exception) []string {
	installedOn, inspected, remarks := ownTexts(r, e)
	return append([]string{installedOn, inspected, remarks}, carriedBy(r, e)...)
}

// exceptionTextNames are the names of exceptionTexts, for people, beside others that are taken.
func exceptionTextNames(r *audit.Result, taken ...string) []string {
	own := []string{"Installed on", "Inspected on", "Remarks"}
	return append(own, exceptionCarriedNames(r, append(taken[:len(taken):len(taken)], own...)...)...)
}

// exceptionCarriedNames are the names of what is carried of an exception, and behind them those of the inspection that decides.
func exceptionCarriedNames(r *audit.Result, taken ...string) []string {
	names := carriedNames(r, taken...)
	return append(names, inspectionNames(r, slices.Concat(taken, names)...)...)
}

// carriedNames are the names of what is carried, as columns or properties beside others: one that is taken, whatever its case,
// gets a word behind it.
func carriedNames(r *audit.Result, taken ...string) []string {
	names := slices.Clone(r.Project.Carried.Names)
	isTaken := func(name string) bool {
		return slices.ContainsFunc(taken, func(other string) bool { return strings.EqualFold(other, name) })
	}
	for i := range names {
		name := strings.TrimSuffix(names[i], " (carried)")
		for n := 1; isTaken(names[i]); n++ {
			names[i] = name + " (carried)"
			if n > 1 {
				names[i] = fmt.Sprintf("%s (carried %d)", name, n)
			}
		}
		taken = append(taken, names[i])
	}
	return names
}

// appendCarried appends carried texts as members of a JSON object that is open.
func appendCarried(b []byte, names, texts []string) []byte {
	for i, name := range names {
		b = append(b, ',')
		b = appendText(b, name)
		b = append(b, ':')
		b = appendText(b, texts[i])
	}
	return b
}
