package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// allowed lists, for each package of the project, the packages of the project it may import.
var allowed = map[string][]string{
	"geo":             {},
	"audit/basis":     {},
	"audit":           {"geo", "audit/basis"},
	"audit/read":      {"audit", "audit/basis", "geo", "audit/read/gpkg", "audit/read/json", "audit/read/xlsx"},
	"audit/read/gpkg": {},
	"audit/read/json": {},
	"audit/read/xlsx": {},
	"audit/checks":    {"audit", "audit/basis", "geo"},
	"report":          {"audit", "audit/basis", "geo", "report/gpkg"},
	"report/gpkg":     {},
	"report/template": {"audit", "audit/read"},
	"cmd/linegen":     {},
	"cmd/dryarc":      {"report", "report/template", "audit", "audit/basis", "audit/read", "audit/checks", "geo"},
}

// only lists libraries that belong to certain packages.
var only = map[string][]string{
	"github.com/xuri/excelize/v2":     {"audit/read/xlsx", "report", "report/template"},
	"github.com/goccy/go-yaml":        {"audit/read"},
	"modernc.org/sqlite":              {"audit/read/gpkg", "report/gpkg"},
	"github.com/go-spatial/proj":      {"audit/read"},
	"github.com/paulmach/orb/geojson": {},
}

func TestImportsPointOneWay(t *testing.T) {
	root := filepath.Join("..", "..")
	seen := 0
	err := filepath.WalkDir(root, func(file string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if entry.IsDir() && strings.HasPrefix(entry.Name(), ".") && entry.Name() != ".." {
			return filepath.SkipDir
		}
		if entry.IsDir() || filepath.Ext(file) != ".go" || strings.HasSuffix(file, "_test.go") {
			return nil
		}
		seen++
		relative, err := filepath.Rel(root, file)
		if err != nil {
			return err
		}
		requireImports(t, path.Dir(filepath.ToSlash(relative)), file)
		return nil
	})
	require.NoError(t, err)
	require.Greater(t, seen, 20, "the walk must have found the sources")
}

func requireImports(t *testing.T, pkg, file string) {
	t.Helper()
	mayImport, known := allowed[pkg]
	require.True(t, known, "%s: package %s is not in the layout", file, pkg)
	parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
	require.NoError(t, err)
	for _, spec := range parsed.Imports {
		name, err := strconv.Unquote(spec.Path.Value)
		require.NoError(t, err)
		if own, ok := strings.CutPrefix(name, "dryarc/"); ok {
			require.True(t, slices.Contains(mayImport, own), "%s must not import %s", file, name)
		}
		for library, packages := range only {
			if name == library || strings.HasPrefix(name, library+"/") {
				require.True(t, slices.Contains(packages, pkg), "%s must not import %s", file, name)
			}
		}
	}
}
