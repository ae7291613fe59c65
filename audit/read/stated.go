package read

import (
	"fmt"
	"slices"
	"strings"
)

// stated is what the project file says of the columns of one sheet.
type stated struct {
	mapped map[string]mappedColumn // by column
	fixed  []fixedValue
	// fillDown are the columns that are filled down, the outermost first.
	fillDown []string
	headings headingRowsStated
	choice
	everyHeading bool // the headings of the choice must be there
}

// stated is what an entry says of a sheet of a kind.
func (e *registerEntry) stated(kind string, found foundSheet) stated {
	told := stated{mapped: e.columns[kind], fixed: found.fixed, fillDown: found.fillDown, headings: found.headings, choice: e.choice, everyHeading: kind == assembliesSheet || !found.besideAssemblies}
	if direct := e.columns[allSheets]; direct != nil {
		told.mapped = map[string]mappedColumn{}
		for _, of := range [...]map[string]mappedColumn{direct, e.columns[kind]} {
			for column, heading := range of {
				told.mapped[column] = heading
			}
		}
	}
	return told
}

// fixedOf is what the project file says of a column; the sheet's own word wins over the entry's, which stands before it.
func (t *stated) fixedOf(column string) string {
	for _, f := range slices.Backward(t.fixed) {
		if f.column == column {
			return f.text
		}
	}
	return ""
}

// named tells whether a heading is the one that the project file names for the column, and for which phase.
func (m *mappedColumn) named(heading, outside string) (p property, phase string, is bool) {
	same := func(name string) bool {
		return headingKey(name) == headingKey(heading) || headingKey(name) == headingKey(outside)
	}
	for _, h := range m.phases {
		if strings.TrimSpace(h.name) == heading || same(h.name) {
			return h.property, h.phase, true
		}
	}
	return m.property, "", len(m.phases) == 0 && same(m.name)
}

// notThere is the problem of a heading that the project file names for a column and that is no heading of its own there. Meant may be one
// that stands for no other column.
func (l *layout[R]) notThere(name, column string, found [][]candidate[R]) {
	free := slices.Clone(l.headings)
	for _, of := range found {
		for _, c := range of {
			if c.column.heading == column {
				continue
			}
			if headingKey(c.heading) == headingKey(name) {
				l.refuse(fmt.Sprintf("heading %q is named for the columns %q and %q in the project file, expected one", c.heading, c.column.heading, column),
					"take out one of the two under register: columns, or name the heading that is meant")
				return
			}
			free = slices.DeleteFunc(free, func(heading string) bool { return heading == c.heading })
		}
	}
	hint := "write the heading under register: columns as it stands in the sheet"
	close := near(name, free)
	if longer := slices.IndexFunc(free, func(heading string) bool {
		return len(name) > 2 && strings.HasPrefix(headingKey(heading), headingKey(name))
	}); longer >= 0 {
		close = free[longer]
	}
	if close != "" {
		hint = fmt.Sprintf("if %q is meant, write under register in the project file: columns: {%s: {%s: %q}}", close, sheetMark, column, close)
	}
	l.refuse(fmt.Sprintf("has no heading %q, which the project file names for the column %q; the headings there are %s",
		name, column, quotedList(l.headings)), hint)
}

// chooseByPhase takes the heading of each phase.
func (l *layout[R]) chooseByPhase(c *column[R], phases []phaseHeading, all [][]candidate[R], found []candidate[R]) {
	for _, h := range phases {
		at := -1
		for i, other := range found {
			switch {
			case other.phase != h.phase:
			case at < 0:
				at = i
			default:
				l.refuse(fmt.Sprintf("headings %q and %q both stand for the column %q of phase %q, expected one",
					found[at].heading, other.heading, c.heading, h.phase), "write one of the two headings otherwise in the file")
			}
		}
		if at < 0 {
			l.notThere(h.name, c.heading, all)
			continue
		}
		l.columns = append(l.columns, found[at].placed)
		if !slices.Contains(l.phases, h.phase) {
			l.phases = append(l.phases, h.phase)
		}
	}
	for _, other := range found {
		if other.phase == "" {
			l.others = append(l.others, otherHeading{other.index, other.heading, fmt.Sprintf("%q has a column for each phase", c.heading)})
		}
	}
}

// checkPhases refuses columns for each phase that do not fit together.
func (l *layout[R]) checkPhases() {
	if len(l.phases) == 0 || len(l.problems) > 0 {
		return
	}
	of := map[string]int{}
	first := ""
	for _, p := range l.columns {
		if p.phase != "" {
			of[p.column.heading]++
			if first == "" {
				first = p.column.heading
			}
		}
		if p.column.heading == "Phase" {
			l.refuse(`has the column "Phase" beside columns for each phase, expected one or the other`,
				"take out the columns for each phase, or have the column of the phase called otherwise")
		}
	}
	for _, p := range l.columns {
		if n := of[p.column.heading]; n > 0 && n != len(l.phases) {
			l.refuse(fmt.Sprintf("the columns %q and %q have headings for different phases, expected the same", first, p.column.heading),
				"name a heading for each phase, of every column that has one")
			return
		}
	}
}

// findOthers finds the headings that are no columns: those by which rows are chosen, and those that are carried through.
func (l *layout[R]) findOthers(told stated) {
	find := func(name, key, why string) (place int, found bool) {
		place = -1
		for i, heading := range l.headings {
			if headingKey(heading) != headingKey(name) {
				continue
			}
			if place >= 0 {
				l.refuse(fmt.Sprintf("has the heading %q twice, which the project file names under %s", heading, key),
					"write one of the two headings otherwise in the file; equal ones cannot be told apart")
			}
			place = l.places[i]
		}
		if place < 0 && told.everyHeading {
			l.refuse(notThere("heading", name, key, l.headings))
		}
		for i := range l.others {
			if l.others[i].index == place && l.others[i].why == "" {
				l.others[i].why = why
			}
		}
		return place, place >= 0
	}
	for _, o := range told.only {
		place, _ := find(o.name, "only", "but chooses the rows: "+strings.Join(o.values, ", "))
		l.only = append(l.only, place)
	}
	for _, name := range told.carry {
		place, _ := find(name, "carry", "but carried through")
		l.carried = append(l.carried, place)
	}
}

// passes are the columns to read of a row, once, or once for each phase that has columns of its own.
func (l *layout[R]) passes() [][]int {
	if len(l.phases) == 0 {
		all := make([]int, len(l.columns))
		for i := range all {
			all[i] = i
		}
		return [][]int{all}
	}
	var passes [][]int
	for _, phase := range l.phases {
		var pass []int
		for i := range l.columns {
			if of := l.columns[i].phase; of == "" || of == phase {
				pass = append(pass, i)
			}
		}
		passes = append(passes, pass)
	}
	return passes
}
