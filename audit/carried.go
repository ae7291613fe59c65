package audit

import "slices"

// Carried are the texts of the inputs that the project file carries through to the outputs: of each row those of some
// headings or properties. Nothing rests on them. The zero value is ready, and holds nothing where nothing is carried.
type Carried struct {
	Names []string // of every input, in the order in which they were met
	texts map[Source][]carriedText
}

type carriedText struct {
	name int // in Names
	text Symbol
}

// Add keeps a text of a row.
func (c *Carried) Add(at Source, name string, text Symbol) {
	if c.texts == nil {
		c.texts = map[Source][]carriedText{}
	}
	c.texts[at] = append(c.texts[at], carriedText{c.Number(name), text})
}

// Number returns the place of a name among the names, a new one if it is new.
func (c *Carried) Number(name string) int {
	i := slices.Index(c.Names, name)
	if i < 0 {
		i = len(c.Names)
		c.Names = append(c.Names, name)
	}
	return i
}

// Merge adds what another reader carried, whose symbols are numbered anew.
func (c *Carried) Merge(other *Carried, symbol func(Symbol) Symbol) {
	for _, name := range other.Names {
		c.Number(name)
	}
	for at, texts := range other.texts {
		for _, t := range texts {
			c.Add(at, other.Names[t.name], symbol(t.text))
		}
	}
}

// carriedOf fills in the texts of a row that are still empty.
func (p *Project) carriedOf(texts []string, at Source) {
	for _, t := range p.Carried.texts[at] {
		if texts[t.name] == "" {
			texts[t.name] = p.Symbols.Text(t.text)
		}
	}
}

// CarriedAt returns what is carried, by Carried.Names, of the first of several rows that has it.
func (p *Project) CarriedAt(rows ...Source) []string {
	texts := make([]string, len(p.Carried.Names))
	for _, at := range rows {
		p.carriedOf(texts, at)
	}
	return texts
}
