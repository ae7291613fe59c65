package audit

import (
	"cmp"
	"maps"
	"slices"
	"strings"
)

// CarriedTexts are the texts of the inputs that the project file carries through to the outputs: of each row those of some
// headings or properties. Nothing rests on them but notes of the watch list, by the make. The zero value is ready, and holds nothing where nothing is carried.
type CarriedTexts struct {
	Names []string // of every input, in the order in which they were met
	// texts holds those of a row one behind the other; at is where they begin.
	texts []carriedText
	at    map[Source]uint32
	// nothing holds the texts that are words for nothing, which are shown and are no names.
	nothing map[Symbol]bool
}

type carriedText struct {
	name uint16 // in Names
	more bool   // another of the row follows
	text Symbol
}

// Add keeps a text of a row. Those of one row are added one behind the other.
func (c *CarriedTexts) Add(at Source, name string, text Symbol) {
	if c.at == nil {
		c.at = map[Source]uint32{}
	}
	if _, known := c.at[at]; known {
		c.texts[len(c.texts)-1].more = true
	} else {
		c.at[at] = uint32(len(c.texts))
	}
	c.texts = append(c.texts, carriedText{name: c.number(name), text: text})
}

// SaysNothing notes that a text is a word for nothing, as n/a and unknown are.
func (c *CarriedTexts) SaysNothing(text Symbol) {
	if c.nothing == nil {
		c.nothing = map[Symbol]bool{}
	}
	c.nothing[text] = true
}

// number returns the place of a name among the names, a new one if it is new.
func (c *CarriedTexts) number(name string) uint16 {
	i := slices.Index(c.Names, name)
	if i < 0 {
		i = len(c.Names)
		c.Names = append(c.Names, name)
	}
	return uint16(i)
}

// Merge adds what another reader carried, whose symbols are numbered anew.
func (c *CarriedTexts) Merge(other *CarriedTexts, symbol func(Symbol) Symbol) {
	for _, name := range other.Names {
		c.number(name)
	}
	for text := range other.nothing {
		c.SaysNothing(symbol(text))
	}
	rows := slices.SortedFunc(maps.Keys(other.at), func(a, b Source) int { return cmp.Or(cmp.Compare(a.Table, b.Table), cmp.Compare(a.Row, b.Row)) })
	for _, at := range rows {
		i := other.at[at]
		for more := true; more; i++ {
			t := other.texts[i]
			c.Add(at, other.Names[t.name], symbol(t.text))
			more = t.more
		}
	}
}

// CarriedHere returns what is carried of a structure of a line, by Carried.Names: the distinct texts of the rows that hang there, else
// that of the structure, else that of the line.
func (n *Network) CarriedHere(line, structure int) [][]string {
	p := n.Project
	here := make([][]string, len(p.Carried.Names))
	note := func(at Source, take func(i int) bool) {
		for i, text := range p.CarriedAt(at) {
			if text != "" && take(i) && !slices.Contains(here[i], text) {
				here[i] = append(here[i], text)
			}
		}
	}
	if len(here) == 0 {
		return here
	}
	for _, row := range n.AssemblyRows(structure) {
		note(p.Assemblies.At(int(row)).Source, func(int) bool { return true })
	}
	none := func(i int) bool { return len(here[i]) == 0 }
	note(n.Source(structure), none)
	if at := n.Lines[line].Row.Source; at.Row > 0 {
		note(at, none)
	}
	return here
}

// CarriedAt returns what is carried, by Carried.Names, of the first of several rows that has it; empty where none has.
func (p *Project) CarriedAt(rows ...Source) []string {
	texts := make([]string, len(p.Carried.Names))
	for _, at := range rows {
		i, more := p.Carried.at[at]
		for ; more; i++ {
			t := p.Carried.texts[i]
			if texts[t.name] == "" {
				texts[t.name] = p.Symbols.Text(t.text)
			}
			more = t.more
		}
	}
	return texts
}

// MakeHeadings are the headings under which registers have the make of what hangs, in English, Spanish, Portuguese, French, German and Polish
// (common practice).
func MakeHeadings() []string {
	return []string{"Make", "Maker", "Manufacturer", "fabricante", "fabricant", "Hersteller", "producent"}
}

// IsMakeHeading tells whether a heading is one of a make, whatever its case.
func IsMakeHeading(heading string) bool {
	return slices.ContainsFunc(MakeHeadings(), func(name string) bool { return strings.EqualFold(name, strings.TrimSpace(heading)) })
}

// makes are the places in Names of the columns that have the make.
func (c *CarriedTexts) makes() (at []uint16) {
	for i, name := range c.Names {
		if IsMakeHeading(name) {
			at = append(at, uint16(i))
		}
	}
	return at
}

// first is the first text of a row under some of Names that is a name; 0 where it has none.
func (c *CarriedTexts) first(of Source, names []uint16) Symbol {
	if len(names) == 0 {
		return 0
	}
	i, more := c.at[of]
	for ; more; i++ {
		if t := c.texts[i]; t.text != 0 && !c.nothing[t.text] && slices.Contains(names, t.name) {
			return t.text
		}
		more = c.texts[i].more
	}
	return 0
}
