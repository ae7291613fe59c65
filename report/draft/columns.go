package draft

import (
	"slices"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
	"dryarc/audit/read"
)

// columns maps what the reader would not find by itself: where heading and values together leave no doubt, by a mapping, else by a question.
func (d *draft) columns(e *entry, sheet string) {
	kinds := read.Sheets()
	kind := kinds[slices.IndexFunc(kinds, func(s read.Sheet) bool { return s.Name == e.kind })]
	e.phased(kind)
	for _, column := range kind.Columns {
		if e.fit.Finds(column.Name) != "" || slices.ContainsFunc(e.mapped, func(m mapping) bool { return m.name == column.Name }) {
			continue
		}
		d.column(e, column, sheet)
	}
}

// column looks for the heading of a column that the reader does not find.
func (d *draft) column(e *entry, column read.Column, sheet string) {
	var sure, perhaps, alike []string
	for _, c := range e.fit.Columns {
		if e.takes(c.Name) || c.Rows == 0 {
			continue
		}
		looks := isLike(c.Name, column)
		fits, telling := d.fits(e, column, c)
		switch {
		case fits && telling && (looks || d.tellsAlone(column)):
			sure = append(sure, c.Name)
		case looks:
			alike = append(alike, c.Name)
		case fits && (telling || column.Required):
			perhaps = append(perhaps, c.Name)
		}
	}
	candidates := slices.Concat(sure, alike, perhaps)
	switch {
	case len(sure) == 1 && !slices.ContainsFunc(alike, func(heading string) bool { return d.mayBe(e, column, heading) }):
		e.mapped = append(e.mapped, mapping{name: column.Name, to: sure[0], why: d.reason(column)})
	case len(candidates) == 0 && column.Name == "Line" && d.fixedLine(e, sheet):
	case len(candidates) == 0 && column.Required:
		e.mapped = append(e.mapped, mapping{name: column.Name, to: "?", asked: true, why: "which of " + named(e.unused(), 12) + "? Without it nothing is read of the sheet"})
	case len(candidates) == 1:
		e.mapped = append(e.mapped, mapping{name: column.Name, to: candidates[0], asked: true, why: "is it? Cells such as " + named(someValues(e.fit.Column(candidates[0])), 3)})
	case len(candidates) > 1:
		e.mapped = append(e.mapped, mapping{name: column.Name, to: "?", asked: true, why: "which of " + named(candidates, 8) + "?"})
	}
}

// mayBe tells whether some of the cells below a heading are read as those of a column.
func (d *draft) mayBe(e *entry, column read.Column, heading string) bool {
	return share(e.fit.Column(heading), func(text string) bool { return read.CellReads(e.kind, column.Name, text) }) > 0
}

// tellsAlone tells whether the values of a column say what it is whatever its heading: names of the layers, and types of units.
func (d *draft) tellsAlone(column read.Column) bool {
	return column.Name == "Line" || column.Name == "Unit"
}

func (d *draft) reason(column read.Column) string {
	switch column.Name {
	case "Line":
		return "its values are lines of the layers"
	case "Structure":
		return "its values are structures of the layers"
	case "Unit":
		return "its values are units of the catalogue"
	}
	return "the heading is like it, and its cells are words or days that are read as such"
}

// fits tells whether a column of a file may be one of the register by its values, and whether they tell more than that they are numbers
// or texts.
func (d *draft) fits(e *entry, column read.Column, c read.LookedColumn) (fits, telling bool) {
	switch column.Name {
	case "Line":
		return share(c, func(text string) bool { return d.haveKeys[read.HeadingKey(text)] }) >= surely, true
	case "Structure":
		return share(c, func(text string) bool { return d.numbers[read.HeadingKey(text)] }) >= surely, true
	case "Unit":
		catalogue := basis.Catalogue()
		return e.kind == assemblies && share(c, func(text string) bool {
			return slices.ContainsFunc(catalogue, func(unit basis.Unit) bool { return read.HeadingKey(unit.Name) == read.HeadingKey(text) })
		}) >= surely, true
	}
	reads := share(c, func(text string) bool { return read.CellReads(e.kind, column.Name, text) }) >= surely
	return reads, len(column.Words) > 0 || column.Date
}

// phased maps headings that differ by a phase alone, as Units A, Units B and Units C.
func (e *entry) phased(kind read.Sheet) {
	if e.kind != assemblies || e.fit.Finds("Phase") != "" {
		return
	}
	for _, column := range kind.Columns {
		if slices.Contains([]string{"Line", "Structure", "Circuit", "Phase", "Side"}, column.Name) || e.fit.Finds(column.Name) != "" {
			continue
		}
		byPhase := mapping{name: column.Name, why: "headings that differ by the phase alone"}
		var set audit.Phases
		for _, c := range e.fit.Columns {
			fields := strings.Fields(strings.Map(func(r rune) rune {
				if strings.ContainsRune("()[]_-–/:", r) {
					return ' '
				}
				return r
			}, c.Name))
			if len(fields) < 2 || e.fit.Uses(c.Name) {
				continue
			}
			for _, at := range []int{len(fields) - 1, 0} {
				rest := slices.Delete(slices.Clone(fields), at, at+1)
				phase, ok := audit.ParsePhases(fields[at])
				if ok && phase&(phase-1) == 0 && isCalled(strings.TrimSuffix(strings.Join(rest, " "), " phase"), column) {
					byPhase.phases = append(byPhase.phases, [2]string{fields[at], c.Name})
					set |= phase
					break
				}
			}
		}
		if n := len(byPhase.phases); n == 3 && set&(set-1) != 0 {
			e.mapped = append(e.mapped, byPhase)
		}
	}
}

// isCalled tells whether a heading is a name of a column.
func isCalled(heading string, column read.Column) bool {
	key := read.HeadingKey(heading)
	return key == read.HeadingKey(column.Name) || key == read.HeadingKey(column.Heading) ||
		slices.ContainsFunc(column.Synonyms, func(name string) bool { return read.HeadingKey(name) == key })
}

// isLike tells whether a heading is like a name of a column: written a little otherwise, shortened, or with a word of it that only
// it has.
func isLike(heading string, column read.Column) bool {
	plain, _, _ := strings.Cut(heading, "(")
	own := wordsOf(plain)
	for _, name := range append([]string{column.Name}, column.Synonyms...) {
		words := wordsOf(name)
		if len(words) == len(own) && len(own) > 0 && shortens(own, words) {
			return true
		}
		if len(own) > 0 && len(read.HeadingKey(name)) >= 5 && read.Near(strings.Join(own, " "), []string{strings.Join(words, " ")}) != "" {
			return true
		}
		for _, word := range words {
			if len(word) >= 4 && !slices.Contains(common(), word) && slices.Contains(own, word) && !ofAnother(own, column) {
				return true
			}
		}
	}
	return false
}

// common are words that stand in the names of many columns, and so tell none.
func common() []string {
	return []string{"type", "number", "name", "date", "code", "rated", "maximum", "units", "unit", "limit", "angle", "level", "voltage", "tension", "temperature",
		"withstand", "distance", "length", "factor", "weight", "span"}
}

// ofAnother tells whether a heading is one of structures, which a column of the assemblies is not: the type of a tower is no duty of a
// string.
func ofAnother(words []string, column read.Column) bool {
	return column.Name != "Structure" && slices.ContainsFunc(words, func(word string) bool {
		return slices.Contains([]string{"tower", "structure", "pole", "mast", "support", "str"}, word)
	})
}

// shortens tells whether each word is the start of the one at its place, of three letters at least, or the other way round.
func shortens(words, of []string) bool {
	shorter := false
	for i := range words {
		switch {
		case words[i] == of[i]:
		case len(words[i]) >= 3 && strings.HasPrefix(of[i], words[i]), len(of[i]) >= 3 && strings.HasPrefix(words[i], of[i]):
			shorter = true
		default:
			return false
		}
	}
	return shorter
}

// wordsOf are the words of a heading, in small letters.
func wordsOf(heading string) []string {
	return strings.FieldsFunc(strings.ToLower(heading), func(r rune) bool { return read.HeadingKey(string(r)) == "" })
}

func someValues(c read.LookedColumn) (texts []string) {
	for _, value := range c.Values {
		texts = append(texts, value.Text)
	}
	return texts
}
