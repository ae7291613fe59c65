package main

import (
	"go/ast"
	"go/token"
	"go/types"
)

// isInList tells whether a statement stands in a block or clause, so that another may stand in its place. up is how
// many nodes lie between it and the one at hand.
func (w *walker) isInList(s ast.Stmt, up int) bool {
	i := len(w.parents) - 1 - up
	if i < 0 {
		return false
	}
	switch parent := w.parents[i].(type) {
	case *ast.BlockStmt:
		return true
	case *ast.CaseClause:
		return true
	case *ast.CommClause:
		return parent.Comm != s
	}
	return false
}

// statement finds the mutants of a statement.
func (w *walker) statement(n ast.Node) {
	switch s := n.(type) {
	case *ast.IfStmt:
		w.branch(s)
	case *ast.ForStmt:
		if s.Cond != nil {
			w.forced(s.Cond, "false")
			w.loop(s.Body, w.source(s.Cond))
		}
	case *ast.RangeStmt:
		w.ranging(s)
	case *ast.SwitchStmt:
		w.cases(s)
	case *ast.ReturnStmt:
		w.returned(s)
	case *ast.IncDecStmt:
		if to := map[token.Token]string{token.INC: "--", token.DEC: "++"}[s.Tok]; w.isInList(s, 0) {
			w.replace(s, "++ ↔ --", w.source(s.X)+to)
		}
	case *ast.AssignStmt:
		w.assignment(s)
	case *ast.ExprStmt:
		if call, ok := s.X.(*ast.CallExpr); ok && !w.excluded(call) && w.isInList(s, 0) {
			w.drop(s, "call dropped")
		}
	case *ast.BranchStmt:
		if (s.Tok == token.CONTINUE || s.Tok == token.BREAK) && w.isInList(s, 0) {
			w.drop(s, s.Tok.String()+" dropped")
		}
	}
}

func (w *walker) replace(s ast.Stmt, operator, to string) {
	w.add(s, operator, w.source(s), to, "if ON { "+to+" } else { ", " }")
}

func (w *walker) drop(s ast.Stmt, operator string) {
	w.add(s, operator, w.source(s), "nothing", "if !ON { ", " }")
}

// forced makes a condition true or false for good.
func (w *walker) forced(condition ast.Expr, to string) {
	if w.pkg.info.Types[condition].Value == nil {
		w.change(condition, "condition forced "+to, to)
	}
}

func (w *walker) branch(s *ast.IfStmt) {
	w.forced(s.Cond, "true")
	if len(s.Body.List) == 0 {
		w.forced(s.Cond, "false")
		return
	}
	switch last := s.Body.List[len(s.Body.List)-1].(type) {
	case *ast.BranchStmt:
		if len(s.Body.List) > 1 || s.Else != nil {
			w.forced(s.Cond, "false") // else the statement itself is dropped, which is the same
		}
	case *ast.ReturnStmt:
		if s.Else == nil {
			w.dropReturn(s.Cond, "early return dropped", "if "+w.source(s.Cond)+" … "+w.source(last))
			return
		}
		w.forced(s.Cond, "false")
	default:
		w.forced(s.Cond, "false")
	}
}

// dropReturn forces a condition to false, and shows what depends on it.
func (w *walker) dropReturn(condition ast.Expr, operator, shown string) {
	if w.pkg.info.Types[condition].Value == nil {
		w.changeShown(condition, operator, "false", shown, "nothing")
	}
}

func (w *walker) ranging(s *ast.RangeStmt) {
	if isBasic(w.pkg.info.TypeOf(s.X), types.IsInteger) {
		w.change(s.X, "loop bound", "("+w.source(s.X)+")-1")
	}
	w.loop(s.Body, "range "+w.source(s.X))
}

// loop leaves a loop before its first pass, or after it.
func (w *walker) loop(body *ast.BlockStmt, shown string) {
	if len(body.List) == 0 {
		return
	}
	w.insert(body.Lbrace+1, body.Lbrace+1, "loop skipped", "for "+shown, "no pass", " if ON { break }; ", "")
	if !ends(body.List) {
		w.insert(body.Rbrace, body.Rbrace, "loop cut", "for "+shown, "one pass", "; if ON { break }; ", "")
	}
}

// ends tells whether a list of statements never runs on.
func ends(list []ast.Stmt) bool {
	if len(list) == 0 {
		return false
	}
	switch s := list[len(list)-1].(type) {
	case *ast.ReturnStmt, *ast.BranchStmt:
		return true
	case *ast.ExprStmt:
		call, ok := s.X.(*ast.CallExpr)
		name, isName := (*ast.Ident)(nil), false
		if ok {
			name, isName = call.Fun.(*ast.Ident)
		}
		return isName && name.Name == "panic"
	}
	return false
}

// cases skips what a clause of a switch does, and forces its conditions.
func (w *walker) cases(s *ast.SwitchStmt) {
	last := w.isLast(s)
	for _, clause := range s.Body.List {
		c := clause.(*ast.CaseClause)
		for _, condition := range c.List {
			if s.Tag == nil {
				w.forced(condition, "true")
				w.forced(condition, "false")
			}
		}
		if len(c.Body) == 0 || last && ends(c.Body) || s.Tag == nil && len(c.List) == 1 && c.List[0] != nil && !hasDefault(s) {
			continue // without a tag the forced condition is the same
		}
		shown := "default"
		if len(c.List) > 0 {
			shown = string(w.file.text[w.offset(c.Case):w.offset(c.Colon)])
		}
		w.insert(c.Colon+1, c.Colon+1, "case skipped", shown, "nothing", " if ON { break }; ", "")
	}
}

func hasDefault(s *ast.SwitchStmt) bool {
	for _, clause := range s.Body.List {
		if clause.(*ast.CaseClause).List == nil {
			return true
		}
	}
	return false
}

// isLast tells whether a statement ends its block, where a switch of returns may end the function.
func (w *walker) isLast(s ast.Stmt) bool {
	var list []ast.Stmt
	switch parent := w.parent().(type) {
	case *ast.BlockStmt:
		list = parent.List
	case *ast.CaseClause:
		list = parent.Body
	}
	return len(list) == 0 || list[len(list)-1] == s
}

func (w *walker) returned(s *ast.ReturnStmt) {
	for _, e := range s.Results {
		t := w.pkg.info.Types[e]
		switch {
		case t.Value != nil || t.IsNil():
		case types.Identical(t.Type, types.Universe.Lookup("error").Type()):
			w.change(e, "error dropped", "nil")
		case isBasic(t.Type, types.IsBoolean):
			w.forced(e, "true")
			w.forced(e, "false")
		case w.said(e) == "math.NaN()": // has an operator of its own
		case len(wordsOf(t.Type)) > 0:
			w.change(e, "returned word → the first", "0")
		case isBasic(t.Type, types.IsNumeric):
			w.change(e, "returned number → 0", "0")
		}
	}
}

var turnedAssignments = map[token.Token]string{
	token.ADD_ASSIGN: "-=", token.SUB_ASSIGN: "+=", token.MUL_ASSIGN: "/=", token.QUO_ASSIGN: "*=", token.OR_ASSIGN: "&=", token.AND_ASSIGN: "|=",
	token.AND_NOT_ASSIGN: "&=",
}

func (w *walker) assignment(s *ast.AssignStmt) {
	if s.Tok == token.DEFINE || !w.isInList(s, 0) {
		return
	}
	if name, ok := s.Lhs[0].(*ast.Ident); ok && name.Name == "_" && len(s.Lhs) == 1 {
		return
	}
	operator := "assignment dropped"
	if call, ok := s.Rhs[0].(*ast.CallExpr); ok && w.isBuiltin(call, "append") && w.said(s.Lhs[0]) == w.said(call.Args[0]) {
		operator = "append dropped"
	}
	w.drop(s, operator)
	if to, ok := turnedAssignments[s.Tok]; ok && !isString(w.pkg.info.TypeOf(s.Lhs[0])) {
		w.replace(s, "assignment with another operator", w.source(s.Lhs[0])+" "+to+" "+w.source(s.Rhs[0]))
	}
}
