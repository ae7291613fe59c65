package read

import (
	"slices"

	"dryarc/audit"

	"github.com/goccy/go-yaml/ast"
)

// remedyKey reads how remedies are chosen: {prefer: [price, fewest changes, length]}.
func remedyKey(to *audit.RemedyRule) reader {
	return func(name string, node ast.Node) *ProjectFileError {
		return section{{"prefer", preferencesKey(&to.Prefer)}}.read(name, node)
	}
}

func preferencesKey(to *[]audit.Preference) reader {
	words := newWords(audit.PreferenceWords())
	const hint = "write what counts first: prefer: [price, fewest changes, length]"
	return func(name string, node ast.Node) *ProjectFileError {
		list, ok := node.(*ast.SequenceNode)
		if !ok {
			return wrong(node, hint, "%s %s is no list", name, written(node))
		}
		for _, entry := range list.Values {
			text, _ := scalar(entry)
			preference, known := words.find(text)
			switch {
			case !known:
				return wrong(entry, hint, "%s in %s is not known, expected %s", written(entry), name, words.list)
			case slices.Contains(*to, preference):
				return wrong(entry, hint, "%s in %s stands there twice", written(entry), name)
			}
			*to = append(*to, preference)
		}
		return nil
	}
}
