package read

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"dryarc/audit"
)

// Where the entries of the circuits of one sheet map some columns apart, they share the others: of which circuit a figure of a string is, where
// the strings of the circuits differ, is not said.

// besideCircuits is what tells the circuits of a sheet apart that is read by an entry for each; nil for any other sheet.
type besideCircuits struct {
	alike []besideColumn
	owned []string // the columns of which each entry has its own
}

// besideColumn is a column that says what a string is, by the cells in which the circuits have it.
type besideColumn struct {
	what   string
	cells  []int // which have to be equal; none where the circuits share it
	unlike bool  // the entries say it in ways that cannot be compared
	fills  bool  // a blank cell stands for the one above it
}

// findBeside finds what the entries of other circuits have of their own in the sheet.
func (s *sheetReader[R]) findBeside() *besideCircuits {
	var others []stated
	for _, w := range s.register.workbooks {
		if s.name != assembliesSheet || w.name != s.book.name {
			continue
		}
		for _, found := range w.sheets[s.name] {
			if found.actual == s.found.actual && found.table != s.found.table {
				others = append(others, w.entry.stated(s.name, found))
			}
		}
	}
	if len(others) == 0 {
		return nil
	}
	b := &besideCircuits{}
	for _, of := range [...]struct{ column, what string }{{"Unit", unlikeUnits}, {"Units per string", unlikeCounts}, {"Creepage", unlikeCreepages}, {"Length", unlikeLengths}} {
		c := besideColumn{what: of.what}
		for i := range others {
			s.compareBeside(&c, of.column, &others[i])
		}
		b.alike = append(b.alike, c)
	}
	for _, column := range s.declaredHeadings() {
		if !slices.ContainsFunc(others, func(other stated) bool { return !ownInEach(column, &s.told, &other) }) {
			b.owned = append(b.owned, column)
		}
	}
	return b
}

// declaredHeadings are the columns that a sheet of its kind may have.
func (s *sheetReader[R]) declaredHeadings() (headings []string) {
	for i := range s.columns {
		headings = append(headings, s.columns[i].heading)
	}
	return headings
}

// compareBeside adds the cells of a column of which the sheet and another entry have each its own.
func (s *sheetReader[R]) compareBeside(c *besideColumn, column string, other *stated) {
	own, its := s.placesOf(s.told.mapped[column]), s.placesOf(other.mapped[column])
	fills := slices.Contains(s.told.fillDown, column)
	c.unlike = c.unlike || s.told.fixedOf(column) != other.fixedOf(column) || fills != slices.Contains(other.fillDown, column) || (len(own) > 0) != (len(its) > 0) ||
		len(own) != len(headingsNamed(s.told.mapped[column])) || len(its) != len(headingsNamed(other.mapped[column]))
	c.cells, c.fills = slices.Concat(c.cells, own, its), c.fills || fills
}

// placesOf are the places of the headings that the project file names for a column.
func (s *sheetReader[R]) placesOf(of mappedColumn) (places []int) {
	if len(headingsNamed(of)) == 0 {
		return nil
	}
	for i, heading := range s.shape.headings {
		outside, _ := inBrackets(heading)
		if _, _, is := of.named(heading, outside); is {
			places = append(places, s.shape.places[i])
		}
	}
	return places
}

// ownInEach tells whether each of two entries says a column in a way of its own: by headings that the other does not name, or for every row.
func ownInEach(column string, one, other *stated) bool {
	from, also := headingsNamed(one.mapped[column]), headingsNamed(other.mapped[column])
	says := func(of *stated, headings []string) bool { return len(headings) > 0 || of.fixedOf(column) != "" }
	return says(one, from) && says(other, also) && !slices.ContainsFunc(from, func(heading string) bool { return slices.Contains(also, heading) })
}

// unlikeBeside says what of the strings of the circuits of a row differs, or may; empty where nothing does.
func (s *sheetReader[R]) unlikeBeside() string {
	for i := range s.beside.alike {
		c := &s.beside.alike[i]
		unlike, first := c.unlike, ""
		for k, place := range c.cells {
			cell := ""
			if place < len(s.grid.cells) {
				cell = s.grid.cells[place]
			}
			if cell == "" && s.merged != nil {
				cell = s.merged.text(s.grid.number, place)
			}
			_, formula := s.grid.formulas[place] // without a value
			unlike = unlike || formula || isDitto(strings.TrimSpace(cell)) || strings.TrimSpace(cell) == "" && c.fills
			if cell = nameKey(cell); k == 0 {
				first = cell
			}
			unlike = unlike || cell != first
		}
		if unlike {
			return c.what
		}
	}
	return ""
}

// doubtBeside makes unknown, of a row of a sheet that tells several circuits, the figures of one string that the circuits share while their
// strings differ, and the defective units that they share, which may be those of one of them.
func (r *register) doubtBeside(a *assembly, at audit.Source) {
	if r.beside == nil {
		return
	}
	doubt := func(column string, field audit.Cell, value, expected string) {
		a.Faulty = a.Faulty.With(field)
		if !r.saysOfSheet(column, at.Table) {
			return // said where the sheet was read for a circuit before it
		}
		r.trouble(audit.Fault{At: at, Column: column, Value: value}, &trouble{kind: audit.Implausible, gathered: "shared by the circuits", expected: expected +
			"; which circuit it is of is not known, and what rests on it is not assessed for any of them: name a heading for it in the entry of each circuit too, or give each circuit rows of its own"})
	}
	for _, s := range sharedFigures {
		if r.unlikeCircuits == "" || s.field == audit.CellRating && r.unlikeCircuits != unlikeUnits || slices.Contains(r.beside.owned, s.column) {
			continue
		}
		if figure := s.figure(a); !math.IsNaN(*figure) {
			doubt(s.column, s.field, inDigits(*figure), "is one figure of a row on which "+r.unlikeCircuits+" of the circuits differ")
			*figure = math.NaN()
		}
	}
	if a.Defective > 0 && !slices.Contains(r.beside.owned, "Defective units") {
		doubt("Defective units", audit.CellDefective, strconv.Itoa(int(a.Defective)), "is one number of a row of several circuits, which may be that of one of them")
		a.Defective = -1
	}
}

// saysOfSheet tells whether what circuits share in a column is said where a table is read: of a sheet it is said once, whatever number of
// entries read it.
func (r *register) saysOfSheet(column string, table uint16) bool {
	of := &r.project.Tables[table]
	key := [3]string{of.File, of.Sheet, column}
	first, said := r.sharedSaid[key]
	if !said {
		if r.sharedSaid == nil {
			r.sharedSaid = map[[3]string]uint16{}
		}
		r.sharedSaid[key] = table
	}
	return !said || first == table
}
