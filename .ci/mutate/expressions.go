package main

import (
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
)

// expression finds the mutants of an expression.
func (w *walker) expression(e ast.Expr) {
	if w.isCalled(e) || w.isSelector(e) {
		return
	}
	if w.pkg.info.Types[e].Value != nil {
		w.constant(e)
		return
	}
	switch e := e.(type) {
	case *ast.BinaryExpr:
		w.binary(e)
	case *ast.UnaryExpr:
		w.unary(e)
	case *ast.CallExpr:
		w.call(e)
	case *ast.IndexExpr:
		w.index(e)
	case *ast.SliceExpr:
		for _, bound := range []ast.Expr{e.Low, e.High} {
			if bound != nil && w.pkg.info.Types[bound].Value == nil {
				w.change(bound, "slice bound +1", "("+w.source(bound)+")+1")
				w.change(bound, "slice bound -1", "("+w.source(bound)+")-1")
			}
		}
	case *ast.SelectorExpr, *ast.Ident:
		w.partner(e)
	}
}

// isCalled tells whether an expression is the name of what is called.
func (w *walker) isCalled(e ast.Expr) bool {
	call, ok := w.parent().(*ast.CallExpr)
	return ok && call.Fun == e
}

// isSelector tells whether an expression is the name after a dot, which its selector speaks for.
func (w *walker) isSelector(e ast.Expr) bool {
	selector, ok := w.parent().(*ast.SelectorExpr)
	return ok && selector.Sel == e
}

var (
	boundaries = map[token.Token]token.Token{token.LSS: token.LEQ, token.LEQ: token.LSS, token.GTR: token.GEQ, token.GEQ: token.GTR}
	negations  = map[token.Token]token.Token{
		token.LSS: token.GEQ, token.LEQ: token.GTR, token.GTR: token.LEQ, token.GEQ: token.LSS, token.EQL: token.NEQ, token.NEQ: token.EQL,
	}
	exchanged = map[token.Token]struct {
		operator string
		by       token.Token
	}{
		token.ADD: {"+ ↔ -", token.SUB}, token.SUB: {"+ ↔ -", token.ADD}, token.MUL: {"* ↔ /", token.QUO}, token.QUO: {"* ↔ /", token.MUL},
		token.REM: {"% → *", token.MUL}, token.LAND: {"&& ↔ ||", token.LOR}, token.LOR: {"&& ↔ ||", token.LAND},
		token.AND: {"& ↔ |", token.OR}, token.OR: {"& ↔ |", token.AND}, token.AND_NOT: {"&^ → &", token.AND},
		token.SHL: {"<< ↔ >>", token.SHR}, token.SHR: {"<< ↔ >>", token.SHL},
	}
)

func (w *walker) binary(e *ast.BinaryExpr) {
	left, right := w.source(e.X), w.source(e.Y)
	with := func(operator string, by token.Token) {
		w.changeShown(e, operator, "("+left+") "+by.String()+" ("+right+")", w.source(e), left+" "+by.String()+" "+right)
	}
	if by, ok := boundaries[e.Op]; ok {
		with("comparison at its boundary", by)
	}
	if by, ok := negations[e.Op]; ok {
		operator := "comparison negated"
		if e.Op == token.EQL || e.Op == token.NEQ {
			operator = "== ↔ !="
		}
		with(operator, by)
	}
	by, ok := exchanged[e.Op]
	if !ok || isString(w.pkg.info.TypeOf(e)) {
		return
	}
	with(by.operator, by.by)
	switch e.Op {
	case token.LAND, token.LOR:
		w.change(e, "operand of a condition dropped", left)
		w.change(e, "operand of a condition dropped", right)
	case token.ADD, token.MUL:
		w.change(e, "operand dropped", left)
		w.change(e, "operand dropped", right)
	case token.SUB, token.QUO:
		w.change(e, "operand dropped", left)
	}
}

func isString(t types.Type) bool { return isBasic(t, types.IsString) }

func isBasic(t types.Type, info types.BasicInfo) bool {
	basic, ok := t.Underlying().(*types.Basic)
	return ok && basic.Info()&info != 0
}

func (w *walker) unary(e *ast.UnaryExpr) {
	switch e.Op {
	case token.NOT:
		w.change(e, "! dropped", w.source(e.X))
	case token.SUB:
		w.change(e, "sign dropped", w.source(e.X))
	}
}

func (w *walker) index(e *ast.IndexExpr) {
	switch t := w.pkg.info.TypeOf(e.X).Underlying().(type) {
	case *types.Slice, *types.Array, *types.Basic:
	case *types.Pointer:
		if _, ok := t.Elem().Underlying().(*types.Array); !ok {
			return
		}
	default:
		return
	}
	if w.pkg.info.Types[e.Index].Value == nil && isBasic(w.pkg.info.TypeOf(e.Index), types.IsInteger) {
		w.change(e.Index, "index +1", "("+w.source(e.Index)+")+1")
		w.change(e.Index, "index -1", "("+w.source(e.Index)+")-1")
	}
}

// constant finds the mutants of a literal or a named constant. The guard encloses the whole constant expression it
// stands in, since a part of it may have to stay constant.
func (w *walker) constant(e ast.Expr) {
	whole := e
	for i := len(w.parents) - 1; i >= 0; i-- {
		parent, ok := w.parents[i].(ast.Expr)
		if !ok || w.pkg.info.Types[parent].Value == nil {
			break
		}
		whole = parent
	}
	info := w.pkg.info.Types[e]
	object := w.object(e)
	_, literal := e.(*ast.BasicLit)
	switch {
	case !literal && object == nil:
		return
	case info.Value.Kind() == constant.Bool:
		if whole == e {
			w.change(e, "true ↔ false", map[bool]string{true: "false", false: "true"}[constant.BoolVal(info.Value)])
		}
		return
	case info.Value.Kind() != constant.Int && info.Value.Kind() != constant.Float:
		return
	}
	if word, ok := neighbour(object); ok {
		if whole == e {
			w.neighbour(e, object, word)
		}
		return
	}
	for _, to := range w.figures(e, info) {
		changed := string(w.file.text[w.offset(whole.Pos()):w.offset(e.Pos())]) + "(" + to.text + ")" + string(w.file.text[w.offset(e.End()):w.offset(whole.End())])
		w.changeShown(whole, to.operator, changed, w.source(whole), changed)
	}
}

type figure struct{ operator, text string }

// figures are the numbers to put in the place of one.
func (w *walker) figures(e ast.Expr, info types.TypeAndValue) []figure {
	text := w.source(e)
	if isBasic(info.Type, types.IsFloat) {
		if constant.Sign(info.Value) == 0 {
			return []figure{{"float constant 0 → 1", "1"}}
		}
		return []figure{{"float constant ×1.1", text + "*1.1"}}
	}
	return []figure{{"integer constant +1", text + "+1"}, {"integer constant -1", text + "-1"}}
}

// object is what a name stands for, nil where an expression is no name.
func (w *walker) object(e ast.Expr) types.Object {
	switch e := e.(type) {
	case *ast.Ident:
		return w.pkg.info.Uses[e]
	case *ast.SelectorExpr:
		return w.pkg.info.Uses[e.Sel]
	}
	return nil
}
