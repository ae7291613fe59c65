package draft

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"dryarc/audit"
	"dryarc/audit/read"
)

// openTo lists the headings of an entry that stand for nothing, with some of their cells, each as a line to complete and take the # from.
func (e *entry) openTo(to *page) {
	unused := e.unused()
	if len(unused) == 0 {
		return
	}
	const most = 40
	depth := 3
	if len(e.mapped) == 0 {
		to.ask(2, "columns:", "headings that stand for nothing as yet: take out this # and that of a line, and put the column for its ?")
	} else {
		to.remark(depth, "Headings that stand for nothing as yet: put the column for the ? of a line and take out its #.")
	}
	for _, heading := range unused[:min(most, len(unused))] {
		to.ask(depth, `"?": `+quoted(heading), e.sample(heading))
	}
	if more := len(unused) - most; more > 0 {
		to.remark(depth, fmt.Sprintf("and %d more", more))
	}
}

// sample is what stands below a heading, shortly.
func (e *entry) sample(heading string) string {
	c := e.fit.Column(heading)
	if len(c.Values) == 0 {
		return "nothing below it"
	}
	sample := "cells such as " + named(someValues(c), 3)
	if more := len(c.Values) - 3; more > 0 && c.Cut {
		sample = fmt.Sprintf("cells such as %s and more than %d others", named(someValues(c)[:3], 3), more)
	}
	return sample
}

// askFillDown asks whether what only some rows state holds for those below them.
func (e *entry) askFillDown(to *page) {
	if e.kind != assemblies {
		return
	}
	most := 0
	for _, c := range e.fit.Columns {
		most = max(most, c.Rows)
	}
	var names, why []string
	for _, column := range []string{"Line", "Structure"} {
		c := e.fit.Column(e.headingOf(column))
		if c.Rows > 0 && c.Rows < most {
			names, why = append(names, column), append(why, fmt.Sprintf("%d of %d rows state %s", c.Rows, most, column))
		}
	}
	if len(names) > 0 {
		to.ask(2, "fill_down: ["+strings.Join(names, ", ")+"]", strings.Join(why, ", ")+": does it hold for the rows below, up to the next that states one? As long as nothing is said here, rows without are left out")
	}
	for _, column := range e.dittos() {
		to.remark(2, fmt.Sprintf("%q has marks for the same as above: name its column under fill_down where that is meant", column))
	}
}

// headingOf is the heading that stands for a column; empty where none does.
func (e *entry) headingOf(column string) string {
	for _, m := range e.mapped {
		if m.name == column && !m.asked {
			return m.to
		}
	}
	return e.fit.Finds(column)
}

// dittos are the headings with marks for the same as above.
func (e *entry) dittos() (headings []string) {
	for _, c := range e.fit.Columns {
		if e.takes(c.Name) && c.Name != e.fit.Finds("Remarks") && slices.ContainsFunc(c.Values, func(v read.LookedValue) bool { return read.IsDitto(v.Text) }) {
			headings = append(headings, c.Name)
		}
	}
	return headings
}

// guess maps what a table must have by a heading that the reader does not take for it by itself, as it may mean another thing elsewhere.
func (d *draft) guess(e *entry, column read.Column) bool {
	take := func(heading, why string) bool {
		if heading == "" {
			return false
		}
		e.mapped = append(e.mapped, mapping{name: column.Name, to: heading, why: why})
		return true
	}
	only := func(names ...string) (heading string) {
		for _, c := range e.fit.Columns {
			if slices.Contains(names, read.HeadingKey(c.Name)) && !e.takes(c.Name) && c.Rows > 0 {
				if heading != "" {
					return ""
				}
				heading = c.Name
			}
		}
		return heading
	}
	switch {
	case e.kind == lines && column.Name == "Line" && e.fit.Finds("Name") != "":
		return d.guessLine(e, only("circuitid", "feederid") != "")
	case e.kind == lines && column.Name == "Nominal voltage":
		heading := only("kv", "voltagekv", "systemkv", "nivelkv", "voltageclass")
		if heading == "" || share(e.fit.Column(heading), read.CellReads(e.kind, column.Name)) < 1 {
			return false
		}
		return take(heading, "a guess: is it the nominal voltage, and not the highest?")
	case e.kind == assemblies && column.Name == "Phase":
		heading := only("leiter", "phasenleiter", "conductor", "hilo", "cond")
		if heading == "" || share(e.fit.Column(heading), isPhase) < 1 {
			return false
		}
		return take(heading, "a guess: its cells are all phases")
	case e.kind == assemblies && column.Name == "Circuit":
		if heading := only("system", "systemnr", "linie"); heading != "" {
			e.mapped = append(e.mapped, mapping{name: column.Name, to: heading, asked: true, why: "is it? Cells such as " + named(someValues(e.fit.Column(heading)), 3)})
			return true
		}
	case e.kind == "Units" && column.Name == "Unit":
		return take(only("type", "typ", "tipo", "modelo", "model", "modele"), "a guess: no other heading names the unit")
	}
	return false
}

// isPhase tells whether a text names one phase.
func isPhase(text string) bool {
	phase, ok := audit.ParsePhases(text)
	return ok && phase != 0 && phase&(phase-1) == 0
}

// guessLine finds the column of the line among the names of a sheet of lines and what else has a text of its own in each row; where several may
// be it, it is asked.
func (d *draft) guessLine(e *entry, identified bool) bool {
	name := e.fit.Finds("Name")
	known := func(heading string) bool {
		return share(e.fit.Column(heading), func(text string) bool { return d.haveKeys[read.HeadingKey(text)] }) >= surely
	}
	candidates := []string{name}
	for _, c := range e.fit.Columns {
		if !e.takes(c.Name) && c.Name != name && e.namesRows(c) {
			candidates = append(candidates, c.Name)
		}
	}
	ours := slices.DeleteFunc(slices.Clone(candidates), func(heading string) bool { return !known(heading) })
	switch {
	case len(ours) == 1 && ours[0] == name:
		e.mapped = append(e.mapped, mapping{name: "Line", to: name, why: "a guess: its values are lines of the layers"})
	case len(ours) == 1:
		return false // which is told by its values
	case len(candidates) > 1:
		var why []string
		for _, heading := range candidates {
			why = append(why, fmt.Sprintf("%q has %s", shortened(heading), named(someValues(e.fit.Column(heading)), 2)))
		}
		e.mapped = append(e.mapped, mapping{name: "Line", to: "?", asked: true, why: "which of " + named(candidates, 8) + "? " + strings.Join(why, "; ")})
	case identified:
		return false
	default:
		e.mapped = append(e.mapped, mapping{name: "Line", to: name, why: "a guess: no other heading names the line"})
	}
	return true
}

// namesRows tells whether a column has a text of its own in each row, with a letter in it.
func (e *entry) namesRows(c read.LookedColumn) bool {
	most := 0
	for _, other := range e.fit.Columns {
		most = max(most, other.Rows)
	}
	hasLetter := func(text string) bool { return strings.IndexFunc(text, unicode.IsLetter) >= 0 }
	return c.Rows == most && len(c.Values) == c.Rows && share(c, hasLetter) == 1
}
