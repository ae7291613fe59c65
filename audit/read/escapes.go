package read

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

const escapeHint = `in double quotes \ begins an escape; write a path in single quotes, 'C:\data\x.csv', or with /`

// hexDigits are how many stand behind the escapes that are numbers.
var hexDigits = map[byte]int{'x': 2, 'u': 4, 'U': 8}

// badEscape refuses escapes in double quotes that are to be a number and are none, since the parser takes another letter for them.
func badEscape(content string, tokens token.Tokens) *ProjectFileError {
	var lines []string
	for _, t := range tokens {
		if t.Type != token.DoubleQuoteType && t.Type != token.InvalidType || !strings.Contains(t.Origin, `\`) {
			continue
		}
		if lines == nil {
			lines = strings.SplitAfter(content, "\n")
		}
		line, column := t.Position.Line, t.Position.Column
		if line < 1 || line > len(lines) {
			continue
		}
		text := []rune(lines[line-1])
		if column < 1 || column > len(text) || text[column-1] != '"' {
			continue
		}
		rest := string(text[column:]) + strings.Join(lines[line:], "")
		for i := 0; i < len(rest) && rest[i] != '"'; i++ {
			if rest[i] != '\\' {
				continue
			}
			if i++; i == len(rest) {
				break
			}
			digits := hexDigits[rest[i]]
			if behind := rest[i+1:]; digits > 0 && (len(behind) < digits || strings.Trim(behind[:digits], "0123456789abcdefABCDEF") != "") {
				wrong := rest[i-1:]
				if end := strings.IndexAny(wrong, "\"\n"); end >= 0 {
					wrong = wrong[:end]
				}
				return &ProjectFileError{Line: line, Column: column, Hint: escapeHint,
					Message: fmt.Sprintf("is no valid YAML: has %s in double quotes, expected %d hexadecimal digits behind \\%c", excerpt(wrong), digits, rest[i])}
			}
			i += digits
		}
	}
	return nil
}

const controlWords = "%s %s is no path, expected a name without control characters"

// isEscaped tells whether the name of a file in double quotes holds what no name does: an escape was read from its backslashes.
func isEscaped(node ast.Node, text string) bool {
	return node.GetToken().Type == token.DoubleQuoteType && strings.ContainsFunc(text, func(r rune) bool {
		return unicode.IsControl(r) || r == utf8.RuneError || r == '\u2028' || r == '\u2029'
	})
}
