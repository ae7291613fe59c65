package read

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestEveryErrorHasAHint looks at every place that makes an error for the user: each names a hint.
func TestEveryErrorHasAHint(t *testing.T) {
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	set, made := token.NewFileSet(), 0
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(set, name, nil, 0)
		require.NoError(t, err)
		ast.Inspect(file, func(node ast.Node) bool {
			literal, ok := node.(*ast.CompositeLit)
			if !ok {
				return true
			}
			kind, ok := literal.Type.(*ast.Ident)
			if !ok || kind.Name != "InputError" && kind.Name != "ProjectFileError" {
				return true
			}
			made++
			hint := false
			for _, element := range literal.Elts {
				pair, ok := element.(*ast.KeyValueExpr)
				require.True(t, ok, "%s: name the fields", set.Position(node.Pos()))
				if pair.Key.(*ast.Ident).Name == "Hint" {
					text, isText := pair.Value.(*ast.BasicLit)
					hint = !isText || text.Value != `""`
				}
			}
			require.True(t, hint, "%s: an error without a hint", set.Position(node.Pos()))
			return true
		})
	}
	require.Greater(t, made, 20, "the errors must have been found")
}
