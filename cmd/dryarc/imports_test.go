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

// allowed lists, for each package of the project, the packages of the project it may import. A name that ends in /...
// stands for every package below.
var allowed = map[string][]string{
	"geo": {},

	"audit":          {"geo", "audit/basis"},
	"audit/basis":    {},
	"audit/filelock": {},
	"audit/database": {},
	"audit/checks":   {"audit", "audit/basis", "geo"},
	"audit/headroom": {"audit", "audit/basis"},
	"audit/history":  {"audit", "audit/basis", "geo"},
	"audit/remedy":   {"audit", "audit/basis", "geo"},
	"audit/risk":     {"audit", "audit/basis"},
	"audit/scope":    {"audit", "audit/basis", "geo", "audit/remedy"},

	"audit/database/databasetest": {},

	"audit/read":          {"audit", "audit/basis", "audit/database", "audit/filelock", "geo", "audit/read/..."},
	"audit/read/...":      {},
	"audit/read/gpkg":     {"audit/read/wkb"},
	"audit/read/parquet":  {"audit/read/wkb"},
	"audit/read/postgres": {"audit/database", "audit/read/wkb"},

	"report":          {"audit", "audit/basis", "audit/filelock", "geo", "audit/headroom", "audit/history", "audit/remedy", "audit/risk", "audit/scope", "report/..."},
	"report/...":      {},
	"report/postgres": {"audit/database"},
	"report/draft":    {"audit", "audit/basis", "audit/read", "report/template"},
	"report/template": {"audit", "audit/filelock", "audit/read"},

	"cmd/dryarc":  {"audit", "audit/basis", "audit/checks", "audit/headroom", "audit/history", "audit/read", "audit/remedy", "audit/risk", "audit/scope", "geo", "report", "report/draft", "report/template"},
	"cmd/linegen": {},
}

// vague are names that tell nothing of what is in a package.
var vague = []string{"common", "config", "helpers", "model", "types", "util"}

// only lists libraries that belong to certain packages.
var only = map[string][]string{
	"github.com/xuri/excelize/v2":      {"audit/read/xlsx", "report", "report/draft", "report/template"},
	"github.com/goccy/go-yaml":         {"audit/read"},
	"golang.org/x/net":                 {"audit/read/xlsx"},
	"modernc.org/sqlite":               {"audit/read/gpkg", "report/gpkg"},
	"github.com/parquet-go/parquet-go": {"audit/read/parquet", "audit/read/parquet/parquettest", "report/parquet"},
	"github.com/jackc/pgx/v5":          {"audit/database", "audit/database/databasetest", "audit/read/postgres", "report/postgres"},
	"golang.org/x/image":               {"audit/read/raster"},
	"github.com/go-spatial/proj":       {"audit/read"},
	"github.com/paulmach/orb/geojson":  {},
}

// refusal says why a package may not import another, both given by their path in the project or, of a library, in full.
// It is empty where it may.
func refusal(pkg, imported string) string {
	mayImport, placed := rooms(pkg)
	if !placed {
		return "package " + pkg + " is not in the layout"
	}
	for _, part := range strings.Split(pkg, "/") {
		if slices.Contains(vague, part) {
			return "the name " + part + " tells nothing of what is in the package"
		}
	}
	if own, ok := strings.CutPrefix(imported, "dryarc/"); ok {
		if !slices.ContainsFunc(mayImport, func(pattern string) bool { return matches(pattern, own) }) {
			return pkg + " must not import " + own
		}
		return ""
	}
	for library, packages := range only {
		if (imported == library || strings.HasPrefix(imported, library+"/")) && !slices.Contains(packages, pkg) {
			return pkg + " must not import " + imported
		}
	}
	return ""
}

// rooms is what a package may import of the project: by its own line of the table, else by that of the packages below
// the nearest one above it.
func rooms(pkg string) ([]string, bool) {
	if mayImport, ok := allowed[pkg]; ok {
		return mayImport, true
	}
	for above := path.Dir(pkg); above != "."; above = path.Dir(above) {
		if mayImport, ok := allowed[above+"/..."]; ok {
			return mayImport, true
		}
	}
	return nil, false
}

func matches(pattern, pkg string) bool {
	above, below := strings.CutSuffix(pattern, "...")
	return pkg == pattern || below && strings.HasPrefix(pkg, above)
}

func TestArrowsOfTheLayout(t *testing.T) {
	for _, c := range []struct {
		pkg, imported string
		may           bool
	}{
		{"audit/remedy", "dryarc/audit", true},
		{"audit/remedy", "dryarc/audit/basis", true},
		{"audit/remedy", "dryarc/geo", true},
		{"audit/remedy", "dryarc/audit/checks", false},
		{"audit/remedy", "dryarc/audit/history", false},
		{"audit/remedy", "dryarc/audit/scope", false},
		{"audit/remedy", "dryarc/report", false},
		{"audit/history", "dryarc/audit", true},
		{"audit/history", "dryarc/audit/remedy", false},
		{"audit/history", "dryarc/audit/scope", false},
		{"audit/history", "dryarc/audit/read", false},
		{"audit/scope", "dryarc/audit", true},
		{"audit/scope", "dryarc/audit/remedy", true},
		{"audit/scope", "dryarc/audit/remedy/prices", false},
		{"audit/scope", "dryarc/audit/history", false},
		{"audit/scope", "dryarc/cmd/dryarc", false},
		{"report", "dryarc/audit/remedy", true},
		{"report", "dryarc/audit/history", true},
		{"report", "dryarc/audit/scope", true},
		{"report", "dryarc/audit/scope/inner", false},
		{"report", "dryarc/audit/read", false},
		{"report", "dryarc/report/gpkg", true},
		{"report/gpkg", "dryarc/audit", false},
		{"report/gpkg", "dryarc/report", false},
		{"cmd/dryarc", "dryarc/audit/scope", true},
		{"cmd/dryarc", "dryarc/audit/history", true},
		{"cmd/dryarc", "dryarc/audit/remedy", true},
		{"cmd/dryarc", "dryarc/audit/read/gpkg", false},
		{"audit", "dryarc/audit/remedy", false},
		{"audit/checks", "dryarc/audit/remedy", false},
		{"audit/read", "dryarc/audit/read/json", true},
		{"audit/read", "dryarc/audit/reading", false},
		{"audit/read/json", "dryarc/audit", false},
		{"audit/read/raster", "dryarc/audit/read", false},
		{"audit/read/raster", "golang.org/x/image/tiff/lzw", true},
		{"audit/read", "golang.org/x/image/tiff/lzw", false},
		{"audit/read/json", "dryarc/audit/basis", false},
		{"audit/read/json", "dryarc/audit/read/gpkg", false},
		{"audit/read/xlsx/styles", "dryarc/audit/read", false},
		{"audit/read/json", "encoding/json", true},
		{"audit/read/parquet", "dryarc/audit/read/wkb", true},
		{"audit/read/parquet", "dryarc/audit/read/gpkg", false},
		{"audit/read", "github.com/parquet-go/parquet-go", false},
		{"audit/read/postgres", "dryarc/audit/read/gpkg", false},
		{"audit/read", "github.com/jackc/pgx/v5", false},
		{"geo", "dryarc/audit/basis", false},
		{"audit/basis", "dryarc/geo", false},
		{"geo", "github.com/xuri/excelize/v2", false},
		{"geo", "github.com/xuri/excelize/v2/inner", false},
		{"report", "github.com/xuri/excelize/v2", true},
		{"audit/elsewhere", "fmt", false},
		{"audit/history/store", "fmt", false},
		{"tools", "fmt", false},
		{"audit/read/util", "fmt", false},
		{"report/common/colours", "fmt", false},
		{"report/types", "fmt", false},
		{"report/model", "fmt", false},
		{"report/config", "fmt", false},
		{"report/helpers", "fmt", false},
	} {
		t.Run(c.pkg+" imports "+c.imported, func(t *testing.T) {
			require.Equal(t, c.may, refusal(c.pkg, c.imported) == "", refusal(c.pkg, c.imported))
		})
	}
	for pkg := range allowed {
		require.NotContains(t, refusal(pkg, ""), "tells nothing")
	}
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
	parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
	require.NoError(t, err)
	require.Empty(t, refusal(pkg, ""), file)
	for _, spec := range parsed.Imports {
		name, err := strconv.Unquote(spec.Path.Value)
		require.NoError(t, err)
		require.Empty(t, refusal(pkg, name), file)
	}
}
