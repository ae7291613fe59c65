package main

import (
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strings"
)

// otherFunctions are functions to call in the place of others.
var otherFunctions = map[string]struct{ operator, name string }{
	"math.Sin": {"sine ↔ cosine", "math.Cos"}, "math.Cos": {"sine ↔ cosine", "math.Sin"},
	"math.Asin": {"sine ↔ cosine", "math.Acos"}, "math.Acos": {"sine ↔ cosine", "math.Asin"},
	"math.Floor": {"rounding turned", "math.Ceil"}, "math.Ceil": {"rounding turned", "math.Floor"}, "math.Round": {"rounding turned", "math.Floor"},
	"math.Min": {"min ↔ max", "math.Max"}, "math.Max": {"min ↔ max", "math.Min"}, "min": {"min ↔ max", "max"}, "max": {"min ↔ max", "min"},
	"slices.Min": {"min ↔ max", "slices.Max"}, "slices.Max": {"min ↔ max", "slices.Min"},
}

// droppedFunctions are functions of which only the first argument is left.
var droppedFunctions = []string{"math.Abs", "math.Sqrt", "math.Hypot", "math.Round", "math.Floor", "math.Ceil", "math.Exp", "math.Pow", "cmp.Or"}

// symmetric are functions whose arguments may stand in any order.
var symmetric = []string{"math.Hypot", "math.Min", "math.Max", "bytes.Equal", "slices.Equal", "cmp.Or"}

func (w *walker) call(e *ast.CallExpr) {
	name, arguments := w.source(e.Fun), w.arguments(e)
	if w.pkg.info.Types[e.Fun].IsType() {
		return
	}
	if other, ok := otherFunctions[name]; ok {
		w.change(e, other.operator, other.name+"("+arguments+")")
	}
	if slices.Contains(droppedFunctions, name) && len(e.Args) > 0 {
		w.change(e, "function dropped", w.source(e.Args[0]))
	}
	switch name {
	case "math.IsNaN":
		if !w.isCondition(e) { // there it is forced false, or dropped as an operand
			w.change(e, "check for NaN dropped", "false")
		}
	case "math.IsInf":
		w.change(e, "check for infinity dropped", "false")
	case "math.NaN":
		w.change(e, "NaN → 0", "0")
	case "len":
		w.change(e, "length +1", w.source(e)+"+1")
	case "append":
		if !w.isWholeAppend(e) {
			w.change(e, "append dropped", w.source(e.Args[0]))
		}
	}
	if !w.pkg.info.Types[e.Fun].IsBuiltin() && !slices.Contains(symmetric, name) {
		w.swapped(e)
	}
	w.otherMethod(e)
}

// isCondition tells whether an expression is all that a statement branches on or returns, or an operand of ||.
func (w *walker) isCondition(e ast.Expr) bool {
	switch parent := w.parent().(type) {
	case *ast.IfStmt:
		return parent.Cond == e
	case *ast.BinaryExpr:
		return parent.Op == token.LOR
	case *ast.CaseClause, *ast.ReturnStmt:
		return true
	}
	return false
}

// arguments is the text between the brackets of a call.
func (w *walker) arguments(e *ast.CallExpr) string {
	return string(w.file.text[w.offset(e.Lparen)+1 : w.offset(e.Rparen)])
}

// isWholeAppend tells whether a call is the right side of x = append(x, …), which is dropped as a statement.
func (w *walker) isWholeAppend(e *ast.CallExpr) bool {
	s, ok := w.parent().(*ast.AssignStmt)
	return ok && len(s.Lhs) == 1 && len(s.Rhs) == 1 && s.Rhs[0] == e && w.said(s.Lhs[0]) == w.said(e.Args[0])
}

// swapped exchanges neighbouring arguments of one type.
func (w *walker) swapped(e *ast.CallExpr) {
	for i := 0; i+1 < len(e.Args); i++ {
		a, b := e.Args[i], e.Args[i+1]
		if w.said(a) == w.said(b) || !types.Identical(w.pkg.info.TypeOf(a), w.pkg.info.TypeOf(b)) || e.Ellipsis.IsValid() && i+2 == len(e.Args) {
			continue
		}
		texts := make([]string, len(e.Args))
		for j, argument := range e.Args {
			texts[j] = w.source(argument)
		}
		texts[i], texts[i+1] = texts[i+1], texts[i]
		if e.Ellipsis.IsValid() {
			texts[len(texts)-1] += "..."
		}
		w.changeCall(e, "arguments swapped", w.source(e.Fun)+"("+strings.Join(texts, ", ")+")")
	}
}

// otherMethod calls the counterpart of a method.
func (w *walker) otherMethod(e *ast.CallExpr) {
	method, ok := e.Fun.(*ast.SelectorExpr)
	if !ok {
		return
	}
	selection := w.pkg.info.Selections[method]
	if selection == nil || selection.Kind() != types.MethodVal {
		return
	}
	for _, other := range partners(method.Sel.Name) {
		theirs, _, _ := types.LookupFieldOrMethod(selection.Recv(), true, w.pkg.types, other)
		if theirs != nil && types.Identical(theirs.Type(), selection.Type()) {
			w.changeCall(e, "counterpart exchanged", w.source(method.X)+"."+other+"("+w.arguments(e)+")")
		}
	}
}

// changeCall puts another call in the place of one, which may return nothing, or more than one value.
func (w *walker) changeCall(e *ast.CallExpr, operator, to string) {
	if s, ok := w.parent().(*ast.ExprStmt); ok {
		if w.isInList(s, 1) {
			w.add(s, operator, w.source(e), to, "if ON { "+to+" } else { ", " }")
		}
		return
	}
	switch w.parent().(type) {
	case *ast.GoStmt, *ast.DeferStmt:
		return
	}
	w.change(e, operator, to)
}
