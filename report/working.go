package report

import (
	"slices"
	"strings"

	"dryarc/audit"
)

// working is one check of the Working sheet: its exceptions, each with the figures that its verdict follows from.
type working struct {
	check   int // in Result.Checks
	figures []figureColumn
	rows    []workingRow
}

// figureColumn is a symbol that the derivations of a check use.
type figureColumn struct {
	symbol, measure string
	formula         string   // in words, those of all derivations that compute it
	inputs          []string // symbols that it follows from in any derivation
}

// workingRow is one exception worked out.
type workingRow struct {
	exception int // in Result.Exceptions
	figures   []workedFigure
	// observed and required are the symbols of the figures that were compared, empty where the derivation has none.
	observed, required string
}

// workedFigure is a figure of a derivation: an input, or the result of a spreadsheet formula of other figures.
type workedFigure struct {
	symbol  string
	value   audit.Value
	formula string // in words
	sheet   string // with the symbols of other figures as names, empty for an input
	inputs  []string
}

// workings runs the checks again on the worst exceptions, at most so many, and keeps those derivations that
// spreadsheet formulas can repeat; of is how many exceptions those checks have in all. A check whose worst exceptions, some
// of which may be in words, have no formula has none.
func workings(r *audit.Result, most int) (found []working, of int) {
	index := make([]int, len(r.Checks)) // index in found, 1 more; below 0 how many exceptions had no formula, negative
	shown := 0
	for i := range r.Exceptions {
		e := &r.Exceptions[i]
		at := index[e.Check]
		if at == -withoutFormula || at > 0 && shown == most {
			continue
		}
		row, ok, failed := work(r, i)
		if failed { // the next exception of the check may show whether it has formulas
			continue
		}
		if at <= 0 {
			if !ok {
				index[e.Check]--
				continue
			}
			found = append(found, working{check: e.Check})
			at = len(found)
			index[e.Check] = at
		}
		if ok && shown < most {
			found[at-1].add(row)
			shown++
		}
	}
	counts := exceptionsByCheck(r)
	for i := range found {
		found[i].arrange()
		of += counts[found[i].check]
	}
	return slices.DeleteFunc(found, func(w working) bool { return len(w.rows) == 0 }), of
}

// withoutFormula is after how many exceptions in a row without a formula a check is taken to have none.
const withoutFormula = 20

// work runs the check of an exception again and finds the figures that its verdict follows from; ok is false where no
// spreadsheet formula leads there, or where the check failed.
func work(r *audit.Result, exception int) (row workingRow, ok, failed bool) {
	e := &r.Exceptions[exception]
	if e.Verdict.Observed.Word != "" || e.Verdict.Required.Word != "" {
		return row, false, false
	}
	subject := r.Network.Subject(&e.Location)
	if subject.Line == nil {
		return row, false, false
	}
	var trace audit.Trace
	verdict := r.Again(e.Check, &e.Location, &subject, &trace)
	if verdict.Reason == audit.CheckFailed {
		return row, false, true
	}
	row = workingRow{exception: exception}
	row.observed = row.follow(trace.Steps, audit.Observed)
	row.required = row.follow(trace.Steps, audit.Required)
	return row, slices.ContainsFunc(row.figures, func(f workedFigure) bool { return f.sheet != "" }), false
}

// follow takes the figure of a role with all it rests on, and returns its symbol; empty where no step has the role.
func (w *workingRow) follow(steps []audit.Step, role audit.StepRole) string {
	i := slices.IndexFunc(steps, func(s audit.Step) bool { return s.Role == role })
	if i < 0 {
		return ""
	}
	w.take(steps, steps[i].Symbol, steps[i].Result)
	return steps[i].Symbol
}

// take adds a figure after those it rests on.
func (w *workingRow) take(steps []audit.Step, symbol string, value audit.Value) {
	if w.has(symbol) {
		return
	}
	figure := workedFigure{symbol: symbol, value: value}
	if i := slices.IndexFunc(steps, func(s audit.Step) bool { return s.Symbol == symbol }); i >= 0 && steps[i].Sheet != "" {
		figure.formula, figure.sheet = steps[i].Formula, steps[i].Sheet
		for _, in := range steps[i].Inputs {
			figure.inputs = append(figure.inputs, in.Symbol)
			w.take(steps, in.Symbol, in.Value)
		}
	}
	w.figures = append(w.figures, figure)
}

func (w *workingRow) has(symbol string) bool {
	return slices.ContainsFunc(w.figures, func(f workedFigure) bool { return f.symbol == symbol })
}

// add takes a row in, and gives the symbols that are new a column.
func (w *working) add(row workingRow) {
	w.rows = append(w.rows, row)
	for _, f := range row.figures {
		i := w.column(f.symbol)
		if i < 0 {
			i = len(w.figures)
			w.figures = append(w.figures, figureColumn{symbol: f.symbol, measure: f.value.Measure})
		}
		c := &w.figures[i]
		switch {
		case c.formula == "":
			c.formula = f.formula
		case f.formula != "" && !slices.Contains(strings.Split(c.formula, " or "), f.formula):
			c.formula += " or " + f.formula
		}
		for _, symbol := range f.inputs {
			if !slices.Contains(c.inputs, symbol) {
				c.inputs = append(c.inputs, symbol)
			}
		}
	}
}

// arrange puts the columns in an order in which each stands after those that it follows from in any row.
func (w *working) arrange() {
	all := w.figures
	w.figures = make([]figureColumn, 0, len(all))
	seen := make([]bool, len(all))
	var put func(i int)
	put = func(i int) {
		if seen[i] {
			return
		}
		seen[i] = true
		for _, symbol := range all[i].inputs {
			put(slices.IndexFunc(all, func(c figureColumn) bool { return c.symbol == symbol }))
		}
		w.figures = append(w.figures, all[i])
	}
	for i := range all {
		put(i)
	}
}

func (w *working) column(symbol string) int {
	return slices.IndexFunc(w.figures, func(c figureColumn) bool { return c.symbol == symbol })
}
