package read

import "slices"

// chooser chooses the features of a file that are read, and carries of them what the project file says.
type chooser struct {
	*layer
	only, carried []chosenProperty
}

// chosenProperty is a property that the project file names without its being one of the layer's.
type chosenProperty struct {
	name string // as the file has it, once it is known
	seen bool
}

func (l *layer) newChooser() *chooser {
	c := &chooser{layer: l}
	for _, o := range l.only {
		c.only = append(c.only, chosenProperty{name: o.name})
	}
	for _, name := range l.choice.carry {
		c.carried = append(c.carried, chosenProperty{name: name})
	}
	return c
}

// text is the text of a property in a feature, by its name whatever its case and blanks. A list or an object is text as it
// stands.
func (p *chosenProperty) text(f *feature) string {
	raw := f.property(p.name)
	if raw == nil && !p.seen {
		for i := range f.members {
			if name := string(f.members[i].Name); headingKey(name) == headingKey(p.name) {
				p.name, raw = name, f.members[i].Value
			}
		}
	}
	p.seen = p.seen || raw != nil
	text, _ := propertyText(raw)
	return text
}

// chosen tells whether a feature is one of those that the project file reads.
func (c *chooser) chosen(f *feature) bool {
	chosen := true
	for i := range c.only {
		chosen = c.layer.only[i].holds(c.only[i].text(f)) && chosen
	}
	return chosen
}

// carry keeps what is carried through of a feature that is used.
func (c *chooser) carry(f *feature) {
	for i := range c.carried {
		if text := c.carried[i].text(f); text != "" {
			c.project.Carried.Add(c.source(f), c.choice.carry[i], c.project.Symbols.Number(cutCarried(text)))
		}
	}
}

// check refuses a file none of whose features has a property that the project file names.
func (c *chooser) check(file string) error {
	c.properties.why = map[string]string{}
	var trouble problems
	check := func(list []chosenProperty, key, why string) {
		for _, p := range list {
			if p.seen {
				c.properties.why[p.name] = why
				continue
			}
			there := slices.Sorted(slices.Values(c.properties.names))
			message, hint := notThere("property", p.name, key, there)
			trouble.add(&InputError{File: file, Message: message, Hint: hint})
		}
	}
	check(c.only, "only", "but chooses the features")
	check(c.carried, "carry", "but carried through")
	return trouble.err()
}
