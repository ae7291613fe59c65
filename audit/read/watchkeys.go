package read

import (
	"slices"
	"strings"

	"dryarc/audit"

	"github.com/goccy/go-yaml/ast"
)

// gradingRingsKey reads at which ends composites have grading rings, by highest voltage: {220: live, 400: both}.
func gradingRingsKey(to *audit.GradingRings, low, high float64) reader {
	const hint = "write highest voltages in kV from which on they are asked for, and ends: {220: live, 400: both}"
	ends := newWords(audit.EndsWords())
	return func(name string, node ast.Node) *ProjectFileError {
		entries, ok := mapping(node)
		if !ok {
			return wrong(node, hint, "%s %s is no mapping of voltages to ends", name, written(node))
		}
		for _, entry := range entries {
			text, _ := scalar(entry.Key)
			from, ok := parseNumber(text)
			switch {
			case !ok:
				return wrong(entry.Key, hint, "voltage %s in %s is not a number", written(entry.Key), name)
			case !(from >= low && from <= high):
				return wrong(entry.Key, hint, "voltage %s in %s is out of range, expected %v to %v", written(entry.Key), name, low, high)
			case slices.ContainsFunc(*to, func(r audit.RingsRule) bool { return r.FromKV == from }):
				return wrong(entry.Key, hint, "voltage %s in %s stands there twice", written(entry.Key), name)
			}
			word, _ := scalar(entry.Value)
			at, known := ends.find(word)
			if !known {
				return wrong(valueOrKey(entry), hint, "%s in %s %s is not known, expected live or both", text, name, written(entry.Value))
			}
			*to = append(*to, audit.RingsRule{FromKV: from, Ends: at})
		}
		return nil
	}
}

// watchListKey reads the makes and generations that a project watches.
func watchListKey(to *audit.WatchList, low, high int) reader {
	const hint = "write what is watched and the note that it gets: [{make: Harrow, installed_until: 1998, note: rod cracks at the end fitting}]"
	return func(name string, node ast.Node) *ProjectFileError {
		list, ok := node.(*ast.SequenceNode)
		if !ok {
			return wrong(node, hint, "%s %s is no list of entries", name, written(node))
		}
		if len(list.Values) > audit.MostWatched {
			return wrong(node, hint, "%s has %d entries, expected %d at most", name, len(list.Values), audit.MostWatched)
		}
		for _, value := range list.Values {
			var rule audit.WatchRule
			keys := section{{"unit", textKey(&rule.Unit)}, {"make", textKey(&rule.Make)}, {"material", textKey(&rule.Material)},
				{"installed_from", wholeKey(&rule.From, low, high)}, {"installed_until", wholeKey(&rule.Until, low, high)}, {"note", textKey(&rule.Note)}}
			if problem := keys.read("entry of "+name, value); problem != nil {
				return problem
			}
			for _, text := range []*string{&rule.Unit, &rule.Make, &rule.Material, &rule.Note} {
				*text = strings.TrimSpace(*text)
			}
			switch {
			case rule.String() == "":
				return wrong(value, hint, "an entry of %s names nothing, expected unit, make, material, installed_from or installed_until", name)
			case rule.Note == "":
				return wrong(value, hint, "the entry of %s for %s has no note, expected what is to be said where it hangs", name, rule.String())
			case rule.From > 0 && rule.Until > 0 && rule.From > rule.Until:
				return wrong(value, hint, "the entry of %s for %s ends before it begins", name, rule.String())
			}
			*to = append(*to, rule)
		}
		return nil
	}
}
