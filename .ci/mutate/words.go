package main

import (
	"cmp"
	"go/ast"
	"go/constant"
	"go/types"
	"slices"
	"strings"
)

// wordsOf are the constants of a type that counts words (duties, reasons, outcomes), in the order of their values; those
// that only end the list are left out where the others are exported.
func wordsOf(t types.Type) []*types.Const {
	of, ok := t.(*types.Named)
	if !ok || of.Obj().Pkg() == nil || !isBasic(of, types.IsInteger) {
		return nil
	}
	var words []*types.Const
	scope := of.Obj().Pkg().Scope()
	for _, name := range scope.Names() {
		if c, ok := scope.Lookup(name).(*types.Const); ok && types.Identical(c.Type(), t) {
			words = append(words, c)
		}
	}
	if slices.ContainsFunc(words, (*types.Const).Exported) {
		words = slices.DeleteFunc(words, func(c *types.Const) bool { return !c.Exported() })
	}
	slices.SortStableFunc(words, func(a, b *types.Const) int {
		x, _ := constant.Int64Val(a.Val())
		y, _ := constant.Int64Val(b.Val())
		return cmp.Compare(x, y)
	})
	return words
}

// neighbour is the word after a constant, or the one before the last.
func neighbour(object types.Object) (*types.Const, bool) {
	c, ok := object.(*types.Const)
	if !ok {
		return nil, false
	}
	words := wordsOf(c.Type())
	i := slices.Index(words, c)
	switch {
	case i < 0 || len(words) < 2:
		return nil, false
	case i+1 < len(words):
		return words[i+1], true
	}
	return words[i-1], true
}

// neighbour puts another word in the place of a constant, and where a reason is returned also none.
func (w *walker) neighbour(e ast.Expr, object types.Object, word *types.Const) {
	prefix := strings.TrimSuffix(w.source(e), object.Name())
	operator := "word replaced by its neighbour"
	switch named(object.Type()) {
	case "Severity":
		operator = "severity turned"
	case "Reason":
		none := wordsOf(object.Type())[0]
		if object.Name() != none.Name() && w.isReturned(e) {
			w.change(e, "reason dropped", prefix+none.Name())
		}
	}
	w.change(e, operator, prefix+word.Name())
}

// isReturned tells whether an expression is returned, or is an argument of a call that is.
func (w *walker) isReturned(e ast.Expr) bool {
	for i := len(w.parents) - 1; i >= 0; i-- {
		switch w.parents[i].(type) {
		case *ast.ReturnStmt:
			return true
		case *ast.CallExpr, *ast.ParenExpr:
		default:
			return false
		}
	}
	return false
}

// pairs are words in names whose exchange gives the name of a counterpart.
var pairs = [][2]string{
	{"Back", "Ahead"}, {"First", "Last"}, {"First", "End"}, {"Minimum", "Maximum"}, {"Min", "Max"}, {"Low", "High"}, {"Left", "Right"},
	{"Lightning", "Switching"}, {"Switching", "Wet"}, {"Dry", "Wet"}, {"Positive", "Negative"}, {"Observed", "Required"},
	{"Wind", "Weight"}, {"Maximum", "Everyday"}, {"Rating", "Cantilever"}, {"Nominal", "Highest"}, {"Start", "End"}, {"From", "To"},
	{"Spacing", "Diameter"}, {"Dead", "Live"}, {"Units", "Strings"}, {"Suspension", "Tension"},
}

// partners are the names that exchanging one word of a name could give.
func partners(name string) []string {
	var names []string
	for _, pair := range pairs {
		for _, way := range [][2]string{pair, {pair[1], pair[0]}} {
			if strings.Contains(name, way[0]) {
				names = append(names, strings.Replace(name, way[0], way[1], 1))
			}
			if from, to := strings.ToLower(way[0]), strings.ToLower(way[1]); strings.HasPrefix(name, from) {
				names = append(names, to+strings.TrimPrefix(name, from))
			}
		}
	}
	return names
}

// partner puts the counterpart of a variable or field in its place, where there is one of the same type.
func (w *walker) partner(e ast.Expr) {
	var prefix, name string
	var find func(string) types.Object
	switch e := e.(type) {
	case *ast.Ident:
		name = e.Name
		find = func(name string) types.Object {
			_, object := w.pkg.types.Scope().Innermost(e.Pos()).LookupParent(name, e.Pos())
			return object
		}
	case *ast.SelectorExpr:
		selection := w.pkg.info.Selections[e]
		if selection == nil {
			return
		}
		prefix, name = w.source(e.X)+".", e.Sel.Name
		find = func(name string) types.Object {
			object, _, _ := types.LookupFieldOrMethod(selection.Recv(), true, w.pkg.types, name)
			return object
		}
	}
	mine, ok := w.object(e).(*types.Var)
	if !ok {
		return
	}
	for _, other := range partners(name) {
		if theirs, ok := find(other).(*types.Var); ok && types.Identical(mine.Type(), theirs.Type()) {
			w.exchange(e, prefix+other)
		}
	}
}

// exchange puts one variable in the place of another, also where it is assigned to.
func (w *walker) exchange(e ast.Expr, to string) {
	const operator = "counterpart exchanged"
	if !w.isAssigned(e) {
		w.change(e, operator, to)
	} else if t, ok := w.typeName(w.pkg.info.TypeOf(e)); ok {
		w.add(e, operator, w.source(e), to, "*func() *"+t+" { if ON { return &"+to+" }; return &", " }()")
	}
}

// isAssigned tells whether a statement gives an expression a value.
func (w *walker) isAssigned(e ast.Expr) bool {
	switch parent := w.parent().(type) {
	case *ast.AssignStmt:
		return slices.Contains(parent.Lhs, e)
	case *ast.IncDecStmt:
		return true
	}
	return false
}
