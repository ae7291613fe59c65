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
	ordered := slices.Clone(kind.Columns)
	slices.SortStableFunc(ordered, func(a, b read.Column) int { // those that every row needs first, so that no other takes their headings
		switch {
		case a.Required == b.Required:
			return 0
		case a.Required:
			return -1
		}
		return 1
	})
	for _, column := range ordered {
		if e.fit.Finds(column.Name) != "" || slices.ContainsFunc(e.mapped, func(m mapping) bool { return m.name == column.Name }) {
			continue
		}
		if !d.guess(e, column) {
			d.column(e, column, sheet)
		}
	}
}

// column looks for the heading of a column that the reader does not find.
func (d *draft) column(e *entry, column read.Column, sheet string) {
	var sure, perhaps, alike []string
	for _, c := range e.fit.Columns {
		if e.takes(c.Name) || c.Rows == 0 {
			continue
		}
		if isCount := column.Number && len(column.Units) == 0; isCount && saysVoltage(c.Name) || (isCount || len(column.Words) > 0) && inKilovolts(c.Name) {
			continue // 66 and 22 may be counts by their figures alone
		}
		looks := likenessOf(c.Name, column)
		fits, tells := d.fits(e, column, c)
		switch {
		case fits && tells && (looks == called || tellsAlone(column)) && e.isWhole(column, c) && !read.OfAnotherTime(c.Name):
			sure = append(sure, c.Name)
		case looks > unlike:
			alike = append(alike, c.Name)
		case fits && (tells || column.Required):
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
	return share(e.fit.Column(heading), read.CellReads(e.kind, column.Name)) > 0
}

// isWhole tells whether a column that every row needs has something in nearly every row: what only some rows have is another thing.
func (e *entry) isWhole(column read.Column, c read.LookedColumn) bool {
	most := 0
	for _, other := range e.fit.Columns {
		most = max(most, other.Rows)
	}
	return !column.Required || column.Name == "Units per string" || float64(c.Rows) >= surely*float64(most)
}

// tellsAlone tells whether the values of a column say what it is whatever its heading: names of the layers, and types of units.
func tellsAlone(column read.Column) bool {
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
	return "the heading is a name of it but for the writing, and its cells are words or days that are read as such"
}

// fits tells whether a column of a file may be one of the register by its values, and whether they tell more than that they are numbers
// or texts.
func (d *draft) fits(e *entry, column read.Column, c read.LookedColumn) (fits, tells bool) {
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
	reads := share(c, read.CellReads(e.kind, column.Name)) >= surely
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
		bare := mapping{name: column.Name, asked: true, why: "is it? Headings that name a phase and nothing else, over whole numbers"}
		var set, bareSet audit.Phases
		for _, c := range e.fit.Columns {
			fields := strings.Fields(strings.Map(func(r rune) rune {
				if strings.ContainsRune("()[]_-–/:", r) {
					return ' '
				}
				return r
			}, c.Name))
			if len(fields) == 0 || e.fit.Uses(c.Name) {
				continue
			}
			for _, at := range []int{len(fields) - 1, 0} {
				rest := slices.Delete(slices.Clone(fields), at, at+1)
				phase, ok := audit.ParsePhases(fields[at])
				if !ok || phase&(phase-1) != 0 {
					continue
				}
				of := [2]string{fields[at], c.Name}
				if rest = slices.DeleteFunc(rest, isPhaseWord); isCalled(strings.Join(rest, " "), column) {
					byPhase.phases = append(byPhase.phases, of)
					set |= phase
					break
				}
				if len(rest) == 0 && column.Name == "Units per string" && share(c, read.CellReads(e.kind, column.Name)) >= surely {
					bare.phases = append(bare.phases, of)
					bareSet |= phase
					break
				}
			}
		}
		switch {
		case len(byPhase.phases) == 3 && set.Count() == 3:
			e.mapped = append(e.mapped, byPhase)
		case len(bare.phases) == 3 && bareSet.Count() == 3:
			e.mapped = append(e.mapped, bare)
		}
	}
}

// isPhaseWord tells whether a word of a heading says no more than that a phase follows, or stands before (common practice).
func isPhaseWord(word string) bool {
	return slices.Contains([]string{"phase", "ph", "fase", "faza", "faze", "fáze", "fáza", "faz", "fas", "leiter", "conductor", "phasenleiter", "außenleiter", "vaihe", "fázis"}, strings.ToLower(word))
}

// isCalled tells whether a heading is a name of a column.
func isCalled(heading string, column read.Column) bool {
	key := read.HeadingKey(heading)
	return key == read.HeadingKey(column.Name) || key == read.HeadingKey(column.Heading) ||
		slices.ContainsFunc(column.Synonyms, func(name string) bool { return read.HeadingKey(name) == key })
}

// saysVoltage tells whether a heading is one of voltages: no count, then.
func saysVoltage(heading string) bool {
	return inKilovolts(heading) || slices.ContainsFunc([]string{"voltage", "voltaje", "tensión", "tension", "tensão", "tensao", "spannung", "gerilim", "napięcie", "tensione"}, func(part string) bool {
		return slices.ContainsFunc(wordsOf(heading), func(word string) bool { return strings.HasPrefix(word, part) })
	})
}

func inKilovolts(heading string) bool {
	return slices.Contains(wordsOf(heading), "kv") || strings.HasSuffix(read.HeadingKey(heading), "kv")
}

// likeness is how much a heading is like a name of a column.
type likeness uint8

const (
	unlike  likeness = iota
	related          // it has a word in common, or is written nearly so
	called           // all its words are those of a name, perhaps shortened, but for such as say nothing
)

// likenessOf compares a heading with the names of a column. How long a word in common or a name written nearly so must be is a choice of
// this program.
func likenessOf(heading string, column read.Column) (best likeness) {
	plain, _, _ := strings.Cut(heading, "(")
	all := wordsOf(plain)
	own := telling(all)
	if len(own) == 0 {
		return unlike
	}
	foreign := ofAnother(all, column)
	for _, name := range append([]string{column.Name}, column.Synonyms...) {
		words := telling(wordsOf(name))
		if len(words) == len(own) && shortenedTo(own, words) && !foreign {
			return called
		}
		joined := strings.Join(words, " ")
		if len(joined) >= 5 && read.Near(strings.Join(own, " "), []string{joined}) != "" {
			best = related
		}
		for _, word := range words {
			if len(word) >= 4 && slices.Contains(own, word) && !foreign {
				best = related
			}
		}
	}
	return best
}

// telling are the words that stand not in the names of many columns.
func telling(words []string) []string {
	return slices.DeleteFunc(slices.Clone(words), func(word string) bool { return slices.Contains(common(), word) })
}

// common are words that stand in the names of many columns, and so tell none.
func common() []string {
	return []string{"type", "number", "name", "date", "code", "rated", "maximum", "units", "unit", "limit", "angle", "level", "voltage", "tension", "temperature",
		"withstand", "distance", "length", "factor", "weight", "span", "of", "no", "id"}
}

// ofAnother tells whether a heading is one of structures, which a column of the assemblies is not: the type of a tower is no duty of a
// string.
func ofAnother(words []string, column read.Column) bool {
	return column.Name != "Structure" && slices.ContainsFunc(words, func(word string) bool {
		return slices.Contains([]string{"tower", "structure", "pole", "mast", "support", "str"}, word)
	})
}

// shortenedTo tells whether each word is that at its place or the start of it, of three letters at least (a choice of this program), or the
// other way round.
func shortenedTo(words, of []string) bool {
	for i := range words {
		short, long := words[i], of[i]
		if len(short) > len(long) {
			short, long = long, short
		}
		if short != long && (len(short) < 3 || !strings.HasPrefix(long, short)) {
			return false
		}
	}
	return true
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
