package report

import (
	"regexp"
	"strings"
)

// formulaToken is a number, a quoted text, a name, or anything else of a spreadsheet formula.
var formulaToken = regexp.MustCompile(`(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?|"[^"]*"|[\pL_][\pL\d_]*|.`)

// inCells replaces the names of a formula by cells. A name that is followed by a bracket is a function. ok is false
// where a name has no cell.
func inCells(formula string, cellOf func(name string) (cell string, ok bool)) (text string, ok bool) {
	var b strings.Builder
	places := formulaToken.FindAllStringIndex(formula, -1)
	for _, at := range places {
		token := formula[at[0]:at[1]]
		if isName(token) && !strings.HasPrefix(formula[at[1]:], "(") {
			cell, known := cellOf(token)
			if !known {
				return "", false
			}
			token = cell
		}
		b.WriteString(token)
	}
	return b.String(), true
}

func isName(token string) bool {
	return !strings.ContainsAny(token[:1], `0123456789."+-*/^&=<>(),:;%{}[] !$'`)
}
