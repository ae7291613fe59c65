package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// listed is what the go command says of a package.
type listed struct {
	ImportPath, Dir, Name, Export      string
	GoFiles, TestGoFiles, XTestGoFiles []string
	TestImports, XTestImports          []string
	Module                             *struct{ Dir string }
}

// golist asks the go command for packages.
func golist(ctx context.Context, arguments ...string) ([]listed, error) {
	command := exec.CommandContext(ctx, "go", append([]string{"list", "-json"}, arguments...)...)
	var complaint bytes.Buffer
	command.Stderr = &complaint
	out, err := command.Output()
	if err != nil {
		return nil, fmt.Errorf("go list %s: %w: %s", strings.Join(arguments, " "), err, complaint.String())
	}
	var packages []listed
	for decoder := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := decoder.Decode(&p); errors.Is(err, io.EOF) {
			return packages, nil
		} else if err != nil {
			return nil, fmt.Errorf("go list %s: %w", strings.Join(arguments, " "), err)
		}
		packages = append(packages, p)
	}
}

// source is one file that is changed.
type source struct {
	path, shown string // shown is relative to the module
	text        []byte
	tree        *ast.File
}

// loaded is one package that is changed, with its types.
type loaded struct {
	path, name, dir string
	files           []*source
	set             *token.FileSet
	types           *types.Package
	info            *types.Info
	config          *types.Config
}

// load parses the packages and finds their types; what they import is read as the compiler exports it.
func load(ctx context.Context, patterns []string, stderr io.Writer) ([]*loaded, error) {
	var there []string
	for _, pattern := range patterns {
		if _, err := os.Stat(filepath.FromSlash(pattern)); errors.Is(err, os.ErrNotExist) {
			fmt.Fprintf(stderr, "mutate: there is no %s\n", pattern)
			continue
		}
		there = append(there, pattern)
	}
	if len(there) == 0 {
		return nil, errors.New("no package to change")
	}
	wanted, err := golist(ctx, there...)
	if err != nil {
		return nil, err
	}
	all, err := golist(ctx, append([]string{"-export", "-deps"}, there...)...)
	if err != nil {
		return nil, err
	}
	exports := map[string]string{}
	for _, p := range all {
		exports[p.ImportPath] = p.Export
	}
	set := token.NewFileSet()
	imports := importer.ForCompiler(set, "gc", func(path string) (io.ReadCloser, error) {
		if exports[path] == "" {
			return nil, fmt.Errorf("the go command exports no %s", path)
		}
		return os.Open(exports[path])
	})
	var packages []*loaded
	for _, p := range wanted {
		l := &loaded{path: p.ImportPath, name: p.Name, dir: p.Dir, set: set, config: &types.Config{Importer: imports}}
		if err := l.parse(p); err != nil {
			return nil, err
		}
		packages = append(packages, l)
	}
	return packages, nil
}

func (l *loaded) parse(p listed) error {
	var trees []*ast.File
	for _, name := range p.GoFiles {
		f := &source{path: filepath.Join(p.Dir, name)}
		shown, err := filepath.Rel(p.Module.Dir, f.path)
		if err != nil {
			return err
		}
		f.shown = filepath.ToSlash(shown)
		if f.text, err = os.ReadFile(f.path); err != nil {
			return err
		}
		if f.tree, err = parser.ParseFile(l.set, f.path, f.text, parser.SkipObjectResolution); err != nil {
			return err
		}
		l.files, trees = append(l.files, f), append(trees, f.tree)
	}
	l.info = &types.Info{
		Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{},
		Selections: map[*ast.SelectorExpr]*types.Selection{},
	}
	var err error
	l.types, err = l.config.Check(l.path, l.set, trees, l.info)
	return err
}
