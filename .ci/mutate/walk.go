package main

import (
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strings"
)

// walker finds the mutants of one file.
type walker struct {
	pkg      *loaded
	file     *source
	parents  []ast.Node // of the node at hand, outermost first
	function string
	found    []*mutant
}

// walk finds the mutants of all functions and variables of the file but those that only excluded places name.
func (w *walker) walk(named map[types.Object]bool) {
	w.each(func(f types.Object) bool { return f == nil || named[f] }, w.mutateNode)
}

// each calls do for every node that is not excluded, of the functions that are wanted and of the variables, for which
// wanted is asked with nil.
func (w *walker) each(wanted func(types.Object) bool, do func(ast.Node)) {
	for _, declaration := range w.file.tree.Decls {
		switch d := declaration.(type) {
		case *ast.FuncDecl:
			if d.Body == nil || isText(d) || w.onlyTraces(d) || !wanted(w.pkg.info.Defs[d.Name]) {
				continue
			}
			w.function = d.Name.Name
			if d.Recv != nil {
				w.function = strings.TrimPrefix(w.said(d.Recv.List[0].Type), "*") + "." + d.Name.Name
			}
			w.visit(d.Body, do)
		case *ast.GenDecl:
			if d.Tok != token.VAR || !wanted(nil) {
				continue
			}
			for _, spec := range d.Specs {
				values := spec.(*ast.ValueSpec)
				w.function = "var " + values.Names[0].Name
				for _, value := range values.Values {
					w.visit(value, do)
				}
			}
		}
	}
}

func (w *walker) visit(root ast.Node, do func(ast.Node)) {
	ast.Inspect(root, func(n ast.Node) bool {
		if n == nil {
			w.parents = w.parents[:len(w.parents)-1]
			return true
		}
		if w.excluded(n) {
			return false
		}
		do(n)
		w.parents = append(w.parents, n)
		return true
	})
}

// named are the functions of a package that something else than excluded places names: those that other packages may
// name, those that variables name, and all that these name in turn.
func (l *loaded) named() map[types.Object]bool {
	named := map[types.Object]bool{}
	for first := true; ; first = false {
		before := len(named)
		for _, f := range l.files {
			w := walker{pkg: l, file: f}
			w.each(func(f types.Object) bool {
				if f == nil {
					return first
				}
				if f.Exported() || f.Name() == "main" || f.Name() == "init" {
					named[f] = true
				}
				return named[f]
			}, func(n ast.Node) {
				if name, ok := n.(*ast.Ident); ok {
					if f, ok := l.info.Uses[name].(*types.Func); ok && f.Pkg() == l.types {
						named[f.Origin()] = true
					}
				}
			})
		}
		if len(named) == before {
			return named
		}
	}
}

// mutateNode finds the mutants of one node, its children left aside.
func (w *walker) mutateNode(n ast.Node) {
	if e, ok := n.(ast.Expr); ok {
		w.expression(e)
		return
	}
	w.statement(n)
}

// isText tells whether a method only puts a value into words.
func isText(d *ast.FuncDecl) bool {
	return d.Recv != nil && (d.Name.Name == "String" || d.Name.Name == "Error") && d.Type.Params.NumFields() == 0
}

// onlyTraces tells whether a function does nothing but record: it is a method of a trace, or takes one and returns
// nothing, or returns steps of one.
func (w *walker) onlyTraces(d *ast.FuncDecl) bool {
	signature := w.pkg.info.Defs[d.Name].Type().(*types.Signature)
	if signature.Recv() != nil && named(signature.Recv().Type()) == "Trace" {
		return true
	}
	takes := false
	for v := range signature.Params().Variables() {
		takes = takes || named(v.Type()) == "Trace"
	}
	results := signature.Results()
	return takes && results.Len() == 0 || results.Len() == 1 && named(results.At(0).Type()) == "Step"
}

// named is the name of a type, of what a pointer or slice of it holds; empty where it has none.
func named(t types.Type) string {
	switch t := t.(type) {
	case *types.Pointer:
		return named(t.Elem())
	case *types.Slice:
		return named(t.Elem())
	case *types.Named:
		return t.Obj().Name()
	}
	return ""
}

// excluded tells what is left as it is, with all below it.
func (w *walker) excluded(n ast.Node) bool {
	if e, ok := n.(ast.Expr); ok && (w.pkg.info.Types[e].IsType() || w.isCapacity(e) || w.isKey(e)) {
		return true
	}
	switch n := n.(type) {
	case *ast.GenDecl:
		return n.Tok != token.VAR
	case *ast.IfStmt:
		return w.asksTrace(n.Cond)
	case *ast.CallExpr:
		return w.isBuiltin(n, "panic") || w.onTrace(n) || w.said(n.Fun) == "slices.Grow"
	case *ast.CompositeLit:
		return named(w.pkg.info.TypeOf(n)) == "Example"
	}
	return false
}

// asksTrace tells whether a condition begins with whether a trace records.
func (w *walker) asksTrace(condition ast.Expr) bool {
	switch c := condition.(type) {
	case *ast.BinaryExpr:
		return c.Op == token.LAND && w.asksTrace(c.X)
	case *ast.CallExpr:
		return w.onTrace(c)
	}
	return false
}

// onTrace tells whether a call is of a method of a trace.
func (w *walker) onTrace(call *ast.CallExpr) bool {
	method, ok := call.Fun.(*ast.SelectorExpr)
	return ok && w.pkg.info.Selections[method] != nil && named(w.pkg.info.Selections[method].Recv()) == "Trace"
}

func (w *walker) isBuiltin(call *ast.CallExpr, names ...string) bool {
	name, ok := call.Fun.(*ast.Ident)
	return ok && w.pkg.info.Types[call.Fun].IsBuiltin() && slices.Contains(names, name.Name)
}

// isCapacity tells whether an expression only says how much room to make.
func (w *walker) isCapacity(e ast.Expr) bool {
	call, ok := w.parent().(*ast.CallExpr)
	if !ok || !w.isBuiltin(call, "make") {
		return false
	}
	_, isMap := w.pkg.info.TypeOf(call).Underlying().(*types.Map)
	return len(call.Args) == 3 && e == call.Args[2] || isMap && len(call.Args) == 2 && e == call.Args[1]
}

// isKey tells whether an expression is a field name, or an index of a literal that has to be constant.
func (w *walker) isKey(e ast.Expr) bool {
	pair, ok := w.parent().(*ast.KeyValueExpr)
	return ok && pair.Key == e
}

func (w *walker) parent() ast.Node {
	if len(w.parents) == 0 {
		return nil
	}
	return w.parents[len(w.parents)-1]
}

// source is the text of a node as it stands.
func (w *walker) source(n ast.Node) string {
	return string(w.file.text[w.offset(n.Pos()):w.offset(n.End())])
}

// said is the text of a node on one line.
func (w *walker) said(n ast.Node) string { return oneLine(w.source(n)) }

func oneLine(text string) string {
	line := strings.Join(strings.Fields(text), " ")
	if runes := []rune(line); len(runes) > 120 {
		return string(runes[:119]) + "…"
	}
	return line
}

func (w *walker) offset(p token.Pos) int { return w.pkg.set.Position(p).Offset }

// add adds a mutant whose guard encloses a node.
func (w *walker) add(n ast.Node, operator, from, to, before, after string) {
	w.insert(n.Pos(), n.End(), operator, from, to, before, after)
}

func (w *walker) insert(start, end token.Pos, operator, from, to, before, after string) {
	w.found = append(w.found, &mutant{
		pkg: w.pkg, file: w.file, start: w.offset(start), end: w.offset(end), before: before, after: after,
		line: w.pkg.set.Position(start).Line, function: w.function, operator: operator, from: oneLine(from), to: oneLine(to),
	})
}

// change adds a mutant that puts another expression in the place of one.
func (w *walker) change(e ast.Expr, operator, to string) {
	w.changeShown(e, operator, to, w.source(e), to)
}

// changeShown is change where the list shows less than the whole.
func (w *walker) changeShown(e ast.Expr, operator, to, shownFrom, shownTo string) {
	t := w.pkg.info.TypeOf(e)
	if basic, ok := types.Default(t).(*types.Basic); ok && basic.Kind() == types.Bool {
		w.add(e, operator, shownFrom, shownTo, "(ON && ("+to+") || !ON && (", "))")
		return
	}
	if name, ok := w.typeName(t); ok {
		w.add(e, operator, shownFrom, shownTo, "func() "+name+" { if ON { return "+to+" }; return ", " }()")
	}
}

// typeName writes a type as the file would; false where it cannot.
func (w *walker) typeName(t types.Type) (string, bool) {
	if tuple, ok := t.(*types.Tuple); ok {
		var names []string
		for v := range tuple.Variables() {
			name, ok := w.typeName(v.Type())
			if !ok {
				return "", false
			}
			names = append(names, name)
		}
		return "(" + strings.Join(names, ", ") + ")", len(names) > 0
	}
	if basic, ok := t.(*types.Basic); ok && basic.Info()&types.IsUntyped != 0 {
		return types.Default(t).String(), basic.Kind() != types.UntypedNil
	}
	ok := true
	name := types.TypeString(t, func(p *types.Package) string {
		if p == w.pkg.types {
			return ""
		}
		imported, is := w.importName(p)
		ok = ok && is
		return imported
	})
	return name, ok
}

// importName is the name that the file knows a package by.
func (w *walker) importName(p *types.Package) (string, bool) {
	for _, spec := range w.file.tree.Imports {
		if strings.Trim(spec.Path.Value, `"`) != p.Path() {
			continue
		}
		if spec.Name != nil {
			return spec.Name.Name, spec.Name.Name != "_" && spec.Name.Name != "."
		}
		return p.Name(), true
	}
	return "", false
}
