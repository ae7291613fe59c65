package read

import (
	"fmt"
	"strings"

	"dryarc/audit"

	"github.com/goccy/go-yaml/ast"
)

const fixedLineHint = "write the line that every structure of the files is of: fixed: {line: HO-66}"

// fixedLineKey reads the one line that the structures of all files are of.
func fixedLineKey(to *string) reader {
	return section{{"line", func(name string, node ast.Node) *ProjectFileError {
		text, isText := scalar(node)
		if text = strings.TrimSpace(text); !isText || text == "" || node.Type() == ast.NullType || len(text) > longestName {
			return wrong(node, fixedLineHint, "%s %s is no name of a line", name, written(node))
		}
		*to = Composed(text)
		return nil
	}}}.read
}

// lineOf is the line of a feature where the project file says it of every one. A feature that names another is left out: nobody can tell which
// of the two it is of.
func (l *layer) lineOf(f *feature, name string) ([]string, bool) {
	line := l.house.text(lineList, l.fixedLine)
	texts, plain := propertyTexts(f.property(name))
	for _, text := range texts {
		if !plain || text != "" && valueKey(l.house.text(lineList, text)) != valueKey(line) {
			l.leftOut(f, audit.Implausible, name, text, fmt.Sprintf("contradicts the project file, which says %q of every feature", l.fixedLine))
			return nil, false
		}
	}
	return []string{line}, true
}
